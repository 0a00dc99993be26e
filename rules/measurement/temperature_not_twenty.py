"""Glassware made for 20 degC is used at 20 degC."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite

CALIBRATED_degC = 20.0
# Water near room temperature, per K (EURACHEM/CITAC QUAM:2012, example A1).
EXPANSION_PER_K = 2.1e-4
CLOSE_K = 1.0


def gather(plan: DraftPlan) -> float | None:
    if plan.vessel is None:
        return None
    asked = plan.request.temperature if isinstance(plan.request, Prepare) else None
    return float(asked.value) if asked is not None and asked.unit == "degC" else plan.temperature_degC


def check(_plan: DraftPlan, temperature: float) -> Iterable[Hit]:
    away = temperature - CALIBRATED_degC
    if abs(away) > CLOSE_K:
        change = figures(abs(away) * EXPANSION_PER_K * 100, 2)
        yield Hit(f"Made up at {temperature:g} degC instead of {CALIBRATED_degC:g} degC, the solution is about {change} % "
                  f"{'stronger' if away > 0 else 'weaker'} once at {CALIBRATED_degC:g} degC.")


RULE = Rule(
    id="temperature-not-twenty",
    group="measurement",
    title="Made up at the temperature of the glassware",
    severity="caution",
    applies_to="solutions made up to a mark",
    citation=(cite("iso-1042", "reference temperature 20 degC"),),
    rationale="The mark holds the volume at 20 degC only.",
    remedy="Let flask and solution come to 20 degC before the mark, or correct the volume.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride at 30 degC", "fired",
                "Made up at 30 degC instead of 20 degC, the solution is about 0.21 % stronger once at 20 degC."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
