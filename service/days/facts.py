"""What the order of work needs to know of a plan: what it waits for, how dangerous it is to make, what it is taken from. Pure."""

import re
from dataclasses import dataclass
from typing import Any

from rules.plan import DraftPlan, Ingredient
from rules.tables.behaviour import behaviours
from rules.tables.standards import standardisations
from rules.tables.substances import substance

Document = dict[str, Any]
#: Days a permanganate solution stands where it is not boiled (common practice, no source).
STANDING_DAYS = 7
_PERMANGANATE_STANDS = "permanganate-stand-and-filter"
_HOURS = re.compile(r"(?:(\d+(?:\.\d+)?)\s*-\s*)?(\d+(?:\.\d+)?)\s*h\b")
_HANDLED = {"dusty-toxic": "toxic dust when it is weighed", "corrosive-solid": "corrosive solid"}
_NO_STANDARD = ("already standardised", "held")


@dataclass(frozen=True, slots=True)
class Facts:
    """Of one preparation. ``makes``: substance and mol/L of the solution; ``takes``: those of each stock, with its mL and name.

    ``handled``: what is dangerous of a solid that is weighed; ``titrant``: the card standardises it; ``standards``: what it
    may be titrated against; ``standard``: the primary standard it is itself.
    """

    waits: tuple[Document, ...]
    danger: int
    handled: str
    fume_cupboard: bool
    makes: tuple[str, float] | None
    takes: tuple[tuple[str, float, float, str], ...]
    titrant: bool
    standards: tuple[str, ...]
    standard: str | None


def facts_of(plan: DraftPlan, reply: Document) -> Facts:
    """From the plan as drafted and the reply it was given as."""
    alone = plan.main if len(plan.ingredients) == 1 else None
    fired = {f["rule"] for f in reply["findings"] if f["result"] == "fired"}
    waits = [_drying(item, text) for item, text in _dried(plan)]
    steps = {step["action"] for step in reply["plan"]["steps"]}
    if "cool" in steps:
        waits.append({"kind": "cooling", "text": "to come to 20 \u00b0C before it goes to the mark"})
    if _PERMANGANATE_STANDS in fired:
        text = (
            "to stand for a week, or be kept near boiling for half an hour; then it is filtered through sintered glass"
        )
        waits.append({"kind": "standing", "text": text, "days": STANDING_DAYS})
    traits = {} if alone is None else behaviours(alone.substance.slug, alone.form.label)
    close = getattr(plan.request, "purpose", None) in ("accurate", "standard")
    return Facts(
        waits=tuple(waits),
        danger=_danger(reply["plan"].get("hazards", {})),
        handled=_handled(plan),
        fume_cupboard="fume-cupboard" in steps,
        makes=None if alone is None or alone.target_mol_L is None else (alone.substance.slug, alone.target_mol_L),
        takes=tuple(
            (m.ingredient.substance.slug, m.ingredient.stock_mol_L, m.amount.value, m.what)
            for m in plan.measures
            if m.ingredient is not None and m.ingredient.kind == "stock" and m.ingredient.stock_mol_L is not None
        ),
        titrant="not-primary-standard" in traits and "standardise" in steps,
        standards=() if alone is None else _standards(alone.substance.slug),
        standard=alone.substance.slug if alone is not None and close and "primary-standard" in traits else None,
    )


def _standards(slug: str) -> tuple[str, ...]:
    """What a titrant is titrated against; a solution that must itself be standardised first is no standard, nor is what is held."""
    rows = (s for s in standardisations(slug) if not any(words in s.note for words in _NO_STANDARD))
    return tuple(dict.fromkeys(s.primary_standard for s in rows))


def standard_names(slugs: tuple[str, ...]) -> str:
    """The first few standards by name, as alternatives."""
    return " or ".join(substance(slug).name for slug in slugs[:3])


def _dried(plan: DraftPlan) -> list[tuple[Ingredient, str]]:
    """Primary standards that the card dries, with how."""
    if not plan.has_step("dry"):
        return []
    traits = ((i, behaviours(i.substance.slug, i.form.label).get("primary-standard")) for i in plan.ingredients)
    return [(i, trait.detail) for i, trait in traits if trait is not None and i.kind == "solid" and trait.dried_in_oven]


def _drying(item: Ingredient, how: str) -> Document:
    """The hours only where the table states them: to constant mass takes as long as it takes."""
    found: Document = {"kind": "drying", "text": f"{item.substance.name} to be dried: {how}"}
    stated = _HOURS.search(how)
    return found if stated is None else {**found, "hours": float(stated[2])}


def _handled(plan: DraftPlan) -> str:
    solids = [behaviours(i.substance.slug, i.form.label) for i in plan.ingredients if i.kind == "solid"]
    return ", ".join(words for trait, words in _HANDLED.items() if any(trait in solid for solid in solids))


def _danger(hazards: Document) -> int:
    """3 danger, 2 not classified here (which is no proof that there is none), 1 any other class, 0 none."""
    if hazards.get("signal_word", "").lower() == "danger":
        return 3
    if not hazards or "not_classified_here" in hazards:
        return 2
    return 1 if hazards["classes"] else 0
