"""A solution that is warm after dissolving is brought to 20 degC before it goes to the mark."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.tables.load import cite

#: Rise in K from which the volume at the mark is off by more than a flask's tolerance.
MOST_K = 2.0
#: Expansion of water at 20 degC less that of the glass (tanaka-2001, iso-4787), per K.
EXPANSION = 0.0002


def gather(plan: DraftPlan) -> float | None:
    """The rise in K, or 0 where only warming to dissolve is at stake."""
    if not plan.steps or not (plan.has_step("fill-to-mark") or plan.has_step("make-up-in-cylinder")):
        return None
    rise = plan.solution.temperature_rise
    if rise is not None and abs(rise) >= MOST_K:
        return rise
    return 0.0 if plan.has_step("dissolve-warm") else None


def check(plan: DraftPlan, rise: float) -> Iterable[Hit]:
    actions = [step.action for step in plan.steps]
    filled = next(i for i, action in enumerate(actions) if action in ("fill-to-mark", "make-up-in-cylinder"))
    if "cool" not in actions[:filled]:
        by = (
            f"{figures(abs(rise), 2)} degC off 20 degC, an error of about {figures(100 * EXPANSION * abs(rise), 2)} % in volume"
            if rise
            else "warm"
        )
        yield Hit(f"The steps fill to the mark while the solution is still {by}.")


RULE = Rule(
    id="cool-before-mark",
    group="order_and_heat",
    title="The solution is at 20 degC when it goes to the mark",
    severity="hold",
    applies_to="solutions that warm or cool on dissolving",
    citation=(
        cite("iso-4787", "reference temperature of volumetric glassware"),
        cite("tanaka-2001", "density of water"),
    ),
    rationale="Glassware is graduated at 20 degC; 5 K of warmth is about 0.1 % of volume.",
    remedy="Let it come to 20 degC before the mark.",
    gather=gather,
    check=check,
    examples=(
        Example("1L 2M NaOH", "passed"),
        Example("0.1 M NaCl 100 mL", "not_applicable"),
    ),
)
