"""How people ask for a value, and how they ask whether one is right: one line a frame.

A frame is matched against the whole text after its quantities were marked. Frames are regular expressions in which

    {what}        any words, kept for the request          (...)    groups, which keep nothing
    {target:c}    a quantity of that kind: v volume, g mass, n amount of substance, c strength; {x:vgn} one of three
    {asked}       a word for a strength ("molarity")       {unit}   a unit without a number ("g/L")
    <HOW_MUCH>    a phrase of ``PHRASES``

The sentence beside a frame says how the request is put together from its pieces; several are tried in order. Frames
stand under a pattern that the text (lower case, greetings off) must hold, so that an ordinary request costs little. To teach a
new way of asking, add a line here and a sentence to ``tests/cases/questions.jsonl`` or ``checks.jsonl``.
"""

from grammar.asking_dilutions import AFTER_DILUTING, Frame
from grammar.asking_facts import FACT_FRAMES, FACTS

#: Words that ask for a strength, and the unit they ask for ("" where any unit will do).
ASKED: dict[str, str] = {
    "molarity": "mol/L",
    "molar concentration": "mol/L",
    "molar strength": "mol/L",
    "amount concentration": "mol/L",
    "molality": "mol/kg",
    "molal concentration": "mol/kg",
    "normality": "N",
    "mass concentration": "g/L",
    "percentage strength": "",
    "mass percent": "% w/w",
    "mass percentage": "% w/w",
    "percentage by mass": "% w/w",
    "percent by mass": "% w/w",
    "weight percent": "% w/w",
    "percentage by weight": "% w/w",
    "final concentration": "",
    "concentration": "",
    "strength": "",
    "percentage": "%",
}
#: The name a request has where no substance was named and none is needed: only the ratio or the moles count.
UNNAMED = "unspecified solute"
#: Topics as they stand in the sentence that says how a question was read.
TOPICS: dict[str, str] = {
    "strength-made": "strength made",
    "strength-of-reagent": "strength of the reagent",
    "strength-diluted": "strength after diluting",
    "convert": "strength",
    "moles": "moles held",
    "molar-mass": "molar mass",
    "volume-makeable": "volume makeable",
    "volume-containing": "volume containing",
    "water-to-add": "water to add",
    "mass-of": "mass",
    "mass-held": "mass held",
    **FACTS,
}
#: Words before and after a question that carry nothing.
LEADS = (
    "hi|hello|hey|hiya|good morning|good afternoon|morning|please|pls|quick question|question|can you|could you|tell me"
    "|i need to know|i'd like to know|i would like to know|calculate|compute|work out|find|give me|determine"
    "|what is|what's|whats|what are|what would be|what will be|what was|so|ok|then|the"
)
TAILS = "please|pls|thanks|thank you|thx|cheers|ta|many thanks|thanks in advance"

PHRASES: dict[str, str] = {
    "OF_IT": "( (of|in) (the |this )?(diluted? |new |final |resulting )?(solution|mixture|it))?( be)?",
    "HOW_MUCH": "((what|which|what final|maximum|what maximum|largest|greatest) volume of|how much"
    "|(how many )?(ml|millilit(re|er)s|lit(re|er)s|l|cm3|dm3) of|volume of)( an?)?",
    "WATER": "(how much|what volume of|how many (ml|lit(re|er)s|cm3) of)( (distilled|deionised|deionized|pure|extra))? water",
    "MADE": "(that )?(can|could|may) be (made|prepared)|(can|could) (i|we|you) (make( up)?|prepare|get)|(will|do|would) (i|we|you) get",
    "WITH": "from|with|using|out of|by diluting|by dilution of|by using",
    "YOU": "do|should|must|would|can|could|will|shall",
    "ADDED": "((<YOU>) (i|we|you|one) )?((need|have) to )?(add|put)|(must|should|has to|have to|needs to|need to|is to)"
    " be added|to add|to be added|is added|is needed",
    "GET": "(in order )?to (get|make( it)?|prepare|give|bring it( down)? to|reach|dilute it to|produce|obtain|reduce it to)"
    "|for|so that it is|to turn it into|to",
    "HAVE": "i have|we have|i've got|we've got|there (is|are)|given|with",
    "DILUTED": "((is|are|was|were|gets|being|and|when|if)( then)? )?(dilute it|diluted|made|made up|make up|make it up|topped up)"
    "( up)?( with water)? (to|into)( a( final| total)? volume of)?",
    "RIGHT": "right|correct|ok|okay|enough|fine|good|true|accurate|the (right|correct) (amount|mass|answer|volume)",
    "IS_IT": "(is|was|does) (that|this|it|she|he|they)( look| sound| be)? (<RIGHT>)|(<RIGHT>)|am i (<RIGHT>)"
    "|have i got (it|that) right|(is|are) (my|the|his|her|their) (answer|amount|mass) (<RIGHT>)|agree|agreed|yes|(please )?check( please)?",
    "ASKS": "[,.;:?]?( -|-)?( (<IS_IT>))?",
    "WHO": "i|we|he|she|they|someone|((a|the|my|our|one) )?(student|pupil|learner|group|trainee|class|technician|teacher"
    "|colleague|textbook|book|worksheet)|students?|pupils?",
    "SAYS": "(weighed( out)?|measured( out)?|used"
    "|got|gets?|calculated?s?|worked out|works? out|makes? it|made it|found|finds?|thinks?|says?|said|claims?"
    "|claimed|answered|answers?|wrote|writes?|reckons?|came to|comes? to)",
    "NEEDS": "needs?|needed|takes?|requires?|is|are|comes to|=|should be|would (be|need|take)|uses?",
    "NOTE": "( (that|it|it's|is|about|the mass is|the answer is|i need|you need|we need))*",
    "VERIFY": "(check|verify|mark)( (this|that|my answer|the answer|whether|if|please))*[:,]?",
}

Frames = dict[str, tuple[Frame, ...]]
_FROM_STOCK = ("{target} {what} from {stock} stock",)

#: Pattern -> frames (topic, frame, sentences). The topic "strength" is settled by what was given.
QUESTIONS: Frames = {
    **FACT_FRAMES,
    "molar mass|molecular|formula (mass|weight)|(mr|rfm|rmm|mw|fw|mol wt) (of|for)|(mole|mol)s? of": (
        (
            "molar-mass",
            "(relative )?(molar mass|molecular (weight|mass)|formula (mass|weight)|mr|rfm|rmm|mw|fw|mol wt) (of|for) {what}",
            ("{what}",),
        ),
        ("molar-mass", "{what} (molar mass|molecular weight|formula (mass|weight))", ("{what}",)),
        ("molar-mass", "(mass of|how (much|heavy) (does|is)) {one:n} of {what}( weigh)?", ("{what}",)),
    ),
    "(m|u|milli|micro)?mol(e|es|s)? (of|in|are|is|do)": (
        (
            "moles",
            "(how many |number of |amount of )?{moles}( of {name})? (are there in|are in|is in|are contained in|in|does|do)"
            " {what}( (contain|hold|have))?",
            ("{what}", "{what} unspecified solute"),
        ),
        (
            "moles",
            "(how many |number of ){moles} of {what} (are|is)( there)? in {given:v} of( a)? {stock:c}( solution)?",
            ("{given} of {stock} {what}",),
        ),
        (
            "moles",
            "(how many |number of ){moles} of {what} (are|is)( there)? in {given:g}( of it)?",
            ("{given} of {what}",),
        ),
        (
            "moles",
            "(how many |number of ){moles} (are|is|in|are in)( there( in)?)? {given:g}( of)? {what}",
            ("{given} of {what}",),
        ),
    ),
    "how far": (
        (
            "volume-makeable",
            "how far (<YOU>|does) {available:v}( of)? {stock:c} {what} (go|last|stretch)( (at|as|(when |if )?diluted to|to|for))?"
            " {target:c}( {name})?",
            _FROM_STOCK,
        ),
        (
            "volume-makeable",
            "how far (<YOU>|does) {available:v}( of)? {stock:c} (go|last|stretch)( (at|as|(when |if )?diluted to|to|for))?"
            " {target:c}( {what})?",
            ("{target} {what} from {stock} stock", "{target} unspecified solute from {stock} stock"),
        ),
        (
            "volume-makeable",
            "how far (<YOU>|does) {available:vgn} (of )?{what} (go|last|stretch)( (at|as|made up to|to|for))? {target:c}( {name})?",
            ("{target} {what}",),
        ),
    ),
    "(how m|what volume).*water": (
        (
            "water-to-add",
            "(<WATER>) (<ADDED>) (to|into) {available:v}( of)?( a| the| my)? {stock:c} {what} (<GET>) (a |an )?{target:c}( {name})?",
            _FROM_STOCK,
        ),
        (
            "water-to-add",
            "(<WATER>) (<ADDED>) (to|into) {available:g}( of)? {what} (<GET>) (a |an )?{target:c}( {name})?",
            ("{target} {what}",),
        ),
        (
            "water-to-add",
            "(<WATER>) (<ADDED>) (to|into) {available:v}( of)?( a| the| my)? {stock:c} (<GET>) (a |an )?{target:c}( {name})?",
            ("{target} unspecified solute from {stock} stock",),
        ),
        (
            "water-to-add",
            "(<WATER>) (<ADDED>) (to|into) {available:v}( of)?( the| my)? {what} (<GET>) (a |an )?{target:c}( {name})?",
            ("{target} from {what}",),
        ),
        (
            "water-to-add",
            "(<WATER>) ((is needed )?to dilute|will dilute|does it take to dilute) {available:v}( of)?( a| the| my)? {stock:c} {what}"
            " (to|down to|into) {target:c}( {name})?",
            _FROM_STOCK,
        ),
    ),
    "(what|which|final|maximum|largest|greatest) volume|how m(uch|any)|^volume of|^(ml|millilit(re|er)s|lit(re|er)s) of": (
        (
            "volume-makeable",
            "(<HOW_MUCH>) {target:c}( solution)? (<MADE>) (<WITH>) {available:v}( of)?( a| the| my)? {stock:c} {what}",
            _FROM_STOCK,
        ),
        (
            "volume-makeable",
            "(<HOW_MUCH>) {target:c}( solution)? (<MADE>) (<WITH>) {available:vgn} (of )?{what}",
            ("{target} {what}", "{target} from {what}"),
        ),
        (
            "volume-makeable",
            "(<HOW_MUCH>) {target:c} {what} (<MADE>) (<WITH>) {available:v}( of)?( a| the| my)? {stock:c}( {name})?",
            _FROM_STOCK,
        ),
        (
            "volume-makeable",
            "(<HOW_MUCH>) {target:c} {what} (<MADE>) (<WITH>) {available:vgn}( of)? {more}",
            ("{target} {what} from {more}", "{target} {more}"),
        ),
        ("volume-makeable", "(<HOW_MUCH>) {target:c} {what} (<MADE>) (<WITH>) {available:vgn}", ("{target} {what}",)),
        (
            "volume-makeable",
            "(what volume|how much)( solution)? (<MADE>) (<WITH>) {available:gn} (of )?{what} (at|of|as) {target:c}",
            ("{target} {what}",),
        ),
        (
            "volume-makeable",
            "(<HAVE>) {available:v}( of)? {stock:c} {what}[,;.:]?( and| -)? (<HOW_MUCH>) {target:c}( {name})? (<MADE>)"
            "( (from|with) (it|that|this))?",
            _FROM_STOCK,
        ),
        (
            "volume-makeable",
            "(<HAVE>) {available:vgn} (of )?{what}[,;.:]?( and| -)? (<HOW_MUCH>) {target:c}( {name})? (<MADE>)"
            "( (from|with) (it|that|this))?",
            ("{target} {what}",),
        ),
        (
            "volume-containing",
            "(<HOW_MUCH>) {target:c} {what} (contains?|holds?|(will|would) contain|provides?|supplies) {available:gn}( (of )?{name})?",
            ("{target} {what}",),
        ),
        (
            "volume-containing",
            "(<HOW_MUCH>) {target:c} {what} ((is|are) )?(needed|required) (to (provide|supply|get|give|contain|obtain)|for)"
            " {available:gn}( (of )?{name})?",
            ("{target} {what}",),
        ),
    ),
    "molar(ity| conc| str)|molality|molal conc|normality|concentration|strength|(mass|weight) percent|percentage (by|of)|percent by": (
        (
            "strength",
            "((what|which) )?{asked}( in {unit})?( (do|does|will|would) (i|we|you|one|it) (get|have|give|make|be))?"
            "( (of|for|from|is|if|when|by))?( (i|we|you))?( (take|taking|dilute|diluting))?"
            " {available:v}( of)?( a| the)? {stock:c} {what} (<DILUTED>) {total:v}",
            ("{total} from {available} of {stock} {what}",),
        ),
        (
            "strength",
            "((what|which) )?{asked}( in {unit})?( (do|does|will|would) (i|we|you|one|it) (get|have|give|make|be))?"
            "( (of|for|from|is|if|when|by))?( (i|we|you))?( (take|taking|dilute|diluting))?"
            " {available:v}( of)?( a| the)? {stock:c} (<DILUTED>) {total:v}",
            ("{total} from {available} of {stock} unspecified solute",),
        ),
        (
            "strength",
            "(what|which) {asked}( in {unit})? ((do|will|would) (i|we|you) (get|have) (if|when|by|from)|is|are|has|have|does|results from)"
            "( (i|we|you))?( (dissolve|dissolving))? {what}( (have|make|give))?",
            ("{what}",),
        ),
        ("strength", "{asked} (of|for) {what} (as|in) {unit}( as {of})?", ("{what}",)),
        (
            "strength",
            "{asked}( in {unit})? (of|for|from|if|when|by|on|after)( (i|we|you))?( (dissolve|dissolving))?( (a|an|the|commercial))? {what}",
            ("{what}",),
        ),
        ("strength", "{what}[,:?]? (molarity|molality|normality)", ("{what}",)),
        *AFTER_DILUTING,
    ),
    "what( is the)? (%|per ?cent)": (("strength", "{what}[,:;?.]?( -)? what( is the)? {unit}", ("{what}",)),),
    "how (strong|concentrated)": (
        (
            "strength",
            "how (strong|concentrated) (is|are|would|will)( it be if( i| we) dissolve)? {what}( be)?",
            ("{what}",),
        ),
    ),
    "^(convert|express|change|translate)": (
        ("strength", "(convert|express|change|translate) {what} (to|into|in|as) {unit}( as {of})?", ("{what}",)),
        ("strength", "(convert|express|change|translate) {what} (to|into|in|as)( a)? {asked}", ("{what}",)),
    ),
    "(in|as|to|into|many|equals) (how many )?([mu]?g|[mun]?mol|[mun]?m|n|%|pp[mb]|molar|normal|per ?cent|(milli)?grams?)"
    "(?![a-z0-9])[^0-9]*$"
    "|how many|^(%|per ?cent|pp[mb]|m?g/l|(milli)?grams per|mol/l)": (
        (
            "strength",
            "how many {unit} (of {name} )?(is|are|are there in|in|does|do)( a| an| the)? {what}( contain)?",
            ("{what}",),
        ),
        ("strength", "{unit}( of {name})? (in|of|for)( a| an| the)? {what} as {of}", ("{what}",)),
        ("strength", "{unit} (of|for|in)( a| an| the)? {what}", ("{what}",)),
        (
            "strength",
            "{what},? (in|as|to|into|expressed (in|as)|in terms of|is how many|equals how many) {unit}( as {of})?",
            ("{what}",),
        ),
    ),
}
