"""Glassware made for 20 degC is used at 20 degC."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures
from rules.tables.density import water_density
from rules.tables.expansion import glass_expansion
from rules.tables.load import cite

CALIBRATED_degC = 20.0
CLOSE_K = 1.0
#: Water's density is held from here to there; outside, the change is not worked out.
LEAST_degC, MOST_degC = 0.0, 40.0


def gather(plan: DraftPlan) -> float | Unchecked | None:
    if plan.vessel is None:
        return None
    asked = plan.request.temperature if isinstance(plan.request, Prepare) else None
    at = float(asked.value) if asked is not None and asked.unit == "degC" else plan.temperature_degC
    if not LEAST_degC <= at <= MOST_degC:
        return Unchecked(f"The expansion of water at {at:g} degC is not held, so the change on coming to {CALIBRATED_degC:g} degC "
                         "was not worked out.")
    return at


def check(_plan: DraftPlan, temperature: float) -> Iterable[Hit]:
    away = temperature - CALIBRATED_degC
    if abs(away) > CLOSE_K:
        per_K, _ = glass_expansion()
        water, glass = water_density(CALIBRATED_degC) / water_density(temperature) - 1, per_K * away
        yield Hit(f"Made up at {temperature:g} degC instead of {CALIBRATED_degC:g} degC, the solution is about "
                  f"{figures(100 * abs(water - glass), 2)} % {'stronger' if away > 0 else 'weaker'} once at {CALIBRATED_degC:g} degC: "
                  f"water takes {figures(100 * abs(water), 2)} % {'more' if away > 0 else 'less'} room there and the flask holds "
                  f"{figures(100 * abs(glass), 1)} % {'more' if away > 0 else 'less'}.")


RULE = Rule(
    id="temperature-not-twenty",
    group="measurement",
    title="Made up at the temperature of the glassware",
    severity="caution",
    applies_to="solutions made up to a mark",
    citation=(cite("iso-1042", "reference temperature 20 degC"), cite("tanaka-2001", "equation 1"),
              cite("iso-4787", "coefficients of cubical thermal expansion of glass")),
    rationale="The mark holds the volume at 20 degC only.",
    remedy="Let flask and solution come to 20 degC before the mark, or correct the volume.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M sodium chloride at 30 degC", "fired",
                "Made up at 30 degC instead of 20 degC, the solution is about 0.25 % stronger once at 20 degC: water takes 0.26 % "
                "more room there and the flask holds 0.01 % more."),
        Example("1 L of 0.1 M sodium chloride at 60 degC", "unchecked",
                "The expansion of water at 60 degC is not held, so the change on coming to 20 degC was not worked out."),
        Example("1 L of 0.1 M sodium chloride", "passed"),
        Example("make some acid", "not_applicable"),
    ),
)
