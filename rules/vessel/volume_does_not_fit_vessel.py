"""The volume asked for is the volume of the vessel asked for."""

from collections.abc import Iterable

from grammar.request import Container, Prepare
from grammar.units import UNITS
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("container")
def gather(plan: DraftPlan) -> Container | None:
    if not isinstance(plan.request, Prepare) or plan.total_mL is None:
        return None
    asked = plan.request.container
    return (
        asked
        if asked is not None and asked.nominal is not None and UNITS[asked.nominal.unit].dimension == "volume"
        else None
    )


def check(plan: DraftPlan, asked: Container) -> Iterable[Hit]:
    assert asked.nominal is not None
    nominal, total = float(asked.nominal.value * UNITS[asked.nominal.unit].factor), plan.total_mL or 0.0
    kind = asked.kind.replace("-", " ")
    if total > nominal * (1 + 1e-6):
        yield Hit(f"{total:g} mL does not fit a {kind} of {nominal:g} mL.")
    elif asked.kind == "volumetric-flask" and total < nominal * (1 - 1e-6):
        yield Hit(
            f"A volumetric flask of {nominal:g} mL has its only mark at {nominal:g} mL, so it cannot measure {total:g} mL."
        )


RULE = Rule(
    id="volume-does-not-fit-vessel",
    group="vessel",
    title="The volume fits the vessel named",
    severity="caution",
    applies_to="requests that name a vessel with its size",
    citation=(cite("iso-1042", "one-mark flasks contain their nominal volume at the mark"),),
    rationale="One of the two sizes is a slip, and the amount follows the volume.",
    remedy="Check which of the two is meant; the plan is worked out for the volume asked for.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.1 M sodium chloride in a 250 mL volumetric flask",
            "fired",
            "500 mL does not fit a volumetric flask of 250 mL.",
        ),
        Example("250 mL of 0.1 M sodium chloride in a 250 mL volumetric flask", "passed"),
        Example("250 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
