"""Warns that the vessel asked for is not made to measure a volume, with the size of the error."""

from collections.abc import Iterable

from grammar.request import Container, Prepare
from grammar.units import UNITS
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.glassware import tolerance
from rules.tables.load import cite

_ROUGH = {
    "conical-flask": "a conical flask",
    "beaker": "a beaker",
    "measuring-cylinder": "a measuring cylinder",
    "bottle": "a bottle",
}


@only_where("container")
def gather(plan: DraftPlan) -> Container | None:
    return plan.request.container if isinstance(plan.request, Prepare) else None


def check(plan: DraftPlan, asked: Container) -> Iterable[Hit]:
    called = _ROUGH.get(asked.kind)
    if (
        called is None
        or plan.total_mL is None
        or (isinstance(plan.request, Prepare) and plan.request.purpose == "approximate")
    ):
        return
    nominal = (
        float(asked.nominal.value * UNITS[asked.nominal.unit].factor)
        if asked.nominal and UNITS[asked.nominal.unit].dimension == "volume"
        else plan.total_mL
    )
    if nominal <= 0:
        return  # there is no such vessel, and that it does not fit is another rule's to say
    glass = tolerance(asked.kind, nominal, "B") or tolerance(asked.kind, nominal)
    error = glass.tolerance_mL if glass else plan.policy.house.vessel_rough_pct / 100 * nominal
    flask = plan.vessel.glass if plan.vessel and plan.vessel.glass.kind == "volumetric-flask" else None
    better = f"; the {flask.nominal_mL:g} mL volumetric flask is good to {flask.tolerance_mL:g} mL" if flask else ""
    yield Hit(
        f"The marks of {called} of {nominal:g} mL are good to about {error:g} mL ({figures(100 * error / nominal, 2)} %){better}.",
        cites=(glass.cite,) if glass else (),
    )


RULE = Rule(
    id="vessel-not-accurate",
    group="vessel",
    title="The vessel named is made to measure a volume",
    severity="caution",
    applies_to="requests that name a vessel",
    citation=(cite("practice", "graduations on beakers and conical flasks are approximate"),),
    rationale="A strength worked out to three figures needs a volume known to three figures.",
    remedy="Make it up in a volumetric flask, or call the strength approximate.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.100 M sodium chloride 250 mL in a conical flask",
            "fired",
            "The marks of a conical flask of 250 mL are good to about 12.5 mL (5.0 %); the 250 mL volumetric "
            "flask is good to 0.15 mL.",
        ),
        Example("0.100 M sodium chloride 250 mL in a volumetric flask", "passed"),
        Example("0.100 M sodium chloride 250 mL", "not_applicable"),
    ),
)
