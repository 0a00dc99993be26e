"""The phrases the language knows, by class. To teach it a phrase, add it to one list here.

Each class becomes a token type of ``request.lark``; words in no list stay words and may be part of a name.
Phrases are lower case, single-spaced, separated by a bar or a new line; a phrase of several words wins over its parts.
"""

import re


def _split(phrases: str) -> list[str]:
    return [phrase.strip() for phrase in re.split(r"[|\n]", phrases) if phrase.strip()]


# Fillers carry nothing for the request. They are left out of names, so no chemical word may stand there.
CLASSES: dict[str, str] = {
    "FILLER": """
a|an|the|me|us|i|we|you|my|our|your|it|its|this|that|some|any|make|makes|making|made|make me|make us
make up|made up|make some|prepare|prepared|preparing|preparation|prep|produce|need|needs|needed|i need
we need|want|wants|would like|i'd like|i would like|like|require|required|requires|please|pls|plz
kindly|can you|could you|can i have|could i have|can we have|may i have|give|give me|get|get me|have|hi
hello|hey|hiya|dear|good morning|good afternoon|morning|afternoon|thanks|thank you|thx|ta|cheers
many thanks|thanks in advance|solution|solutions|soln|soln.|sol.|solns|of it|of this|of that|in total
total|total volume|final volume|final concentration|final strength|concentration|conc of|volume|vol
vol.|strength|amount|quantity|what|whats|what's|what is|how|how much|how many|how do i|how do you
how would i|how to|what mass|what mass of|what weight of|what volume of|what would i|what do i|do i
should i|would i|must i|will i|weigh|weigh out|weighed|mass|mass of|weight of|grams of|goes|goes into
go into|do|does|should|shall|be|is|are|was|to make|to prepare|to make up|to give|to get|to produce
dissolve|dissolved|dissolving|dissolve in|measure|measure out|measured|add|let's|lets|let us|so|then
just|only|there|there is|there are|having|containing|contains|has|with a concentration|worth of|fresh
freshly|freshly made|new|ready|ok|okay|right|also|as well|to the mark|the mark|mark|calculate|work out
find|help|help me|with making|making up|reagent|aq soln|for me|for us|which is|that is|i am|i'm|we are
of the|litres of|ml of|made of|of a|of an|nominal|nominally|needing|getting
requiring|cas|cas no|cas no.|cas number|cas-no
""",
    "FROM": """
from|using|out of|made from|starting with|starting from|by diluting|diluted from|made by diluting
made with|prepared from|i have|we have|i've got|we've got|i have got|we have got|given|from our
from the|from a|from an|use|ex|prepared by dilution of|by dilution of|taken from|from stock of
""",
    "TO": """
to|into|up to|made up to|make up to|making up to|and make up to|make to|made to|to be made up to
bring to|brought to|fill to|onto
""",
    "DOWNTO": """
down to|diluted to|diluted down to|dilute to|diluted to give|brought down to|to give|to make|to get
to produce|diluted to make|diluted into
""",
    "DILUTE": "dilute|diluting|take|dilution of|dilute down|to dilute|water down",
    "OF": "of",
    "IN": "in|inside|within|in a|in an|in the",
    "FOR": """
for|for the|for a|for an|for my|for our|for use in|for use with|so as to|needed for|enough for
ready for
""",
    "AT": "at|@",
    "AS": "as",
    "WITH": "with|by",
    "AND": "and|&|plus|together with|along with",
    "BY": "made up with|diluted with|dilute with",
    "OR": "or",
    "NOT": "not|without|don't|do not|never|no",
    "EACH": "each|apiece|each one|each of them|a head|per head|a time|respectively",
    "SPARE": """
spare|extra|surplus|excess|overage|over|to spare|in reserve|on top|margin|allowance|wastage
for spillage|for waste
""",
    "NOSPARE": "no spare|no extra|without spare|nothing spare|no surplus|none spare|no spares",
    "CONC": """
concentrated|conc|conc.|concd|concd.|conc'd|concentrate|the conc|fuming conc|from the bottle
""",
    "GLACIAL": "glacial",
    "STOCK": """
stock|stock solution|stock soln|stock bottle|standard stock|stock standard|mother solution|stocks
""",
    "SOLID": """
pellets|pellet|flakes|crystals|crystal|granules|granular|beads|prills|crystalline|solid|the solid|lumps
""",
    "PURE": "pure|purity|purity of|assay|assay of|assays|assaying|content|by assay",
    "LABEL": """
label says|bottle says|label reads|bottle reads|it says|says|labelled|labeled|marked|the label says
the bottle says|label|on the label|according to the label|on the bottle
""",
    "DENSITY": """
density|density of|dens|dens.|d|d.|sp gr|sp. gr.|sp.gr.|sp gravity|specific gravity|s.g.|sg|s.g|rho|ρ
relative density|rel density|d20
""",
    "PH": "ph|p.h.",
    "ACCURATE": """
accurate|accurately|exact|exactly|precise|precisely|accurately known|as accurately as possible
volumetric|to high accuracy
""",
    "APPROX": """
about|approximately|approx|approx.|roughly|rough|around|ca|ca.|circa|approximate|or so|some where near
~
""",
    "STANDARD": """
standard|standardised|standardized|standard solution|primary standard|primary|standardise|standardize
a primary standard|to be standardised
""",
    "MIX": """
mix|mixing|mixed|combine|combining|blend|stir|put|pour|pour in|tip|mix together|can i mix
is it safe to mix|is it ok to mix
""",
    "TOGETHER": "together|in with|into the same",
    "BASIS": "w/v|w/w|v/v|m/v|m/m|wt/vol|wt/wt|vol/vol|by weight|by mass|by volume|weight by volume",
    "REACTION": """
titration|titrations|redox|acid-base|neutralisation|neutralization|oxidation|reduction|reaction|titrant
titrating|precipitation|back titration|iodometry|argentometry|oxidiser|oxidant|oxidising|oxidizing
reducing|acid base|complexometric|permanganometry
""",
    "ASIDE": """
on monday|on tuesday|on wednesday|on thursday|on friday|tomorrow|today|next week|this week|by monday
by tuesday|by wednesday|by thursday|by friday|by tomorrow|this afternoon|this morning|asap|urgently
urgent|when you can|if possible|if you can|as soon as possible
""",
    "TREATMENT": """
dried|dry|drying|oven-dried|oven dried|heated|stored|store|storing|keep|kept|autoclaved|autoclave
refrigerated|boiled
""",
    # Where it stands, not what it is dissolved in: "in the fridge".
    "SITE": """
fridge|freezer|lab|prep room|store room|stockroom|stock room|cupboard|duplicate|triplicate|ice
the fridge|the dark|stages
""",
    "MOLAR_MASS": """
mw|fw|m.w.|f.w.|mr|rfm|rmm|molar mass|formula weight|molecular weight|formula mass|mol wt|mol. wt.
""",
    "SETS": """
classes|sections|lessons|sessions|sets|periods|times over|repeats|parallel classes|runs|practicals
""",
    "CLASSOF": """
in the class|in a class|in class|class of|a class of|in my class|in each class|per class|in the group
""",
    # Names that contain a word of another class, or a number that is part of the name.
    "WORD": """
bleaching powder|baking powder|lime water|baryta water|bromine water|chlorine water|iodine water
barium water|washing soda|baking soda|caustic soda|caustic potash|tween 20|tween 80|tween-20|tween-80
triton x-100|triton x 100|congo red|rock salt|table salt|common salt|epsom salt|epsom salts|mohr's salt
mohrs salt|rochelle salt|glauber's salt|glauber salt|sea salt|salt water|copper salt|plaster of paris
milk of lime|milk of magnesia|oil of vitriol|cream of tartar|sugar of lead|spirits of salt
spirit of salts|salt of lemon|dilute bleach|standard ph 7|universal indicator|vitamin c|peg 400
peg 4000|peg 6000|peg 8000
""",
}

WHO: dict[str, str] = {
    word: plural
    for plural, words in {
        "students": "student students pupil pupils learner learners kid kids children people persons person"
        " participants candidates trainees",
        "pairs": "pair pairs",
        "groups": "group groups team teams trio trios",
        "benches": "bench benches table tables station stations place places",
        "portions": "portion portions lot lots aliquot aliquots sample samples tube tubes set-ups",
    }.items()
    for word in words.split()
}

VESSELS: dict[str, str] = {
    "volumetric-flask": """
volumetric flask|vol flask|vol. flask|volumetric flasks|graduated flask|grad flask|volumetric|v flask
standard flask|measuring flask|one-mark flask|vf|flask
""",
    "conical-flask": "conical flask|conical flasks|conical|erlenmeyer flask|erlenmeyer|erlenmeyers",
    "beaker": "beaker|beakers",
    "measuring-cylinder": "measuring cylinder|graduated cylinder|cylinder|measuring cylinders|grad cylinder|graduate",
    "round-bottomed-flask": "round-bottomed flask|round bottomed flask|round bottom flask|rbf",
    "burette": "burette|buret|burettes",
    "test-tube": "test tube|test tubes|boiling tube|boiling tubes",
    "jug": "jug|bucket|measuring jug",
    "bottle": """
bottle|bottles|winchester|reagent bottle|storage bottle|dropper bottle|dropper bottles|dropping bottle
dropping bottles|wash bottle|duran bottle|screw-cap bottle|vial|vials|jar|carboy|jerrycan|container
""",
}

MATERIALS: dict[str, str] = {
    "glass": "glass|borosilicate|pyrex|soda glass|glassware",
    "plastic": "plastic|polythene|polyethylene|pe|hdpe|ldpe|polypropylene|pp|ptfe|teflon|fep|pfa|poly",
    "amber": "amber|brown|dark glass|brown glass|amber glass",
    "clear": "clear|clear glass|colourless glass",
}

# Acids often named by the adjective alone ("conc nitric"); " acid" is put back.
ACID_ADJECTIVES = frozenset(
    _split(
        "hydrochloric|nitric|sulfuric|sulphuric|acetic|ethanoic|phosphoric|perchloric|formic|methanoic|hydrobromic"
        "|hydrofluoric"
    )
)

# Element symbols that look like a word of another class when the case is forgotten.
CASED = frozenset(("Ca",))

# A number after one of these names a place or time, not an amount ("year 9", "room 12").
ASIDE_NUMBER_PATTERN = (
    r"(?i:year|period|room|lab|form|grade|week|page|lesson|exercise|experiment|expt|practical)"
    r"\s\d{1,3}[A-Za-z]?(?![\w.,]*\d)"
)

WATER: dict[str, str] = {
    "water": """
water|distilled water|deionised water|deionized water|di water|demineralised water|pure water|dh2o
ddh2o|purified water|milliq|milli-q|milli-q water|dist water|dist. water|de-ionised water|h2o|aqueous
aqueous solution|aq|(aq)|aq.
""",
    "tap water": "tap water",
    "boiled water": "boiled water|freshly boiled water|co2-free water",
}

# Words that show a name is that of a chemical, when no table can be asked.
CHEMICAL_WORD = re.compile(
    r"(?:ate|ide|ite|ates|ides|amine|amide|ose|ol|ium|one|ene|ane|acid|salt|bleach|ammonia|peroxide|oxide|soda|lime"
    r"|limewater|vitriol|borax|alum|hydroxide|iodine|bromine|chlorine|starch|urea|phenolphthalein|indicator|orange"
    r"|buffer|edta|tris|hepes|water|vinegar|nitric|sulfuric|sulphuric|hydrochloric|acetic|iron|copper|zinc|lead|silver"
    r"|sodium|potassium|calcium|nickel|cobalt|manganese|mercury|tin|bicarb|hypo|dmso|dmf|thf|ether|brine|glycerine"
    r"|glycerin|benedict's|fehling's|tollens'|reagent)$",
    re.IGNORECASE,
)

# Words that name no particular substance: "concentrated acid" after "hydrochloric acid" adds nothing.
GENERIC = frozenset(_split("acid|reagent|base|alkali|salt|material|bottle|it|one|stuff|chemical|liquid"))

NON_ENGLISH = re.compile(
    r"\b(?:bitte|wasser|l[öo]sung|herstellen|mache|bereite|eau|s'il|faire|pr[ée]parer|solution de|por favor"
    r"|prepare una|disoluci[óo]n|agua|soluzione|per favore|oplossing|maak|losning|l[öo]sning)\b",
    re.IGNORECASE,
)


def _build() -> dict[str, tuple[str, str]]:
    table: dict[str, tuple[str, str]] = {}
    for name, phrases in CLASSES.items():
        table |= dict.fromkeys(_split(phrases), (name, ""))
    for name, rows in (("VESSEL", VESSELS), ("MATERIAL", MATERIALS), ("WATER", WATER)):
        for kind, phrases in rows.items():
            table |= dict.fromkeys(_split(phrases), (name, kind))
    for word, plural in WHO.items():
        table[word] = ("WHO", plural)
        if not word.endswith("s") and plural != "portions":
            for opening in ("a", "per", "each", "for each", "to each", "every"):
                table[f"{opening} {word}"] = ("EACH", plural)
    table["per class"] = ("EACH", "classes")
    return table


PHRASES: dict[str, tuple[str, str]] = _build()
TYPES = frozenset(kind for kind, _ in PHRASES.values())


def phrase_pattern() -> str:
    """The pattern of every phrase that is more than one plain word, longest first within each first letter."""
    plain = re.compile(r"[^\W\d_]\w*(?:[-'][^\W\d_]\w*)*")
    special = [p for p in PHRASES if not plain.fullmatch(p)]
    by_first: dict[str, list[str]] = {}
    for phrase in special:
        by_first.setdefault(phrase[0], []).append(phrase)
    groups = []
    for first, phrases in sorted(by_first.items()):
        rest = "|".join(
            re.escape(p[1:]) + (r"(?![\w'])" if p[-1].isalnum() else "") for p in sorted(phrases, key=len, reverse=True)
        )
        opening = f"[{first}{first.upper()}]" if first.isalpha() else re.escape(first)
        groups.append(f"{opening}(?i:{rest})")
    return "|".join(groups)
