"""The phrase table built from ``grammar.phrases``, and the patterns of words that are not single phrases."""

import re

from grammar.phrases import CLASSES, MATERIALS, VESSELS, WATER, WHO

__all__ = ["CLASSES", "MATERIALS", "PHRASES", "VESSELS", "WATER", "WHO"]


def _split(phrases: str) -> list[str]:
    return [phrase.strip() for phrase in re.split(r"[|\n]", phrases) if phrase.strip()]


# Acids often named by the adjective alone ("conc nitric"); " acid" is put back.
ACID_ADJECTIVES = frozenset(
    _split(
        "hydrochloric|nitric|sulfuric|sulphuric|acetic|ethanoic|phosphoric|perchloric|formic|methanoic|hydrobromic"
        "|hydrofluoric"
    )
)

# Element symbols that look like a word of another class when the case is forgotten.
CASED = frozenset(("Ca", "HI"))

# A number after one of these names a place or time, not an amount ("year 9", "room 12").
ASIDE_NUMBER_WORDS = _split("year|period|room|lab|form|grade|week|page|lesson|exercise|experiment|expt|practical")
NUMBERED_HEADINGS = frozenset(_split("solution|reagent|stock|buffer|part|step|activity|task|table"))
ASIDE_NUMBER_PATTERN = (
    rf"(?i:{'|'.join(ASIDE_NUMBER_WORDS)})"
    r"\s\d{1,3}[A-Za-z]?(?![\w.,]*\d)"
    # "Solution 2: 3 % saline": a heading with its number.
    rf"|(?i:{'|'.join(sorted(NUMBERED_HEADINGS))})"
    r"\s\d{1,2}[A-Za-z]?(?=\s?[:)])"
)

# Ions and elements that a strength may be counted by ("0.1 M in chloride", "100 mg/L as nitrogen").
IONS = frozenset(
    _split(
        "chloride|bromide|iodide|fluoride|sulfate|sulphate|nitrate|nitrite|phosphate|carbonate|bicarbonate|hydroxide"
        "|acetate|ammonium|sodium|potassium|lithium|calcium|magnesium|barium|strontium|copper|zinc|iron|lead|silver"
        "|nickel|cobalt|manganese|chromium|aluminium|aluminum|cadmium|mercury|tin|nitrogen|phosphorus|sulfur|sulphur"
        "|chlorine|iodine|bromine|fluorine|boron|arsenic|silica|permanganate|dichromate|chromate|thiosulfate|oxalate"
    )
)

# What strengths are counted as in water and fertiliser work; another salt after "as" is what is weighed.
USUAL_BASES = frozenset(_split("CaCO3|NO3|NO2|NH3|NH4|PO4|P2O5|K2O|SO4|SO3|SiO2|CaO|MgO|Na2O|CO3|HCO3"))

# Words that show a name is that of a chemical, when no table can be asked.
CHEMICAL_WORD = re.compile(
    r"(?:ate|ide|ite|ates|ides|amine|amide|ose|ol|ium|one|ene|ane|acid|salt|bleach|ammonia|peroxide|oxide|soda|lime"
    r"|limewater|vitriol|borax|alum|hydroxide|iodine|bromine|chlorine|starch|urea|phenolphthalein|indicator|orange"
    r"|buffer|edta|tris|hepes|water|vinegar|nitric|sulfuric|sulphuric|hydrochloric|acetic|iron|copper|zinc|lead|silver"
    r"|sodium|potassium|calcium|nickel|cobalt|manganese|mercury|tin|bicarb|hypo|dmso|dmf|thf|ether|brine|glycerine"
    r"|glycerin|.*-hcl|benedict's|fehling's|tollens'|reagent)$",
    re.IGNORECASE,
)

# Words that name no particular substance: "concentrated acid" after "hydrochloric acid" adds nothing.
GENERIC = frozenset(
    _split(
        "acid|reagent|hydrate|base|alkali|salt|material|bottle|it|one|stuff|chemical|liquid|solid|acid solution|the salt|salts"
        "|crystals|powder|blue crystals|white powder|blue|white|green|technical grade|analytical grade|lab grade|grade"
        "|indicator|titrant|stain|test|diluent|eluent|electrolyte|buffer|standard"
        "|analytical reagent|ar|acs|ar grade|gpr|reagent grade|acs grade|solute|substance|compound|sample|bottles|form"
    )
)

# Marks of pharmacopoeias and reagent lists after a name ("silver nitrate R"); capitals only.
MARKS = frozenset(("R", "R1", "R2", "R3", "RV", "TS", "VS", "EP", "BP", "USP", "RS"))

# What a pH is set with.
ADJUSTERS = frozenset(
    _split(
        "hcl|naoh|koh|h2so4|hno3|h3po4|ch3cooh|nh4oh|nh3|hydrochloric acid|sodium hydroxide|potassium hydroxide|acetic acid"
        "|sulfuric acid|sulphuric acid|nitric acid|phosphoric acid|ammonia|ammonium hydroxide|acid|alkali|base|citric acid"
        "|hydrochloric|caustic soda|glacial acetic acid|ethanoic acid"
    )
)

# Words before a formula that say only that it is one ("using the salt KH2PO4").
BEFORE_FORMULA = frozenset(("salt", "acid", "base", "compound", "solute", "substance", "chemical", "solid", "formula"))

# Words that head a list of what is in a solution ("lysis buffer: 50 mM Tris ...").
TITLE = re.compile(
    r"(?i:(?:\b|^)(?:buffer|solution|reagent|medium|wash|diluent|mixture|mix|media|stock|saline|water"
    r"|broth|agar|ringer|pbs|ts|vs|indicator|standard)\b)"
)

# Words that may change an amount: text with one of them is never set aside.
CHANGES = re.compile(
    r"(?i:\b(?:two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|fifty|hundred|thousand"
    r"|dozen|zero|nought|naught|point|half|halve[ds]?|halves|thirds?|quarters?|tenths?|fifths?|doubl\w*|twice|thrice"
    r"|tripl\w*|times|\w*fold|less|more|fewer|than|between|saturat\w*|\w*dilut\w*|strengths?|strong\w*|weak\w*"
    r"|concentrat\w*|except|but|instead|minus|plus|extra|spare|excess|remain\w*|each|per|respectively|percent|equal\w*"
    r"|equimolar|acidified|alcoholic|ethanolic|methanolic|ammoniacal|evaporat\w*|reduc(?:e|ed)\sto|x\d+|either|ratio"
    r"|parts?|approximat\w*|several|few|couple|dozens?)\b)"
)

# What may stand in brackets after a name without being part of it.
HARMLESS = re.compile(
    r"(?i:(?:light[\s-]sensitive|photosensitive|toxic|very toxic|poison(?:ous)?|corrosive|hygroscopic|deliquescent|flammable"
    r"|oxidi[sz](?:er|ing)|harmful|irritant|dangerous|hazardous"
    r"|(?:low|minimal|no|health|environmental)[\s-]hazard|caution|[a-z0-9]+[\s-]free|care|care needed|danger"
    r"|see (?:note|below|above)|new bottle|old bottle|[a-z]|[A-Z])[\s!.]*)"
)

NON_ENGLISH = re.compile(
    r"\b(?:bitte|wasser|l[öo]sung|herstellen|mache|bereite|eau|s'il|faire|pr[ée]parer|solution de|por favor"
    r"|prepare una|disoluci[óo]n|agua|soluzione|per favore|oplossing|maak|losning|l[öo]sning|hacer|preparar|preparare"
    r"|(?:natrium|kalium|ammonium|calcium|magnesium|kupfer|silber|zink|eisen|blei)(?:chlorid|hydroxid|sulfat|nitrat|carbonat"
    r"|jodid|phosphat|permanganat)|salzs[äa]ure|schwefels[äa]ure|cloruro|hidr[óo]xido|sulfato|nitrato|[áa]cido|chlorure"
    r"|hydroxyde|acide|cloreto|idrossido|solfato|de (?=[A-Z])|litros?|gramos?|litri|grammi)\b",
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
