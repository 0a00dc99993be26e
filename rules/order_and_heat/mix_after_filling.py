"""Every filling to a mark or line is followed by mixing."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

_FILLS = ("fill-to-mark", "make-up-in-cylinder")


def gather(plan: DraftPlan) -> list[str] | None:
    actions = [step.action for step in plan.steps]
    return actions if "fill-to-mark" in actions or "make-up-in-cylinder" in actions else None


def check(_plan: DraftPlan, actions: list[str]) -> Iterable[Hit]:
    fills = sum(map(actions.count, _FILLS))
    mixings = actions.count("invert")
    if mixings >= fills and next(action for action in reversed(actions) if action == "invert" or action in _FILLS) == "invert":
        return
    times = f"{fills} time{'s' if fills != 1 else ''}"
    if mixings < fills:
        yield Hit(f"The steps fill to a mark {times} but mix only {mixings} time{'s' if mixings != 1 else ''}.")
    else:
        yield Hit(f"The steps fill to a mark {times}, but the last filling is not followed by mixing.")


RULE = Rule(
    id="mix-after-filling",
    group="order_and_heat",
    title="Every filling is followed by mixing",
    severity="hold",
    applies_to="solutions made up to a volume",
    citation=(cite("practice", "common practice: stopper and turn over at least ten times"),),
    rationale="The water added last lies on top; unmixed, the first pour is weak and the last strong.",
    remedy="Stopper and turn over at least ten times after each filling.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1 M sodium chloride", "passed"),
        Example("250 g of 10 % w/w sodium chloride", "not_applicable"),
    ),
)
