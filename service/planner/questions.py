"""Questions about the strength itself: molar or molal, which percent, which reaction a normality is for.

Each option is the same request with that one thing settled, so choosing it needs no further state.
"""

from dataclasses import replace

from grammar.request import Component, Prepare, Quantity
from rules.plan import Ingredient, Open, Option
from rules.tables.equivalents import equivalents
from service.planner.strength import strength_of, with_unit

#: Words a person uses for a reaction, by the first word of the reaction's key in the equivalents table.
_SAID = {
    "redox": ("redox", "iron", "ferrous", "oxidation", "permanganate"),
    "iodometry": ("iodometry", "iodometric", "thiosulfate", "iodine"),
    "acid": ("acid", "acid-base", "neutralisation", "neutralization", "alkali"),
    "precipitation": ("precipitation", "silver", "chloride", "mohr"),
}


#: What a redox titration is done in, by the words people use.
_MEDIUM = {"acid": "acid", "acidic": "acid", "alkaline": "alkaline", "basic": "alkaline", "neutral": "neutral"}


def with_component(request: Prepare, index: int, component: Component) -> Prepare:
    """The request with component ``index`` replaced."""
    return replace(request, components=(*request.components[:index], component, *request.components[index + 1 :]))


def ask_about_strength(request: Prepare, item: Ingredient, index: int) -> Open | None:
    """The question an ambiguous unit needs, or None when the unit says one thing only."""
    quantity = item.component.strength
    assert quantity is not None
    family = strength_of(quantity).family
    if family == "m":
        return _molar_or_molal(request, item, index, quantity)
    if family == "%":
        return _which_percent(request, item, index, quantity)
    if family == "eq/L":
        return _which_reaction(request, item, index, quantity)
    if family == "times":
        return Open(
            "unit-unsupported",
            f"{quantity.value} {quantity.unit} cannot be turned into an amount of {item.substance.name} here.",
            remedy="Give the strength in mol/L, in g/L, or as a percentage with its basis.",
        )
    return None


def _option(
    request: Prepare, item: Ingredient, index: int, key: str, label: str, changed: Quantity, reaction: str | None = None
) -> Option:
    component = replace(item.component, strength=changed, reaction=reaction or item.component.reaction)
    return Option(key, label, with_component(request, index, component))


def _molar_or_molal(request: Prepare, item: Ingredient, index: int, quantity: Quantity) -> Open:
    value = quantity.value
    ways = (
        ("molar", f"{value} M, moles in a litre of solution", "mol/L"),
        ("molal", f"{value} molal, moles in a kilogram of water", "mol/kg"),
    )
    return Open(
        "unit-m",
        f"Is {value} m of {item.substance.name} meant as {value} M (molar) or as {value} molal?",
        tuple(_option(request, item, index, key, label, with_unit(quantity, unit)) for key, label, unit in ways),
    )


def _which_percent(request: Prepare, item: Ingredient, index: int, quantity: Quantity) -> Open:
    ways = [
        ("w-v", "grams in 100 mL of solution (% w/v)", "% w/v"),
        ("w-w", "grams in 100 g of solution (% w/w)", "% w/w"),
    ]
    if item.form.state in ("liquid", "solution"):
        ways.append(("v-v", "mL in 100 mL of solution (% v/v)", "% v/v"))
    return Open(
        "percent-basis",
        f"Which percent of {item.substance.name} is meant by {quantity.value} %?",
        tuple(_option(request, item, index, key, label, with_unit(quantity, unit)) for key, label, unit in ways),
    )


def _which_reaction(request: Prepare, item: Ingredient, index: int, quantity: Quantity) -> Open:
    said = f"{quantity.value} {quantity.unit} is a normality (equivalents in a litre)"
    known = equivalents(item.substance.slug)
    if not known:
        return Open(
            "equivalents",
            f"{said}, and no reaction of {item.substance.name} is held. What is the strength in mol/L?",
            remedy="Give the strength in mol/L.",
        )
    unit = "mol/L" if quantity.unit == "N" else "mmol/L"
    options: list[Option] = []
    for row in known:
        label = (
            f"{row.reaction.replace('-', ' ')}, {row.per_mole} equivalent{'s' if row.per_mole != 1 else ''} in a mole"
        )
        options.append(
            _option(request, item, index, row.reaction, label, with_unit(quantity, unit, row.per_mole), row.reaction)
        )
    return Open("equivalents", f"{said}. For which reaction of {item.substance.name}?", tuple(options))


def settled_normality(item: Ingredient) -> tuple[int, str] | None:
    """(equivalents in a mole, reaction) where only one is sane: named in the request, the only one held, or the same for all
    reactions held, of which at least one goes by charge or protons. Electrons alone are always asked about."""
    known = equivalents(item.substance.slug)
    said = set((item.component.reaction or "").lower().replace("-", " ").split())
    pool = [row for row in known if said and said & set(_SAID.get(row.reaction.split("-")[0], ()))]
    if not pool and said & set(_MEDIUM):
        # "in acid medium" beside a substance that is titrated by electrons alone.
        pool = [row for row in known if all(r.reaction.startswith("redox") for r in known)]
    if not pool and (len(known) == 1 or any(row.reaction.split("-")[0] not in ("redox", "iodometry") for row in known)):
        pool = list(known)
    medium = {_MEDIUM.get(word, word) for word in said}
    pool = [row for row in pool if medium & set(row.reaction.split("-")[1:]) & set(_MEDIUM.values())] or pool
    values = {row.per_mole for row in pool}
    return (values.pop(), pool[0].reaction) if len(values) == 1 else None
