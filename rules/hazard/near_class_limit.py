"""Within 5 % of a class limit the stricter class is taken."""

from collections.abc import Iterable

from rules.classify import Compared
from rules.handled import names
from rules.made import all_known, reached
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[tuple[str, Compared]] | None:
    if plan.hazards is None:
        return None
    found = [(item.substance.name, one) for item in plan.ingredients for one in reached(plan, item).values() if one.near]
    return found if found or all_known(plan) else None


def check(_plan: DraftPlan, found: list[tuple[str, Compared]]) -> Iterable[Hit]:
    shared: dict[tuple[str, float, float, str], list[Compared]] = {}
    for name, one in found:
        shared.setdefault((name, one.actual_pct, one.limit_pct, one.basis), []).append(one)
    for (name, actual, limit, basis), alike in shared.items():
        counted = f" counted as {basis}" if basis else ""
        yield Hit(f"{figures(actual)} % w/w {name}{counted} is within 5 % of the limit of {limit:g} % for "
                  f"{names(one.hazard_class for one in alike)}, so the stricter class is taken.",
                  cites=tuple(dict.fromkeys(one.source for one in alike)))


RULE = Rule(
    id="near-class-limit",
    group="hazard",
    title="The strength is clear of a class limit",
    severity="caution",
    applies_to="solutions with a classified solute",
    citation=(cite("practice", "common practice: weighing, purity and density are known to a few percent at best"),),
    rationale="The uncertainty of the strength reaches over the limit, so the milder class cannot be claimed.",
    remedy="Label and handle it as the stricter class.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M sodium hydroxide", "fired",
                "1.96 % w/w sodium hydroxide is within 5 % of the limit of 2 % for Eye Dam. 1 and Skin Corr. 1B, so "
                "the stricter class is taken."),
        Example("500 mL of 1 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
