"""Says so when nothing is held on how much dissolves: no data is never a pass."""

from collections.abc import Iterable

from rules.dissolving import in_water, judged, made_at, saturation
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Unchecked
from rules.tables.load import cite
from rules.tables.solubility import Miscible, solubility


def gather(plan: DraftPlan) -> Unchecked | tuple[()] | None:
    if plan.opens:
        return None
    solids = [item for item in plan.ingredients if item.kind in ("solid", "liquid")]
    if not solids:
        return None
    if not in_water(plan):
        return Unchecked(
            f"Nothing is held on what dissolves in {getattr(plan.request, 'solvent', None)}, so it was not checked."
        )
    for item in solids:
        held = saturation(item.substance.slug, made_at(plan))
        if held is None:
            if not isinstance(solubility(item.substance.slug, made_at(plan)), Miscible):
                return Unchecked(
                    f"No solubility of {item.substance.name} in water is held, so whether it dissolves was not checked."
                )
        elif judged(plan, item, held) == "unknown":
            return Unchecked(
                f"The strength of {item.substance.name} could not be set against its solubility, so it was not checked."
            )
    return ()


def check(_plan: DraftPlan, _found: tuple[()]) -> Iterable[Hit]:
    return ()


RULE = Rule(
    id="no-solubility-data",
    group="solubility",
    title="The solubility is held",
    severity="caution",
    applies_to="solids and liquids dissolved",
    citation=(cite("practice", "common practice: try a small amount first"),),
    rationale="A silent table must not read as 'dissolves'.",
    remedy="Try a tenth of the amount in a tenth of the volume first.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 M tin(IV) chloride pentahydrate 500 mL",
            "unchecked",
            "No solubility of tin(IV) chloride in water is held, so whether it dissolves was not checked.",
        ),
        Example("1 M NaCl, 500 mL", "passed"),
        Example("0.1 M HCl, 500 mL", "not_applicable"),
    ),
)
