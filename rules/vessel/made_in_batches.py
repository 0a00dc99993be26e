"""Says into which portions a volume beyond the largest flask is split, and what goes into each."""

from collections import Counter
from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("batches")
def gather(plan: DraftPlan) -> float | None:
    largest = plan.lab.flasks[-1].nominal_mL if plan.lab.flasks else 0.0
    return largest if len(plan.batches) > 1 and plan.total_mL is not None and plan.total_mL > largest else None


def check(plan: DraftPlan, largest: float) -> Iterable[Hit]:
    counted = Counter(round(batch.volume_mL, 6) for batch in plan.batches)
    total, line = plan.total_mL or 1.0, plan.measures[0] if plan.measures else None
    parts = []
    for volume, count in sorted(counted.items(), reverse=True):
        share = (
            f" with {say(line.amount.value * volume / total, 'g' if line.amount.unit == 'g' else 'mL', 4)} each"
            if line
            else ""
        )
        parts.append(f"{count} x {volume:g} mL{share}")
    what = f" of {line.what}" if line else ""
    yield Hit(
        f"{say(total, 'mL', 4)} is more than the largest flask here ({largest:g} mL): it is made as {', '.join(parts)}{what}."
    )


RULE = Rule(
    id="made-in-batches",
    group="vessel",
    title="It is made in one filling",
    severity="note",
    applies_to="volumes beyond the largest flask",
    citation=(cite("practice", "common practice: one record for each batch, then combine and mix"),),
    rationale="Each filling has its own weighing, and batches differ until they are mixed.",
    remedy="Write down each weighing; combine all portions in one vessel and mix before bottling.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "5 L of 0.1 M sodium chloride",
            "fired",
            "5000 mL is more than the largest flask here (2000 mL): it is made as 2 x 2000 mL with 11.69 g "
            "each, 1 x 1000 mL with 5.844 g each of sodium chloride.",
        ),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
