"""Whether a small m means molar (M) or molal is settled."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Open
from rules.reading import question
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("unit-m")):
        return found
    return () if plan.ingredients else None


def check(_plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    return (question(found),) if isinstance(found, Open) else ()


RULE = Rule(
    id="molar-or-molal",
    group="units",
    title="The m in the strength is settled",
    severity="ask",
    applies_to="every strength",
    citation=(cite("practice", "common practice: a small m is asked back"),),
    rationale="m is molal in one book and a slip for M in the next, and a metre to a machine.",
    remedy="Write M (or mol/L) for molar, mol/kg for molal.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "0.1 m HCl 1 L",
            "fired",
            "Is 0.1 m of hydrochloric acid meant as 0.1 M (molar) or as 0.1 molal? (0.1 M, moles in a litre "
            "of solution; 0.1 molal, moles in a kilogram of water)",
        ),
        Example("0.1 M HCl 1 L", "passed"),
    ),
)
