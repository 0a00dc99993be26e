"""The hazard of every solute is known at the strength made."""

from collections.abc import Iterable

from rules.handled import names
from rules.made import entry_of
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.load import cite


def gather(plan: DraftPlan) -> tuple[()] | Unchecked | None:
    if not plan.ingredients:
        return None
    unlisted = [item.substance for item in plan.ingredients if entry_of(item) is None]
    if unlisted:
        return Unchecked(f"No hazard data at all is held for {names(unlisted)}, so no class, label or protection was worked out.")
    if plan.hazards is None:
        return None if plan.opens or plan.problem else Unchecked(
            f"The share by mass of {names(item.substance for item in plan.ingredients)} in the solution is not known, so its hazard class "
            "was not worked out.")
    # A substance without an entry in law is told of by its own rule; it is no pass here.
    return () if not plan.hazards.unknown else None


def check(_plan: DraftPlan, _found: tuple[()]) -> Iterable[Hit]:
    return ()


RULE = Rule(
    id="hazard-data-missing",
    group="hazard",
    title="Hazard data is held for every solute",
    severity="caution",
    applies_to="every solution",
    citation=(cite("practice", "common practice"),),
    rationale="What is not known is handled as dangerous.",
    remedy="Take the class from the sheet of the supplier; until then goggles, gloves and the fume cupboard.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 30 % v/v triethanolamine", "unchecked",
                "The share by mass of triethanolamine in the solution is not known, so its hazard class was not worked out."),
        Example("500 mL of 0.5 M sodium hydroxide", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
