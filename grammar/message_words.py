"""What people say after the first request, by meaning. To teach the conversation a phrase, add it here.

Patterns are matched on normalised text, case aside, and must cover the whole message: a word that is in none of them
makes the message unread, so that "not 500 mL" is never taken for "500 mL".
"""

import re

from grammar.request import Purpose


def words_of(text: str) -> frozenset[str]:
    """The words of a text with spaces between them."""
    return frozenset(text.split())


#: Words around a change that change nothing themselves.
AROUND = re.compile(
    r"(?:is enough|is plenty|will be enough|after all|enough for|for enough|go back to|back to|what would|need(?=[\s?.!]*$)"
    r"|how much (?:would|for|do (?:i|we) need for|is (?:that|it) for)"
    r"|please|pls|thanks|thank you|ok(?:ay)?|right|well|hmm+|oh|ah|sorry|actually"
    r"|no(?=,| wait| sorry)|wait|rather|now|already|o+ps|whoops|typo:?|correction:?|my mistake|my bad|i mean"
    r"|(?:the )?same again(?=,? (?:but )?for \d)"
    r"|(?:increase|reduce|lower|raise|cut|bump|drop|scale|bring)(?=[^,;]* to )|down to|(?:can|could) (?:i|we) have"
    r"|then|so|just|only|instead|and|but|also|of|to|with|,|;|\.(?!\d)|!|\?"
    r"|can i|could i|may i|can you|could you|can we|could we|would you|let'?s|let us|i(?:'d| would) like|i want|we want|i need|we need"
    r"|change|set|switch|go|do|make|made|making|prepare|use|take|try"
    r"|what if|what about|how about|suppose|say|same(?! (?:for|with|again|thing|as))"
    r"|i meant?|will do|it should be|it must be|should be|it is|it's|it was|that is|that's|there are|there will be|it|that|this|them"
    r"|is|be|as|a|an|the|for|at|up to|up"
    r")(?![\w'])|[,;.!?](?!\d)",
    re.IGNORECASE,
)

SCALES = {
    "double": "2",
    "twice": "2",
    "triple": "3",
    "treble": "3",
    "quadruple": "4",
    "half": "0.5",
    "halve": "0.5",
    "quarter of": "0.25",
    "tenth of": "0.1",
    "half of": "0.5",
}

#: What somebody has: said of a form or a stock, never of an amount ("I have 100 mL" is no total).
HAVING = r"(?:(?:we|i)(?:'ve got| have got| only have| have)(?: only| just)? )"

COLOURS = (
    "blue|white|grey|gray|pink|red|green|brown|yellow|orange|black|purple|violet|colourless|colorless|bluish|greenish"
)

PURPOSES: dict[Purpose, str] = {
    "accurate": "accurate|exact|precise|accurately|exactly|precisely|really accurate|very accurate|as accurate as possible",
    "approximate": "approximate|approximately|rough|roughly|rough is fine|approximate is fine|roughly is fine"
    "|approximate will do|rough will do|near enough|not accurate",
    "standard": "standard solution|a standard solution|primary standard",
}

THANKS = re.compile(
    r"(?:(?:ok(?:ay)?|great|perfect|brilliant|lovely|super|cool|good|nice|fine|right|cheers|ta|thx|thanks|thank you"
    r"|many thanks|thanks a lot|thank you very much|very much|a lot|so much|that's (?:all|great|it|perfect|fine|good|helpful)"
    r"|that is all|got it|understood|will do|hi|hello|hey|hiya|good (?:morning|afternoon|evening)|bye|goodbye|well done"
    r"|lol|haha|wow|phew|awesome|amazing|nice one|no problem|you(?:'re| are) (?:a |the )?(?:star|legend|brilliant|great|best|genius)"
    r"|that helps|much appreciated|excellent|there|all|for (?:that|your help|now))[\s,.!]*)+",
    re.IGNORECASE,
)

GREETING = re.compile(r"\s*(?:hi|hello|hey|hiya|good (?:morning|afternoon|evening))\b", re.IGNORECASE)

START_AGAIN = re.compile(
    r"(?:let'?s |please |can we |ok,? )*(?:start (?:again|over|afresh|from scratch)|begin again|forget (?:it|that|all that|everything)"
    r"|new request|clear(?: (?:it|that|everything))?|reset|scrap (?:it|that)|never ?mind|cancel(?: (?:it|that))?)[\s,.!]*(?:please)?[.!]?",
    re.IGNORECASE,
)

WEIGHED = re.compile(
    r"(?:oh no[,.]? |oops[,.]? |sorry[,.]? |and |so )*(?:i|we)?(?:'ve|\s?have|\s?had)?\s?(?:actually |really |just "
    r"|now |only )?(?:weighed(?: out| in| up)?|weigh(?= )"
    r"|measured(?: out)?|pipetted"
    r"|dispensed|poured|the balance (?:says|shows|showed|reads)|balance (?:says|shows|reads)|my mass (?:is|was)"
    r"|actual mass(?: is| was)?|i used|we used|i took|we took|(?:i |we )?(?:added|put in|tipped in)(?= [\d.]+ ?m?g\b)"
    r"|(?:i )?got(?=.* on the (?:balance|pan|scales?)))\s(?P<rest>.+)",
    re.IGNORECASE,
)

#: What is asked after a weighing, and is told without being asked.
WHAT_IT_IS = re.compile(
    r"[,;.]?\s(?:so |and )?what(?:'s| is| would be| will be) (?:the|my|its)"
    r"(?: (?:real|actual|true|exact|new|resulting))? (?:concentration|strength|molarity)(?: (?:then|now|of it))?[\s?.!]*$",
    re.IGNORECASE,
)

WHY = re.compile(
    r"(?:ok(?:ay)?,? |and |but |so )*(?:how come|(?:please )?explain(?: (?:it|that|this))?|why)(?: (?:is that|so|that"
    r"|is it|(?:that|so) (?:much|many|little)"
    r"|(?:that|this) (?:amount|mass|volume|number)))?[\s?!.]*",
    re.IGNORECASE,
)

ROUNDED = re.compile(
    r"(?:can (?:i|we|you) |could (?:i|we|you) |please )?"
    r"(?:round(?: (?:it|that|this|the (?:mass|amount|volume|answer)))?(?: off)?(?: please)?[.!?]*"
    r"|(?:(?:give(?: me)? it|round(?: (?:it|that|this|the (?:mass|amount|volume|answer)))?(?: off| up| down)?) )?"
    r"to (?P<figures>\d|one|two|three|four|five|six)(?:(?: sig(?:nificant|\.)?)? ?(?:figures?|figs?\.?|digits?|s\.?f\.?)"
    r"|(?P<places> ?(?:d\.?p\.?|decimals?(?: places?)?|places?)))(?: please)?[.!?]*)",
    re.IGNORECASE,
)

#: "Can I use the anhydrous", "what if I only have the monohydrate": what that form would take is wanted.
OTHER_FORM = re.compile(
    r"(?:but |and |so )?(?:(?:can|could|may) (?:i|we)(?: just)? use|what if (?:i|we)(?:'ve| have)?(?: only)?(?: just)? (?:have|use|got))"
    r"(?: the| an?| our| some)? (?:anhydrous|\w*hydrate)\b",
    re.IGNORECASE,
)

#: Topics of a question about the plan, the most particular first.
TOPICS: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (topic, re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE))
    for topic, pattern in (
        ("understood", "understood?|understand|read (?:it|that|this|me)|take it for"),
        ("held", "who do i ask|(?:why|what|who|whom|do|does|is|must|has).*(?:held|hold|holding|approv\\w+|permission|allowed)|on hold"),
        (
            "order",
            r"(?:water|acid|alkali|base|reagent|it|that) (?:in)?to (?:the )?(?:water|acid|alkali|base|reagent)|(?:in )?(?:which|what) order"
            r"|(?:what|which)(?: one)? (?:goes in |comes |do i add )?first",
        ),
        ("difference", "difference|differ|differs"),
        ("refused", "why.*(?:refused?|not|can't|cannot)(?= (?:make|made|possible|allowed|i|we|it|be))|why refused?"),
        ("asked", "why.*(?:ask|asking|question)"),
        ("drain", "drains?|sink|plughole"),
        ("waste", "waste|dispose|disposal|disposed|throw|thrown|get rid|left ?overs?|pour(?:ed)? away"),
        ("fume cupboard", "fume cupboards?|fume hood|hood"),
        (
            "storage",
            "(?:keep|leave|left|stand|stands) .*(?:flask|beaker|plastic|glass|light|sunlight|dark)"
            "|fridge or shelf|(?:glass|plastic|polythene) or (?:glass|plastic|polythene)",
        ),
        ("ph", "ph|acidity|(?:how|is it) (?:acidic|alkaline)"),
        (
            "keeping",
            "keep|keeps|last|lasts|shelf life|shelf-life|expir\\w+|use by|use-by|go off|stable|stay good|good for",
        ),
        ("storage", "store|stored|storage|fridge|kept|bottled?|bottle|container"),
        ("label", "labels?|labelled"),
        ("protection", "gloves?|ppe|goggles|wear|protection|protective|lab ?coat|visor|mask|eyewear"),
        (
            "hazards",
            "flammable|inflammable|poison(?:ous)?|explosive|hazards?|hazardous|dangerous|danger|harmful|toxic|corrosive|safe|safety"
            "|pictograms?|irritant",
        ),
        ("balance", "balances?|scales?"),
        (
            "stronger",
            "stronger|strongest|more concentrated|solubility|soluble|how strong can|maximum|saturated|ceiling",
        ),
        ("accuracy", "accurate|accuracy|uncertainty|precise|precision|error|sure|trust"),
        ("molar mass", "molar mass|molecular weight|formula weight|formula mass|rfm|rmm|mr|mw"),
        ("formula", "formula"),
        ("density", "density|dense"),
        ("heat", "hot|warm|warms|heat|temperature rise|cool down|cold"),
        ("form", "hydrate|form|anhydrous|which salt|that salt"),
        ("flask", "flasks?|vessel|glassware|container|volumetric"),
        ("route", "why.*(?:dilute|stock|weigh|way|route)"),
        (
            "working",
            "working|calculation|calculate|calculated|sums?|worked out|work(?:ed)? it out|come from|get that|maths?",
        ),
        ("window", "window|limits|range|how close|how exactly|leeway|within what"),
        ("steps", "steps?|procedure|method|how do (?:i|we|you) (?:make|do|mix)|instructions|what (?:do i do )?(?:next|now)"),
        ("water", r"(?:how much|what volume of|how many m ?l of|how many millilit(?:re|er)s of) (?:the )?water"),
        ("standardise", r"standardi[sz]e|standardi[sz]ation|standardi[sz]ed"),
        ("moles", "how many moles?|how many mol|number of moles|moles? is (?:that|it)"),
        ("most", "the most (?:i|we) can make|the most that can be made|how much can (?:i|we) make"),
        ("amount", "how much|how many grams|what mass|what volume|amount"),
        ("sources", "sources?|citations?|references?|where.*(?:from|say)|who says|says who"),
        ("assumptions", "assum\\w+|taken for granted"),
    )
)

OPENERS = re.compile(
    r"(?:please |ok(?:ay)?,? |and |but |so |right,? |also |then )*(?:why|how|what|what's|whats|which|where|where's|when|is|are"
    r"|can|could|do|does|should|will|would|must|show|explain|tell|give|list|how's|who|says|sources|references"
    r"|citations|fridge or|glass or|plastic or"
    r"|polythene or)\b|and (?:the|its|what)\b",
    re.IGNORECASE,
)

#: Every other word a question about the plan may hold; a word that is not here is looked up as a substance.
QUESTION_WORDS = words_of(
    """
    please ok okay and but so right also then why how what what's whats which where where's when is are can could do does
    should will would must show explain tell give list how's who says me us i we you it this that these those the a an
    my our your to of in on for from at with be been was were go goes going get gets got need needs needed use used using
    have has had make made makes making put long much many big small size kind sort type not no did didn't isn't don't
    doesn't about actually exactly really just only again now here there its it's they them solution solutions stuff
    mixture left over when done finished afterwards safely safe away down into up out days weeks months time good if any
    all each one ones as by or than more less most plan request thing say said held hold holding refused refuse approved
    ask asking asked question asks possible allowed come comes work worked same find found read take taken understand
    understood mass weight fridge glove wear write written stronger strong strength concentrated high higher maximum max
    instead between else who's whom approve approves permission add adding pour
    weigh weighed measure measured solid powder salt spill pour poured throw thrown dispose disposed rid sink happens
    happen become becomes number matter matters flask shelf
    """
)
