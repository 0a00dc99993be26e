"""Warns where the vessel's own tolerance is wider than an accurate solution allows."""

from collections.abc import Iterable

from rules.plan import Batch, DraftPlan
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite


@only_where("exact")
def gather(plan: DraftPlan) -> list[Batch] | None:
    return plan.batches or None if must_be_exact(plan) else None


def check(plan: DraftPlan, batches: list[Batch]) -> Iterable[Hit]:
    worst = max(batches, key=lambda batch: batch.vessel.glass.tolerance_mL / batch.volume_mL)
    glass = worst.vessel.glass
    share = glass.tolerance_mL / worst.volume_mL
    allowed = plan.policy.house.tolerance("accurate")
    if share > allowed * (1 + 1e-9):
        yield Hit(
            f"The {glass.nominal_mL:g} mL {glass.kind.replace('-', ' ')} is good to {glass.tolerance_mL:g} mL, "
            f"{figures(100 * share, 2)} %; "
            f"an accurate solution needs {100 * allowed:g} %.",
            cites=(glass.cite,),
        )


RULE = Rule(
    id="vessel-tolerance-too-wide",
    group="vessel",
    title="The vessel is as good as the strength asked for",
    severity="caution",
    applies_to="accurate solutions made up to a volume",
    citation=(cite("iso-1042", "limits of volumetric error"),),
    rationale="Small flasks have relatively wide tolerances; no care at the balance makes up for it.",
    remedy="Make a larger volume, or weigh the finished solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "accurate 10 mL of 0.1000 M potassium chloride",
            "fired",
            "The 10 mL volumetric flask is good to 0.025 mL, 0.25 %; an accurate solution needs 0.1 %.",
        ),
        Example("accurate 250 mL of 0.1000 M potassium chloride", "passed"),
        Example("250 mL of 0.1 M potassium chloride", "not_applicable"),
    ),
)
