"""Points out a class set that is worked out to the last drop."""

from collections.abc import Iterable

from grammar.request import Portions, Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("portions")
def gather(plan: DraftPlan) -> Portions | None:
    return plan.request.portions if isinstance(plan.request, Prepare) and plan.total_mL is not None else None


def check(plan: DraftPlan, portions: Portions) -> Iterable[Hit]:
    if portions.spare_percent == 0 and plan.total_mL:
        house = plan.policy.house
        dead = f" and {say(house.dead_volume_mL, 'mL', 2)}" if house.dead_volume_mL else ""
        needed = plan.total_mL * (1 + house.spare_pct / 100) + house.dead_volume_mL
        yield Hit(
            f"{say(plan.total_mL, 'mL', 4)} is exactly what {portions.count} {portions.who} use; rinsing, bottles and a repeat take about "
            f"{house.spare_pct:g} %{dead} more, {say(needed, 'mL', 4)}."
        )


RULE = Rule(
    id="dead-volume-allowance",
    group="volume",
    title="There is some to spare",
    severity="note",
    applies_to="class sets",
    citation=(cite("practice", "common practice: a tenth more than the sum"),),
    rationale="The last group finds an empty bottle.",
    remedy="Ask with a spare, for example '10 % spare'.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.10 M anhydrous sodium carbonate, 20 students, 50 mL each, no spare",
            "fired",
            "1000 mL is exactly what 20 students use; rinsing, bottles and a repeat take about 10 % more, 1100 mL.",
        ),
        Example("0.10 M anhydrous sodium carbonate, 20 students, 50 mL each, 10 % spare", "passed"),
        Example("1 L of 0.10 M anhydrous sodium carbonate", "not_applicable"),
    ),
)
