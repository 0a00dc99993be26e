"""Category 1 carcinogens, mutagens and reproductive toxicants are made only with permission."""

from collections.abc import Iterable

from rules.classify import Compared
from rules.made import CATEGORY_ONE, all_known, limits_said, pct, reached, share
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.load import cite

Found = list[tuple[Ingredient, dict[str, Compared]]]


def gather(plan: DraftPlan) -> Found | None:
    if plan.hazards is None:
        return None
    found = [(item, met) for item in plan.ingredients if (met := reached(plan, item, CATEGORY_ONE))]
    return found if found or all_known(plan) else None


def check(plan: DraftPlan, found: Found) -> Iterable[Hit]:
    for item, met in found:
        part = share(plan, item)
        any_one = next(iter(met.values()))
        counted = f" ({pct(any_one.actual_pct)} counted as {any_one.basis})" if any_one.basis else ""
        strength = f"{pct(part if part is not None else any_one.actual_pct)} w/w{counted}"
        yield Hit(f"{sentence(item.substance.name)} {strength} is at or above the limit: {limits_said(met)}.",
                  cites=tuple(dict.fromkeys(one.source for one in met.values())))


RULE = Rule(
    id="carcinogen-or-reprotoxin-hold",
    group="hazard",
    title="No category 1 carcinogen, mutagen or reproductive toxicant at its limit",
    severity="hold",
    applies_to="solutions whose solutes have a classification",
    citation=(cite("clp-annex-i", "Annex I, Tables 3.5.2, 3.6.2 and 3.7.2"),),
    rationale="The harm comes years later, and a safer substance often does the same job.",
    remedy=("Ask whether another substance does the job. Otherwise the safety officer allows it, with a named "
            "place, gloves, and a waste bottle."),
    gather=gather,
    check=check,
    examples=(
        Example("250.0 mL of 0.200 M nickel sulfate hexahydrate", "fired",
                "Nickel(II) sulfate 3.00 % w/w is at or above the limit: Carc. 1A from 0.1 %, Repr. 1B from 0.1 %."),
        Example("500 mL of 0.1 M acetic acid from glacial acetic acid", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
        Example("make some acid", "not_applicable"),
    ),
)
