"""Says how a volume that no flask has is made, and what the next size up would take."""

from collections.abc import Iterable

from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> float | None:
    largest = plan.lab.flasks[-1].nominal_mL if plan.lab.flasks else 0.0
    return plan.total_mL if plan.batches and plan.total_mL is not None and plan.total_mL <= largest else None


def check(plan: DraftPlan, volume: float) -> Iterable[Hit]:
    glass = plan.batches[0].vessel.glass
    if len(plan.batches) == 1 and glass.kind == "volumetric-flask" and abs(glass.nominal_mL - volume) <= 1e-6 * volume:
        return
    parts = " + ".join(f"{batch.volume_mL:g} mL" for batch in plan.batches)
    larger = next(flask for flask in plan.lab.flasks if flask.nominal_mL >= volume)
    main, line = plan.main, plan.measures[0] if plan.measures else None
    made = (
        f"made as {parts}"
        if len(plan.batches) > 1
        else f"made in a {glass.nominal_mL:g} mL {glass.words}"
    )
    if main is None or line is None or line.ingredient is None or (plan.route and plan.route.dilutions):
        yield Hit(f"There is no {volume:g} mL volumetric flask here: it is {made}.")
        return
    up = say(line.amount.value * larger.nominal_mL / volume, "g" if line.amount.unit == "g" else "mL", 4)
    yield Hit(
        f"There is no {volume:g} mL volumetric flask here: it is {made}. One {larger.nominal_mL:g} mL flask would take {up} of {line.what}."
    )


RULE = Rule(
    id="no-single-flask",
    group="vessel",
    title="One volumetric flask has the volume",
    severity="note",
    applies_to="volumes up to that of the largest flask",
    citation=(cite("practice", "stock list of the prep room"),),
    rationale="An odd volume costs a second filling or accuracy; the next size up is often the better way.",
    remedy="Take the way given, or ask for the volume of one flask.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "300 mL of 0.1 M sodium chloride",
            "fired",
            "There is no 300 mL volumetric flask here: it is made as 250 mL + 50 mL. One 500 mL flask would "
            "take 2.922 g of sodium chloride.",
        ),
        Example("250 mL of 0.1 M sodium chloride", "passed"),
        Example("5 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
