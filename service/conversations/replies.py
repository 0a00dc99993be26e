"""What a text says to the question that is open, in the words of the bottle: "ferric", "MW 249.7", "the dibasic one".

Every word must have its meaning for that question; the options that all of them fit are given back.
"""

import re
from collections.abc import Callable
from typing import Any

from grammar.formula import hydrate_water
from grammar.message_words import COLOURS, words_of
from grammar.numbers import spelled_number
from grammar.request import Prepare
from rules.tables.colours import forms_of_colour
from rules.tables.substances import Form, Substance, by_formula, by_name
from service.conversations.state import request_of
from service.planner.matching import forms_of, matches
from service.planner.resolve import MASS_AGREES

ABOUT_SUBSTANCE = frozenset(("form", "which-substance", "oxidation-state", "element-source", "which-form"))
Pair = tuple[Substance, Form]
Fits = Callable[[Pair], bool]
_WEIGHTLESS = words_of(
    """the one ones it is it's its a an that that's this bottle says reads label labelled on i we we've i've have got use
    take powder powdered crystals crystal crystalline solid salt form then please of in and with from our my mean meant
    think ok okay so just sort type kind stuff sold as state only"""
)
_MASS = re.compile(
    r"\b(?:m\.?w\.?|f\.?w\.?|m\.?r\.?|r\.?m\.?m\.?|r\.?f\.?m\.?|molar mass|(?:molecular|formula) (?:weight|mass))"
    r"\s*(?:is|=|:|of)?\s*(\d+(?:\.\d+)?)(?:\s?g/mol)?(?![\w.]\d)|(\d+(?:\.\d+)?)\s?g/mol\b",
    re.IGNORECASE,
)
#: A bare number with decimals is a molar mass off the label: nothing else about a form has any.
_BARE_MASS = re.compile(r"(\d{2,3}\.\d{1,3})()")
_OLD_IONS = {
    "ferric": "iron(iii)", "ferrous": "iron(ii)", "cupric": "copper(ii)", "cuprous": "copper(i)",
    "stannic": "tin(iv)", "stannous": "tin(ii)", "mercuric": "mercury(ii)", "mercurous": "mercury(i)",
    "chromic": "chromium(iii)", "manganous": "manganese(ii)", "cobaltous": "cobalt(ii)", "cobaltic": "cobalt(iii)",
    "ceric": "cerium(iv)", "cerous": "cerium(iii)", "plumbous": "lead(ii)",
}  # fmt: skip
_STATE = re.compile(r"(?:([a-z]+) ?)?\((i{1,3}|iv|vi{0,2})\)")
_PROTONS = {
    "monobasic": "dihydrogen ",
    "dibasic": "(?<!di)hydrogen ",
    "tribasic": "tri[a-z]+ ",
    "primary": "dihydrogen ",
    "secondary": "(?<!di)hydrogen ",
    "tertiary": "tri[a-z]+ ",
}
#: Words for a reaction that its key in the table of equivalents does not hold itself.
_REACTION_WORDS = {
    "redox": "redox iron ferrous oxidation oxidising oxidizing oxalate permanganate",
    "acid": "acid-base neutralisation neutralization alkali acidimetry",
    "iodometry": "iodometric thiosulfate iodine iodide",
    "precipitation": "silver chloride halides mohr",
}
_AROUND_REACTION = words_of(
    """for to the a an of in with as by against it is it's will be used use titrating titration titrations titrate
    solution medium conditions reaction we i please and one"""
)
_DRIED = re.compile(
    r"(?:i(?:'ve| have)? |we(?:'ve| have)? |it (?:was|is|has been) )?(?:oven[- ]?)?dried(?: it)?(?: (?:in|at) (?:the|an|our) oven)?",
    re.I,
)


def told(question: dict[str, Any], text: str, held: Prepare | None) -> list[dict[str, Any]] | None:
    """The options of the question that every word fits; None where a word says nothing about the question."""
    options = [o for o in question.get("options", []) if "request" in o]
    said = " ".join(text.strip().casefold().rstrip(".!? ").split())
    if not options or not said or len(said) > 120:
        return None
    if question["about"] == "equivalents":
        return _by_reaction(options, said)
    if question["about"] in ABOUT_SUBSTANCE:
        return _by_form(options, text.strip(), said, held)
    return None


def _by_reaction(options: list[dict[str, Any]], said: str) -> list[dict[str, Any]] | None:
    words = [w for w in re.findall(r"[\w-]+", said) if w not in _AROUND_REACTION]
    if not words:
        return None
    number = re.fullmatch(r"(\d{1,2})(?: equivalents?(?: (?:in|per) (?:a )?mole)?)?", said)
    if number:
        return _any_reaction([o for o in options if re.search(rf"\b{number[1]} equivalents?\b", o["label"])])
    known: set[str] = set()
    fits = []
    for option in options:
        own = set(option["id"].split("-"))
        own |= set(_REACTION_WORDS.get(option["id"].split("-")[0], "").split())
        own |= {"acidic", "acidified"} if "acid" in own and "redox" in own else set()
        known |= own
        if all(w in own for w in words):
            fits.append(option)
    return fits if set(words) <= known else None


def _any_reaction(options: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Reactions that give the same strength as one option that names none of them."""
    plain = [
        {**o["request"], "components": [_without_reaction(c) for c in o["request"]["components"]]} for o in options
    ]
    return [{**options[0], "request": plain[0]}] if plain and all(p == plain[0] for p in plain) else options


def _without_reaction(component: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in component.items() if key != "reaction"}


def _by_form(options: list[dict[str, Any]], typed: str, said: str, held: Prepare | None) -> list[dict[str, Any]] | None:
    if _DRIED.fullmatch(said):  # usual, but not sure: it is offered, and taken only when it is confirmed
        return None
    pairs = [(option, _pair(option)) for option in options]
    if re.search(rf"\b(?:{COLOURS})\b", said) and len(_tests(said)) < 2:
        return None  # a colour alone is no proof; it is taken with a note where changes are made
    tests = _named(typed, said, [pair for _, pair in pairs if pair], held) or _tests(said)
    if not tests:
        return None
    return [option for option, pair in pairs if pair is not None and all(fits(pair) for fits in tests)]


def dried(question: dict[str, Any], text: str) -> list[dict[str, Any]]:
    """The options without water, where the text says that the solid was dried."""
    said = " ".join(text.strip().casefold().rstrip(".!? ").split())
    if question["about"] not in ABOUT_SUBSTANCE or not _DRIED.fullmatch(said):
        return []
    return [o for o in question.get("options", []) if (pair := _pair(o)) is not None and pair[1].water == "0"]


def _pair(option: dict[str, Any]) -> Pair | None:
    request = request_of(option["request"])
    if not isinstance(request, Prepare):
        return None
    pairs = [p for c in request.components for p in forms_of(matches(c.solute), c.solute.water)]
    return pairs[0] if len(pairs) == 1 else None


def _named(typed: str, said: str, pairs: list[Pair], held: Prepare | None) -> list[Fits]:
    """The whole text as the name of a form ("washing soda crystals"), or as a word beside the name asked about."""
    bare = " ".join(w for w in said.split() if w not in _WEIGHTLESS)
    slugs = {kind.slug for kind, _ in pairs}
    tries = [by_name(said), by_name(bare), by_formula(typed) if re.fullmatch(r"[\w().]+", typed) else ()]
    name = held.components[0].solute.name if held is not None and len(held.components) == 1 else ""
    if name and re.fullmatch(r"[a-z-]+", bare):
        tail = name.split(" ", 1)[-1]
        tries += [by_name(f"{bare} {name}"), by_name(f"{name} {bare}"), by_name(f"{bare} {tail}")]
    for found in tries:
        kept = [m for m in found if m.substance.slug in slugs]
        if kept and len({m.substance.slug for m in found}) == 1:
            return [_is_one_of(kept[0].substance.slug, {m.label for m in kept})]
    return []


def _tests(said: str) -> list[Fits]:
    tests: list[Fits] = []
    mass = _MASS.search(said) or _BARE_MASS.fullmatch(said)
    if mass:
        value = float(mass[1] or mass[2])
        tests.append(
            lambda pair: bool(pair[1].molar_mass) and abs((pair[1].molar_mass or 0) - value) <= MASS_AGREES * value
        )
        said = said.replace(mass[0], " ")
    for state in list(_STATE.finditer(said)):
        metal = state[1] if state[1] and state[1] not in _WEIGHTLESS else ""
        tests.append(_has(f"{metal}({state[2]})"))
        said = said.replace(state[0], f" {state[1]} " if state[1] in _WEIGHTLESS else " ")
    hydrate = re.search(r"\b(\d{1,2}|[a-z]+)[ -]hydrate\b", said)
    if hydrate and (count := hydrate[1] if hydrate[1].isdigit() else _spelled(hydrate[1])):
        tests.append(_water(count))
        said = said.replace(hydrate[0], " ")
    for word in re.findall(r"[^\s,;:]+", said):
        if word in _WEIGHTLESS:
            continue
        test = _word(word)
        if test is None:
            return []
        tests.append(test)
    return tests


def _word(word: str) -> Fits | None:
    if word in _OLD_IONS:
        return _has(_OLD_IONS[word])
    if word in ("anhydrous", "water-free", "dry"):
        return _water("0")
    if word == "hydrated":
        return lambda pair: pair[1].water not in ("0", "x")
    if re.fullmatch(COLOURS, word):
        return lambda pair: pair[1] in [form for form, _ in forms_of_colour(pair[0], word)]
    if word in _PROTONS:
        return lambda pair: re.search(_PROTONS[word], pair[0].name) is not None
    if re.fullmatch(r"(?:mono|di|tri)(?:sodium|potassium|ammonium)", word):
        return lambda pair: word in pair[0].name or word.removeprefix("mono") in pair[0].name.split()
    if re.fullmatch(r"\d{1,2}", word):
        return _water(word)
    water = hydrate_water(word)
    return _water(water) if water is not None else None


def _spelled(word: str) -> str:
    value = spelled_number(word)
    return str(int(value)) if value is not None and value == int(value) else ""


def _is_one_of(slug: str, labels: set[str | None]) -> Fits:
    return lambda pair: pair[0].slug == slug and (None in labels or pair[1].label in labels)


def _has(words: str) -> Fits:
    return lambda pair: words in pair[0].name.casefold()


def _water(count: str) -> Fits:
    return lambda pair: pair[1].water == count
