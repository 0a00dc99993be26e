"""Frames that ask what is known of a substance or a solution; ``asking_words`` says how they are written."""

from grammar.asking_dilutions import Frame

#: Topics answered from the tables, and how they stand in the sentence that says how a question was read.
FACTS: dict[str, str] = {
    "solubility": "solubility",
    "ph": "pH",
    "density": "density",
    "formula": "formula",
    "keeping": "shelf life",
    "storage": "way of storing",
    "waste": "way of disposal",
    "hazards": "hazards",
    "standardise": "way of standardising",
}
_W = ("{what}",)
_YOU = "(do|should|can|must|would) (i|we|you|one)"
_IN_WATER = "( in( cold| warm| hot| boiling)? water)?"
_UNSAFE = (
    "dangerous|hazardous|toxic|poisonous|corrosive|flammable|harmful|irritant|an irritant|carcinogenic|a carcinogen|safe"
    "|safe to handle|oxidising|an oxidiser|explosive|a hazard"
)

FACT_FRAMES: dict[str, tuple[Frame, ...]] = {
    "solub|dissolve": (
        ("solubility", f"solubility (of|for) {{what}}{_IN_WATER}", _W),
        ("solubility", f"(is|are) {{what}} (very |freely |readily )?(in)?soluble{_IN_WATER}", _W),
        ("solubility", f"how soluble (is|are) {{what}}{_IN_WATER}", _W),
        ("solubility", f"(does|will|do) {{what}} dissolve{_IN_WATER}", _W),
        (
            "solubility",
            "(how (much|many (grams|g)( of)?)|(what|the) (maximum )?(mass|amount) of) {what}"
            f" (dissolves?|will dissolve|{_YOU} dissolve|can be dissolved) in {{available:vg}} (of )?(cold |warm |hot )?water"
            "( {rest})?",
            ("{what} {rest}", "{what}"),
        ),
    ),
    "ph ": (
        ("ph", "ph (of|for|in)( an?| the)? {what}( be)?", _W),
        ("ph", "ph (does|will|would|has) {what}( have)?", _W),
        ("ph", "(what|which) ph (does|will|would|has|is) {what}( have)?", _W),
    ),
    "densit|specific gravity": (("density", "(density|specific gravity) (of|for)( an?| the)? {what}", _W),),
    "formula |cas ": (
        ("formula", "(chemical |molecular |empirical )?formula (of|for) {what}", _W),
        ("formula", "cas( number| no\\.?| registry number)? (of|for) {what}", _W),
    ),
    "(how long|shelf[- ]life|expiry|keep)": (
        (
            "keeping",
            f"how long (does|do|will|can|could|is|are|{_YOU} keep)( an?| the)? {{what}}( (keep|last|stay good|be kept|good))?( for)?",
            _W,
        ),
        ("keeping", "(shelf[- ]life|expiry|expiry date|lifetime|use[- ]by( date)?) (of|for)( an?| the)? {what}", _W),
        ("keeping", "(does|do|will) {what} keep( well| long)?", _W),
    ),
    "stor(e|age)|bottle|container|keep": (
        ("storage", f"(how|where|in what|in which bottle|in which container) {_YOU} (store|keep) (an? |the )?{{what}}", _W),
        ("storage", "(how|where) (is|are) {what} (stored|kept|to be stored)", _W),
        ("storage", "storage (of|for|conditions for) {what}", _W),
        (
            "storage",
            f"{_YOU} (keep|store) {{what}} in (a )?(glass|plastic|polythene|metal|amber|clear|brown)( glass)?( bottles?| containers?)?",
            _W,
        ),
        ("storage", "(what|which) ((kind|sort|type) of )?(bottle|container) (for|is used for|(do|should) i use for) {what}", _W),
    ),
    "dispos|waste|drain|sink|get rid|throw": (
        ("waste", f"(how|where) {_YOU} (dispose of|get rid of|throw away|discard) (an? |the |old |waste |leftover )?{{what}}( waste)?", _W),
        ("waste", "(how|where) (is|are) {what} (disposed of|discarded)", _W),
        ("waste", "(where|how) (does|do|should|must)( the)? {what}( waste)?( go| be disposed of)", _W),
        ("waste", "(can|may|could) {what} go (down|into|in|to) the (sink|drain)", _W),
        ("waste", f"{_YOU.replace('do|', 'may|do|')} (pour|put|tip|wash|flush) {{what}} (down|into|in) the (sink|drain)", _W),
        ("waste", "(disposal|waste) (of|for|route for|stream for) {what}", _W),
    ),
    "hazard|danger|toxic|poison|corros|flamm|harmful|irritant|carcinogen|safe|oxidi[sz]|explos": (
        ("hazards", f"(is|are) {{what}} ({_UNSAFE})", _W),
        ("hazards", f"how ({_UNSAFE}) (is|are) {{what}}", _W),
        (
            "hazards",
            "(hazards?|hazard class(es)?|dangers?|(hazard|h)[- ]statements?|classification) (of|for|with)( an?| the)? {what}",
            _W,
        ),
    ),
    "standardi[sz]": (
        ("standardise", f"how {_YOU} standardi[sz]e (an? |the |my )?{{what}}", _W),
        ("standardise", "how (is|are) {what} standardi[sz]ed", _W),
        ("standardise", "standardi[sz]ation (of|for) {what}", _W),
        ("standardise", f"(against|with) (what|which primary standard) {_YOU} standardi[sz]e {{what}}", _W),
        ("standardise", "(which|what) primary standard (for|is used for|do i use for) {what}", _W),
    ),
    "how (much|many)|mass": (
        (
            "mass-of",
            "(how (much|heavy|many (grams|g)( of)?)|(what|the)? ?mass( of)?)( (is|are|in|of|does))? {available:n}( of)? {what}"
            "( weigh| have)?",
            ("{what}",),
        ),
        (
            "mass-held",
            "((how (much|many (grams|g)( of)?)|(what|the)? ?(mass|amount) of))( (of )?{name})? (is|are|is there|are there|does)( there)?"
            " (in )?{given:v}( of)?( an?| the)? {stock:c} {what}( (contain|hold|have))?",
            ("{given} of {stock} {what}",),
        ),
        (
            "mass-held",
            "((how (much|many (grams|g)( of)?)|(what|the)? ?(mass|amount) of))( of)? (nacl|sodium chloride|salt)"
            " (is|are|is there|are there)( there)? in {given:v}( of)?( an?| the)? {stock:c}"
            " (physiological |normal |isotonic )?(saline|brine|salt (solution|water))( solution)?",
            ("{given} of {stock} sodium chloride",),
        ),
    ),
}  # fmt: skip
