"""Says that parts per million were taken as mass per volume."""

from collections.abc import Iterable

from grammar.request import Quantity
from rules.plan import DraftPlan
from rules.reading import components
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

_MEANS = {"ppm": "mg/L", "ppb": "ug/L"}


@only_where(*(f"unit {unit}" for unit in _MEANS))
def gather(plan: DraftPlan) -> list[Quantity] | None:
    return [c.strength for c in components(plan) if c.strength is not None and c.strength.unit in _MEANS] or None


def check(_plan: DraftPlan, found: list[Quantity]) -> Iterable[Hit]:
    for strength in found:
        yield Hit(
            f"{strength.value} {strength.unit} is taken as {strength.value} {_MEANS[strength.unit]}, mass in a volume of "
            "solution; as mass in mass it would differ by the density.",
            severity="caution" if strength.unit == "ppm" and strength.value > 10000 else "note",
        )


RULE = Rule(
    id="ppm-taken-as",
    group="units",
    title="The strength is stated without parts per million",
    severity="note",
    applies_to="strengths in ppm or ppb",
    citation=(cite("practice", "common practice for dilute solutions in water"),),
    rationale="ppm names a ratio without saying of what; for dilute solutions in water the two readings agree.",
    remedy="Write mg/L or mg/kg where it matters.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of 50 ppm sodium chloride",
            "fired",
            "50 ppm is taken as 50 mg/L, mass in a volume of solution; as mass in mass it would differ by the density.",
        ),
        Example("250 mL of 50 mg/L sodium chloride", "not_applicable"),
    ),
)
