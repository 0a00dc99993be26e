"""Tells the limit in the air breathed, where one is held."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.tables.exposure import ExposureLimit, exposure_limit
from rules.tables.load import cite

Found = list[tuple[str, ExposureLimit]]


def gather(plan: DraftPlan) -> Found | None:
    return [(item.substance.name, limit) for item in plan.ingredients if (limit := exposure_limit(item.substance.slug))] or None


def check(_plan: DraftPlan, found: Found) -> Iterable[Hit]:
    for name, limit in found:
        yield Hit(f"{sentence(name)} in the air breathed: {limit.said} (Ontario).", cites=(limit.cite,))


RULE = Rule(
    id="exposure-limit",
    group="volatility",
    title="A limit in the air breathed is told",
    severity="note",
    applies_to="substances with an exposure limit in the table",
    citation=(cite("ontario-833", "table of limits"),),
    rationale="The limit says how good the extraction must be; a substance without one here is not free of risk.",
    remedy="Take the limit in force where you work from section 8 of the safety data sheet; it comes first.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.1 M nitric acid from 70 % density 1.42", "fired",
                "Nitric acid in the air breathed: 2 ppm over eight hours, 4 ppm over 15 minutes (Ontario)."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
