"""Says how cold the solution gets when dissolving takes up heat."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite

#: Fall in K from which it is worth waiting for (common practice, no source).
NOTE_K = 3.0


def gather(plan: DraftPlan) -> float | None:
    return plan.solution.temperature_rise if plan.steps else None


def check(plan: DraftPlan, rise: float) -> Iterable[Hit]:
    if rise <= -NOTE_K:
        waits = plan.has_step("cool")
        yield Hit(
            f"It cools by about {figures(-rise, 2)} degC on dissolving, more than {NOTE_K:g} degC: the rest "
            f"then dissolves slowly, and a flask filled "
            "cold is over the mark when warm.",
            severity="note" if waits else "caution",
        )


RULE = Rule(
    id="cools-on-dissolving",
    group="order_and_heat",
    title="It hardly cools on dissolving",
    severity="note",
    applies_to="solids whose heat of solution is held",
    citation=(cite("parker-1965", "enthalpy of solution"), cite("perry-8", "Table 2-182")),
    rationale="Flasks are graduated at 20 degC.",
    remedy="Dissolve in lukewarm water and let it come to 20 degC before the mark.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 2 M ammonium nitrate",
            "fired",
            "It cools by about 11 degC on dissolving, more than 3 degC: the rest then dissolves slowly, and "
            "a flask filled cold is over the mark when warm.",
        ),
        Example("500 mL of 0.1 M ammonium nitrate", "passed"),
        Example("0.1 M KCl 100 mL from 1 M stock of it", "not_applicable"),
    ),
)
