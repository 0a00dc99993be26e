"""Silver and iodine solutions are kept in dark glass, not in plastic or clear glass."""

from collections.abc import Iterable

from rules.handled import bottle_asked, in_group
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("group silver-salt", "group halogen")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return in_group(plan, "silver-salt", "halogen")


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    bottle = bottle_asked(plan)
    for item in found:
        name = sentence(item.substance.name)
        if bottle is not None and bottle.material in ("plastic", "clear"):
            yield Hit(f"{name} solution was asked for in a {bottle.material} bottle; it is kept in dark glass only.")
        elif bottle is None or bottle.material != "amber":
            yield Hit(f"{name} solution goes into a dark glass bottle: plastic takes it up or spoils it, and light changes it.")


RULE = Rule(
    id="dark-glass-only",
    group="container",
    title="Silver and iodine stand in dark glass",
    severity="caution",
    applies_to="silver salts and halogens in solution",
    citation=(cite("aoac-942-26", "amber bottle"),),
    rationale="Silver darkens on plastic and in light; iodine passes into plastic and its strength falls.",
    remedy="Use an amber glass bottle; glass stopper or PTFE-lined cap for iodine.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M silver nitrate", "fired",
                "Silver nitrate solution goes into a dark glass bottle: plastic takes it up or spoils it, and light "
                "changes it."),
        Example("250 mL of 0.1 M silver nitrate in a brown bottle", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
