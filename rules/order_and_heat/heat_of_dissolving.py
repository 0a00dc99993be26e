"""Says how warm the solution gets on dissolving or diluting, and holds what would come near to boiling."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Severity, Unchecked
from rules.saying import figures
from rules.tables.load import cite

#: Adiabatic rise in K from which it is noted (common practice, no source).
NOTE_K = 3.0


def gather(plan: DraftPlan) -> float | Unchecked | None:
    made = [item for item in plan.ingredients if item.kind != "stock"]
    if not plan.steps or not made:
        return None
    unknown = next((item for item in made if item.heat_kJ is None), None)
    if unknown is not None:
        return Unchecked(
            f"No heat of solution is held for {unknown.substance.name}, so how warm it gets was not checked."
        )
    return plan.solution.temperature_rise


def check(plan: DraftPlan, rise: float) -> Iterable[Hit]:
    if rise < NOTE_K:
        return
    caution, hold = plan.policy.house.caution_rise_K, plan.policy.house.hold_rise_K
    severity: Severity = "hold" if rise >= hold else "caution" if rise >= caution else "note"
    how = (
        "Cool in an ice bath, add in small portions with stirring, in a heat-proof beaker and never in a flask or bottle."
        if rise >= caution
        else "Let it cool to 20 degC before the mark."
    )
    yield Hit(
        f"It warms by up to about {figures(rise, 2)} degC, if all the heat stays in; {caution:g} degC calls for "
        f"cooling, {hold:g} degC for leave to make it.",
        how,
        severity,
    )


RULE = Rule(
    id="heat-of-dissolving",
    group="order_and_heat",
    title="It hardly warms on dissolving",
    severity="note",
    applies_to="solids, liquids and concentrated reagents",
    citation=(cite("parker-1965", "enthalpy of solution"), cite("perry-8", "Table 2-182")),
    rationale="Heat given off in a closed or narrow vessel throws hot alkali or acid out, and warm solution at the mark is weak when cold.",
    remedy="Dissolve in portions with cooling.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.5 M sodium hydroxide 500 mL",
            "fired",
            "It warms by up to about 5.2 degC, if all the heat stays in; 10 degC calls for cooling, 50 degC "
            "for leave to make it.",
        ),
        Example(
            "0.1 M potassium dichromate 500 mL",
            "unchecked",
            "No heat of solution is held for potassium dichromate, so how warm it gets was not checked.",
        ),
        Example("0.1 M sodium chloride 500 mL", "passed"),
        Example("0.1 M KCl 100 mL from 1 M stock", "not_applicable"),
    ),
)
