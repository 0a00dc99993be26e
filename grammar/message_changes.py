"""The phrases that change a request, each with what it is read as: ``change_at`` finds the one at a place."""

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Literal

from grammar import message_words, read_quantity, words
from grammar.formula import HYDRATE_WORD_PATTERN, WATER_PATTERN, hydrate_water
from grammar.message import (
    Change,
    Role,
    SetContainer,
    SetForm,
    SetNumber,
    SetPeople,
    SetPurpose,
    SetQuantity,
    SetScale,
    SetSolute,
    SetSource,
    SetSpare,
)
from grammar.message_pieces import COUNT, MATERIAL, PERCENT, QUANTITY, VESSEL, WHO, WORD_NUMBER, pattern
from grammar.naming import Known
from grammar.numbers import NUMBER_PATTERN, read_number, spelled_number
from grammar.reader import read
from grammar.request import Prepare, Purpose, Quantity
from grammar.units import STRENGTHS, dimension

#: A larger number without a unit is no amount of anything here.
LARGEST_BARE = 1_000_000
# A solute nobody asks for: a fragment such as "from a 1 M stock" is read behind it by the grammar of whole requests.
_CARRIER = "100 mL of 0.1 M lutetium nitrate"


_SPARE = pattern(
    rf"(?:(?:add|allow|leave|plus|give)\s)?(?:a\s)?(?P<percent>{PERCENT})\s"
    r"(?:spare|extra|surplus|over|margin|excess|wastage|allowance)(?: on top)?"
    rf"|(?:add|allow|leave|with|plus) (?:a |some )?(?:spare|surplus|margin|wastage)(?: of)? (?P<after>{PERCENT})"
)


_NO_SPARE = pattern(r"(?:no|without|leave out the|drop the|skip the)(?: any)? (?:spare|extra|surplus)s?")


_PURITY = pattern(
    rf"(?:(?:the|our|my) bottle (?:is|says) (?:only )?)?(?P<percent>{PERCENT})\s?(?:pure|purity|assay|by assay)"
    rf"|(?:assay|purity|assays|assayed)(?: (?:is|of|at|says|only))*:? (?P<after>{PERCENT})"
    rf"|(?:the|our|my) (?:pellets|crystals|flakes|powder|salt|solid|reagent) (?:are|is) (?:only )?(?P<ours>{PERCENT})(?: pure)?"
)


_EACH = pattern(
    rf"(?P<q>{QUANTITY}) (?:each|apiece|per (?:{WHO})|for each(?: (?:{WHO}))?|a head)|each (?:gets|needs|has|takes) (?P<q2>{QUANTITY})"
)


_PEOPLE = pattern(rf"(?P<count>{COUNT}) (?P<who>{WHO})(?: (?:this time|now|not \d+))?")


_SCALED = "|".join(re.escape(w) for w in sorted(message_words.SCALES, key=len, reverse=True))


_MANY = pattern(
    rf"(?P<many>{COUNT}|ten) times (?P<what>as much|that|the amount|the volume|it|as strong|the strength|the concentration)"
)


_SCALE = pattern(
    rf"(?P<scale>{_SCALED})(?: (?P<what>it all|it|that much|that|this|as much|as strong|the amount|the volume|the total|the quantity"
    r"|the strength|the concentration|the size|as concentrated))"
)


_ANHYDROUS = r"anhydrous|water-free|dry (?:salt|form)"


_NUMBERED = rf"(?P<n>{WORD_NUMBER})[ -]hydrate"


_FORM = pattern(
    rf"(?:{message_words.HAVING}|(?:from|using|use)\s)?(?:(?:the|a|an|our)\s)?(?:bottle (?:is|says|reads|has|holds)(?: (?:the|a|an))?\s)?"
    rf"(?:{_NUMBERED}|(?P<word>{_ANHYDROUS}|{HYDRATE_WORD_PATTERN})|\.?(?P<water>{WATER_PATTERN}))"
    r"(?: (?:one|form|salt|crystals|solid|version))?"
)
_COLOUR = pattern(
    rf"(?:{message_words.HAVING}(?:the )?|bottle is |crystals are )?(?P<colour>{message_words.COLOURS})"
    r"(?: (?:one|salt|crystals?|form|solid|powder|stuff|bottle))?"
)
_TO_VESSEL = pattern(rf"(?:in|into) (?:(?:a|an|the|my|our|one)\s)?(?:{QUANTITY}\s)?(?:(?:{MATERIAL})\s)?(?:{VESSEL})")
_STOCK = r"stock(?: solution)?"
_POURED = rf"{QUANTITY}(?:\s\w+){{0,2}}?"
_SOLIDS = r"solid|pellets|crystals|(?:conc|concentrated)(?: (?!and\b|but\b|in\b)[A-Za-z]+){0,2}"
# "a 1 M stock" alone may be what is to be made: only what comes after one of these words is a source.
_SOURCE = pattern(
    rf"(?:(?:from|using|out of|by diluting) (?:(?:a|an|the|our|my)\s)?(?P<of>{_POURED} (?:{_STOCK}|solution|acid|bottle)"
    rf"|{_STOCK}(?: of {QUANTITY})?|{_SOLIDS}|\d[\d.]* ?(?:M|mM|mol/L)(?=[\s.!?]*$))|(?:{message_words.HAVING}|(?:use"
    rf"|take)\s)(?:(?:a|an|the|our|my)\s)?"
    rf"(?P<held>{_POURED} (?:{_STOCK}|acid|bottle)|{_SOLIDS})"
    rf"|(?:(?:the|our|my)\s)?{_STOCK} is (?:only )?(?P<stock>{QUANTITY}))"
)
_PURPOSE: tuple[tuple[Purpose, re.Pattern[str]], ...] = tuple(
    (purpose, pattern(rf"(?:{'|'.join(sorted(phrases.split('|'), key=len, reverse=True))})"))
    for purpose, phrases in message_words.PURPOSES.items()
)


_SAME = re.compile(
    r"(?:do |make |and )*(?:(?:exactly )?the same|same(?: again| thing)?|repeat(?: (?:it|that))?|likewise|ditto)(?: again)?"
    r" (?:for|with|of|using|but with) (?P<name>[^,;?!]+?)"
    r"(?=\s*(?:[,;?!]|\.?$|\bbut\b|\binstead\b|\bplease\b))",
    re.IGNORECASE,
)


_ROLE = r"(?:(?:the )?(?P<role>strength|concentration|total volume|volume|total|amount)(?: (?:to|is|should be|must be|of|at|be|up to))* )?"


_AFTER = r"(?: (?P<after>in total|altogether|total|overall))?"


_QUANTITY_ALONE = pattern(rf"(?P<inside>in )?{_ROLE}(?P<q>{QUANTITY}){_AFTER}")


_NUMBER_ALONE = pattern(rf"{_ROLE}(?P<n>{NUMBER_PATTERN}|{WORD_NUMBER})(?! (?:of|x|times|more|less|each)\b){_AFTER}")


def same_at(line: str, at: int, known: Known) -> tuple[list[Change], int] | None:
    found = _SAME.match(line, at)
    if found is None:
        return None
    request = read(found["name"], known)
    if not isinstance(request, Prepare) or len(request.components) != 1 or request.portions or request.container:
        return None
    component = request.components[0]
    if component.mass is not None or component.source is not None:
        return None
    changes: list[Change] = [SetSolute(component.solute)]
    changes += [SetQuantity(q) for q in (component.strength, request.total) if q is not None]
    return changes, found.end()


def change_at(line: str, at: int) -> tuple[list[Change], int] | None:
    """The change that begins at this place and where it ends. The most particular phrase is tried first."""
    for phrase, make in _CHANGES:
        found = phrase.match(line, at)
        made = make(found) if found else None
        if found and made is not None:
            return [made], found.end()
    return None


def _number(text: str) -> Decimal | None:
    value = read_number(text)
    return value if isinstance(value, Decimal) else spelled_number(text)


def count_in(text: str) -> int:
    value = spelled_number(text)
    return int(value) if value is not None and value == int(value) else 0


def _percent_of(text: str) -> Decimal | None:
    return _number(re.sub(r"\s?(?:%|per ?cent|pct)$", "", text, flags=re.IGNORECASE))


def _spare(found: re.Match[str]) -> Change | None:
    percent = _percent_of(found["percent"] or found["after"])
    return SetSpare(percent) if percent is not None and 0 <= percent <= 1000 else None


def _purity(found: re.Match[str]) -> Change | None:
    percent = _percent_of(found["percent"] or found["after"] or found["ours"])
    return SetQuantity(Quantity(percent, "%"), "purity") if percent is not None else None


def _each(found: re.Match[str]) -> Change | None:
    quantity = read_quantity(found["q"] or found["q2"])
    return (
        SetQuantity(quantity, "each")
        if quantity is not None and quantity.unit in ("mL", "L", "uL", "cL", "dL")
        else None
    )


def _people(found: re.Match[str]) -> Change | None:
    count = count_in(found["count"])
    return SetPeople(count, words.WHO[found["who"].lower()]) if count else None


def _many(found: re.Match[str]) -> Change | None:
    count = count_in(found["many"])
    return SetScale(Decimal(count), _scaled(found["what"])) if count else None


def _scale(found: re.Match[str]) -> Change:
    return SetScale(Decimal(message_words.SCALES[found["scale"].lower()]), _scaled(found["what"]))


def _scaled(what: str) -> Literal["total", "strength"]:
    return "strength" if re.search("strong|strength|concentrat", what) else "total"


def _form(found: re.Match[str]) -> Change | None:
    if found["n"]:
        value = spelled_number(found["n"])
        return SetForm(f"{value.normalize():f}") if value is not None and 0 < value <= 24 else None
    if found["word"] and re.fullmatch(_ANHYDROUS, found["word"], re.IGNORECASE):
        return SetForm("0")
    water = hydrate_water(found["word"] or found["water"])
    return SetForm(water) if water is not None else None


def _colour(found: re.Match[str]) -> Change:
    colour = found["colour"].lower()
    return SetForm(
        colour={"gray": "grey", "colorless": "colourless", "bluish": "blue", "greenish": "green"}.get(colour, colour)
    )


def _behind(fragment: str) -> Prepare | None:
    """The request that the fragment makes behind the carrier."""
    if re.search(r"(?i:lutetium)|\bLu", fragment):
        return None
    request = read(f"{_CARRIER} {fragment}")
    return request if isinstance(request, Prepare) and len(request.components) == 1 else None


def _vessel(found: re.Match[str]) -> Change | None:
    request = _behind(found[0])
    return SetContainer(request.container) if request is not None and request.container is not None else None


def _source(found: re.Match[str]) -> Change | None:
    stock = f"{found['stock']} stock" if found["stock"] else ""
    poured = found["of"] and (found["of"] if re.search("[a-z]{4}", found["of"]) else f"{found['of']} stock")
    request = _behind(f"from {stock or poured or found['held']}")
    source = request.components[0].source if request is not None else None
    return SetSource(source) if source is not None else None


def _role(found: re.Match[str]) -> Role:
    before, after = found["role"], found["after"]
    if before and before.lower() in ("strength", "concentration"):
        return "strength"
    return "total" if before or after else ""


def _quantity(found: re.Match[str]) -> Change | None:
    quantity, role = read_quantity(found["q"]), _role(found)
    if quantity is None or (found["inside"] and dimension(quantity.unit) != "volume"):
        return None
    if (role == "strength") != (role != "" and dimension(quantity.unit) in STRENGTHS):
        return None
    return SetQuantity(quantity, role)


def _alone(found: re.Match[str]) -> Change | None:
    value = _number(found["n"])
    return SetNumber(value, _role(found)) if value is not None and value <= LARGEST_BARE else None


def _purpose(purpose: Purpose) -> Callable[[re.Match[str]], Change]:
    return lambda _: SetPurpose(purpose)


#: Tried in this order: "10 % spare" before "10 %", "26 students" before "26".
_CHANGES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], Change | None]], ...] = (
    (_SPARE, _spare),
    (_NO_SPARE, lambda _: SetSpare(Decimal(0))),
    (_PURITY, _purity),
    (_EACH, _each),
    (_PEOPLE, _people),
    (_MANY, _many),
    (_SCALE, _scale),
    (_FORM, _form),
    (_COLOUR, _colour),
    (_TO_VESSEL, _vessel),
    (_SOURCE, _source),
    *((phrase, _purpose(purpose)) for purpose, phrase in _PURPOSE),
    (_QUANTITY_ALONE, _quantity),
    (_NUMBER_ALONE, _alone),
)
