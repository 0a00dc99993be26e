"""How people put an amount forward and ask whether it is right; the frames are written as in ``asking_words``."""

from grammar.asking_words import Frames

_TWO = ("{rest} from {what}", "{what} for {rest}", "{rest} {what}")

#: Water put to a stock, and the strength somebody takes it to give.
_PUT_TOGETHER = (
    "check",
    "((<WHO>) (<SAYS>)(<NOTE>) )?{available:v}( of)?( an?| the)? {stock:c} {what} (plus|and|with|to|[+]) {water:v} (of )?water"
    " (for|to make|to get|to give|makes|gives) {claimed:c}( {name})?(<ASKS>)",
    ("{sum} from {available} of {stock} {what}",),
)
#: Pattern -> frames (topic "check", frame, sentences) of sentences that put forward an answer: ``claimed`` is that answer.
CHECKS: Frames = {
    "^(check|verify|mark)": (
        ("check", "(<VERIFY>) {claimed:vgnc}( of)? {what} (for|makes|gives|to make) {rest}(<ASKS>)", _TWO),
        ("check", "(<VERIFY>) {claimed:vgnc}( of)? {what} / {rest}(<ASKS>)", _TWO),
        ("check", "(<VERIFY>) {claimed:vgnc} (for|to make|:|,) {what}(<ASKS>)", ("{what}",)),
        ("check", "check {claimed:vgnc}: {what}", ("{what}",)),
        (
            "check",
            "(<VERIFY>) {what}( (<NEEDS>)|[,:;]| ->| -)( about)? {claimed:vgnc}( of {name})?(<ASKS>)",
            ("{what}",),
        ),
    ),
    "^(is|are|was|would|will|do|does|should|can|could) ": (
        (
            "check",
            "(is|are|was|would|will) {claimed:vgnc}( of)? {what}( be)? (<RIGHT>) (for|to make|to give|to get) {rest}",
            _TWO,
        ),
        (
            "check",
            "(is|are|was|would|will) {claimed:vgnc}( be)? (<RIGHT>) (for|to make|to give|to get) {what}",
            ("{what}",),
        ),
        (
            "check",
            "(would|will|does|do|can|could) {claimed:vgnc}( of)? {what} (make|give|do for|be (<RIGHT>) for|produce) {rest}",
            _TWO,
        ),
        ("check", "(does|do|would|should) {what} (need|take|require|be|use) {claimed:vgnc}( of {name})?", ("{what}",)),
        (
            "check",
            "(is|are|does|do|would|will) {given:g}( of)? {name} (in|made up to|dissolved in) {total:v}( of (water|solution))?"
            "( (make|give|be|equal|the same as))? {claimed:c}( (<RIGHT>))?",
            ("{given} of {name} in {total}",),
        ),
        (
            "check",
            "(is|are|does|do|would|will) {given:g} (in|made up to|dissolved in) {total:v}( of (water|solution))?"
            "( (make|give|be|equal|the same as))? {claimed:c} {what}",
            ("{given} of {what} in {total}",),
        ),
        ("check", "(does|do|would|will|can|could) {claimed:vgn} (make|give|do for|produce) {what}", ("{what}",)),
        ("check", "(is|are) {what} {claimed:c}( (<RIGHT>))?", ("{what}",)),
    ),
    "is (that|this|it) [0-9.]": (
        (
            "check",
            "{available:v}( of)?( an?| the)? {stock:c} {what} (to|in|<DILUTED>) {total:v}[,;:.-]* is (that|this|it) {claimed:c}",
            ("{total} from {available} of {stock} {what}",),
        ),
    ),
    "^.*[;:,?] ?[0-9.]+ ?(m|k)?g ?[?]$": (("check", "{what}[;:,?] {claimed:g}(<ASKS>)", ("{what}",)),),
    "answer|result": (
        ("check", "{what}[,:;]? (my |the )?answer(:| is| =)? {claimed:vgnc}(<ASKS>)", ("{what}",)),
        (
            "check",
            "(my |the )?(answer|result)( is|:| =) {claimed:vgnc}[,.;:]?( -|-)?( for| question:| to make)? {what}(<ASKS>)",
            ("{what}",),
        ),
    ),
    "(weighed|measured|used|got|gets?|calculated?|worke?d? out|makes? it|made it"
    "|f[oi]u?nds?|thinks?|sa[yi]d?s?|claim(s|ed)?|answer(s|ed)?|wr[oi]tes?"
    "|reckons?|c[ao]mes? to)(?![a-z])": (
        _PUT_TOGETHER,
        (
            "check",
            "for {what}[,:;]? (<WHO>) (<SAYS>)(<NOTE>)( about)? {claimed:vgnc}( of {name})?(<ASKS>)",
            ("{what}",),
        ),
        (
            "check",
            "(<WHO>) (<SAYS>)(<NOTE>) {claimed:vgnc}( of)? {what} (makes|gives|is (<RIGHT>) for|(is|are) needed for|will give)"
            " {rest}(<ASKS>)",
            _TWO,
        ),
        (
            "check",
            "(<WHO>) (<SAYS>)(<NOTE>) {claimed:vgnc}( of {name})? (for|to make|when making|with|from) {what}(<ASKS>)",
            ("{what}",),
        ),
        (
            "check",
            "(<WHO>) (<SAYS>)(<NOTE>)( (to make|for|making))? {what} (<NEEDS>)( about)? {claimed:vgnc}( of {name})?(<ASKS>)",
            ("{what}",),
        ),
        ("check", "(<WHO>) (<SAYS>)(<NOTE>) {claimed:vgnc}( of)? {what} for {rest}(<ASKS>)", _TWO),
    ),
    "(right|correct|ok|okay|enough|fine|good|true|accurate|agreed?|yes|check|amount|mass|answer|volume)( please)?$": (
        _PUT_TOGETHER,
        (
            "check",
            "((i|we|you) )?(need|use|take|should (use|take)|must (use|take)) {claimed:v}( of)?( an?| the)? {stock:c} {what}"
            " (for|to make) {total:v}( of)?( an?)? {target:c}( {name})?[,.;:]?( -|-)? (<IS_IT>)",
            ("{total} of {target} {what} from {stock} stock",),
        ),
        ("check", "{claimed:gnv}( of)? {what} (for|makes|gives|to make) {rest}[,.;:]?( -|-)? (<IS_IT>)", _TWO),
        ("check", "{claimed:vgnc} (for|to make) {what}[,.;:]?( -|-)? (<IS_IT>)", ("{what}",)),
        (
            "check",
            "{what}[,:;.]?( -|-)?( (i|we) (got|get|make it|made it|calculated|worked out|found|think)| (<NEEDS>)| my answer(:| is)?)?"
            " {claimed:vgnc}( of {name})?[,.;:]?( -|-)? (<IS_IT>)",
            ("{what}",),
        ),
    ),
}
