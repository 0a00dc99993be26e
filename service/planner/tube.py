"""A volume under the smallest flask, put together from stocks and water in a closed tube by piston pipettes."""

from rules.plan import Amount, DraftPlan, Measure, Step
from service.planner.figures import show
from service.planner.pouring import pour
from service.planner.vessels import vessel_words


def in_tube(plan: DraftPlan) -> bool:
    """Whether the plan is made in a tube."""
    return bool(plan.batches) and plan.batches[0].vessel.glass.kind == "tube"


def add_water(plan: DraftPlan, solvent: str) -> None:
    """Append what is left to the volume as a measure of its own: a tube has no mark to fill to."""
    assert plan.total_mL is not None
    rest = plan.total_mL - sum(measure.amount.value for measure in plan.measures)
    ware = pour(plan.lab.pistons_alone(), rest) if rest > 0 else None
    if ware is not None:
        shown = Amount(rest, "mL", show(rest, "mL", 3))
        plan.measures.append(Measure(solvent, "solvent", shown, using=ware.words, glass=ware.deliveries[0]))


def tube_steps(plan: DraftPlan, steps: list[Step]) -> None:
    """Append the water first, then every stock."""
    tube = vessel_words(plan.batches[0].vessel.glass)
    for n, measure in enumerate(sorted(plan.measures, key=lambda m: m.role != "solvent")):
        where = f"a clean {tube}" if n == 0 else "the tube, under the surface"
        using = f" with the {measure.using}, a fresh tip," if measure.using else ""
        action = "measure-water" if measure.role == "solvent" else "measure-stock"
        steps.append(Step(action, f"Run {measure.amount.display} of {measure.what}{using} into {where}."))
    steps.append(Step("invert", "Close the tube and turn it over at least ten times; tap the drops down."))
