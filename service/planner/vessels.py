"""Where the volume is made: one flask, a few flasks that add up to it, or a cylinder where no flask fits."""

import math
from dataclasses import replace
from functools import lru_cache
from itertools import combinations_with_replacement

from grammar.request import Prepare
from rules.plan import Batch, DraftPlan, Vessel
from rules.tables.glassware import Glass
from rules.tables.lab import Lab
from service.planner.plastic import keep_from_glass
from service.planner.pouring import nominal

MOST_FLASKS = 3
MOST_REFILLS = 12


@lru_cache(maxsize=4096)
def split_volume(volume_mL: float, sizes: tuple[float, ...]) -> tuple[float, ...]:
    """Flask sizes (largest first) that add up to the volume exactly, fewest first; empty where none do.

    Up to ``MOST_FLASKS`` flasks, on top of repeated fillings of the largest one for large volumes.
    """
    largest = sizes[-1]
    refills = max(0, math.ceil(volume_mL / largest) - MOST_FLASKS) if volume_mL > largest else 0
    if refills > MOST_REFILLS:
        return ()
    rest = volume_mL - refills * largest
    for count in range(1, MOST_FLASKS + 1):
        for chosen in combinations_with_replacement(sorted(sizes, reverse=True), count):
            if math.isclose(sum(chosen), rest, rel_tol=1e-9):
                return (largest,) * refills + chosen
    return ()


def next_flask(lab: Lab, volume_mL: float) -> Glass | None:
    """The smallest flask that holds at least the volume."""
    return next((f for f in lab.flasks if f.nominal_mL >= volume_mL * (1 - 1e-9)), None)


def choose_batches(plan: DraftPlan, exact_needed: bool) -> None:
    """Fill ``plan.batches`` and ``plan.vessel`` for ``plan.total_mL``; an accurate odd volume is sized up, and says so."""
    assert plan.total_mL is not None
    keep_from_glass(plan)
    volume, lab = plan.total_mL, plan.lab
    sizes = split_volume(volume, tuple(f.nominal_mL for f in lab.flasks))
    if not sizes and exact_needed:
        larger = next_flask(lab, volume)
        if larger is not None:
            plan.assumptions.append(
                f"No flask holds {volume:g} mL, and the strength must be accurate: {larger.nominal_mL:g} mL is made."
            )
            plan.total_mL = volume = larger.nominal_mL
            sizes = (volume,)
    if _in_tube(plan):
        tube = replace(_pistons(lab, volume)[0], kind="tube")
        plan.batches = [Batch(Vessel(tube), volume)]
    elif sizes:
        by_size = {f.nominal_mL: f for f in lab.flasks}
        plan.batches = [Batch(Vessel(by_size[size]), size) for size in sizes]
    else:
        plan.batches = _in_cylinders(lab, volume)
    plan.vessel = Vessel(plan.batches[0].vessel.glass, len(plan.batches))


def _pistons(lab: Lab, volume_mL: float) -> list[Glass]:
    """The piston pipettes that hold the volume, the smallest first."""
    return [p for p in lab.micropipettes if p.nominal_mL >= volume_mL * (1 - 1e-9)]


def _in_tube(plan: DraftPlan) -> bool:
    """Whether stocks and water are delivered into a tube by piston pipettes: a volume under the smallest flask."""
    volume, lab, request = plan.total_mL or 0.0, plan.lab, plan.request
    return (
        bool(lab.flasks and plan.ingredients)
        and volume < lab.flasks[0].nominal_mL * (1 - 1e-9)
        and bool(_pistons(lab, volume))
        and isinstance(request, Prepare)
        and request.ph is None
        and all(i.kind == "stock" for i in plan.ingredients)
    )


def _in_cylinders(lab: Lab, volume_mL: float) -> list[Batch]:
    largest = lab.cylinders[-1]
    count = max(1, math.ceil(volume_mL / largest.nominal_mL - 1e-9))
    share = volume_mL / count
    glass = next(c for c in lab.cylinders if c.nominal_mL >= share * (1 - 1e-9))
    return [Batch(Vessel(glass), share) for _ in range(count)]


def vessel_words(glass: Glass) -> str:
    """How a vessel is called on a bench card: "250 mL volumetric flask (class A)"."""
    if glass.kind == "tube":
        return f"closed tube for {nominal(glass)}"
    grade = f" (class {glass.glass_class})" if glass.glass_class else ""
    return f"{glass.nominal_mL:g} mL {glass.words}{grade}"
