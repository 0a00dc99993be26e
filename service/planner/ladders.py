"""A stock so strong that nothing here measures the volume needed: it is diluted first, in up to three intermediates."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from rules.plan import DilutionStep, DraftPlan, Ingredient, Route
from rules.tables.glassware import Glass
from service.planner import uncertainty
from service.planner.figures import show
from service.planner.pouring import Pour, SMALLEST_PIPETTED_mL, pour
from service.planner.routes import LARGEST_FACTOR

MOST_INTERMEDIATES = 3
LARGEST_INTERMEDIATE_mL = 250.0
#: Intermediates before the last: 100 mL, a tenth or a hundredth taken on.
EARLY_mL, EARLY_TAKES_mL = 100.0, (1.0, 10.0)


@dataclass(frozen=True, slots=True)
class _Ladder:
    """The first volume of the stock and how it is measured, then each intermediate's flask and what is taken of it."""

    take_mL: float
    poured: Pour
    steps: tuple[tuple[Glass, Glass], ...]
    waste_mL: float
    u_rel: float


def dilute_first(plan: DraftPlan, item: Ingredient) -> None:
    """Make ``plan.route`` a serial dilution where one step would need less of the stock than anything here measures.

    ``item.volume_mL`` stays what one step would take; the dilutions say what is really taken. The route is left alone
    where the volume can be measured, where there are several fillings, and where no ladder of ``MOST_INTERMEDIATES`` reaches it.
    """
    assert plan.route is not None
    volume = item.volume_mL
    if not volume or len(plan.batches) != 1 or pour(plan.lab, volume) is not None:
        return
    best = min(_ladders(plan, volume), key=_preference, default=None)
    if best is None:
        return
    plan.route = Route(
        "serial",
        f"{show(volume, 'mL', 3)} of the stock in one step is less than anything here measures, so it is diluted "
        f"{len(best.steps) + 1} times, each time at most {LARGEST_FACTOR:g}-fold.",
        dilutions=_as_steps(plan, item, best),
    )


def _preference(ladder: _Ladder) -> tuple[int, bool, float, float]:
    """Fewest intermediates, then a first volume from a one-mark pipette, little left over, little uncertainty."""
    one_mark = ladder.poured.deliveries[0].kind == "one-mark-pipette" and len(ladder.poured.deliveries) == 1
    return len(ladder.steps), not one_mark, ladder.waste_mL, ladder.u_rel


def _ladders(plan: DraftPlan, volume_mL: float) -> Iterator[_Ladder]:
    """Every workable ladder with as few intermediates as can be."""
    final = plan.batches[0]
    flasks = [f for f in plan.lab.flasks if f.nominal_mL <= LARGEST_INTERMEDIATE_mL]
    pipettes = [p for p in plan.lab.pipettes if p.nominal_mL >= SMALLEST_PIPETTED_mL]
    chains: list[tuple[tuple[Glass, Glass], ...]] = [()]
    for count in range(MOST_INTERMEDIATES):
        if count == 1:
            flasks = [f for f in flasks if f.nominal_mL == EARLY_mL]
            pipettes = [p for p in pipettes if p.nominal_mL in EARLY_TAKES_mL]
        chains = [
            ((flask, pipette), *chain)
            for chain in chains
            for pipette in pipettes
            if _carries(pipette.nominal_mL, chain[0][0].nominal_mL if chain else final.volume_mL)
            for flask in flasks
            if pipette.nominal_mL <= flask.nominal_mL / 2
        ]
        found = [ladder for chain in chains if (ladder := _ladder(plan, volume_mL, chain)) is not None]
        if found:
            yield from found
            return


def _carries(take_mL: float, into_mL: float) -> bool:
    return take_mL <= into_mL / 2 and into_mL / take_mL <= LARGEST_FACTOR


def _ladder(plan: DraftPlan, volume_mL: float, chain: tuple[tuple[Glass, Glass], ...]) -> _Ladder | None:
    take = round(volume_mL * math.prod(flask.nominal_mL / pipette.nominal_mL for flask, pipette in chain), 9)
    if take < SMALLEST_PIPETTED_mL * (1 - 1e-9) or not _carries(take, chain[0][0].nominal_mL):
        return None
    poured = pour(plan.lab, take)
    if poured is None or poured.deliveries[0].kind == "measuring-cylinder":
        return None
    ware = [glass for pair in chain for glass in pair]
    u = math.sqrt(poured.u_rel**2 + sum(uncertainty.vessel(glass) ** 2 for glass in ware))
    waste = sum(flask.nominal_mL - pipette.nominal_mL for flask, pipette in chain)
    return _Ladder(take, poured, chain, waste, u)


def _as_steps(plan: DraftPlan, item: Ingredient, ladder: _Ladder) -> list[DilutionStep]:
    takes = [(ladder.take_mL, ladder.poured.deliveries[0]), *((p.nominal_mL, p) for _, p in ladder.steps)]
    vessels = [*(flask for flask, _ in ladder.steps), plan.batches[0].vessel.glass]
    sizes = [*(flask.nominal_mL for flask, _ in ladder.steps), plan.batches[0].volume_mL]
    names = ["stock", *(f"intermediate {n}" for n in range(1, len(vessels))), "the solution"]
    strength, made = item.stock_mol_L, []
    for (take, pipette), flask, size, (before, after) in zip(takes, vessels, sizes, pairwise(names), strict=True):
        weaker = strength * take / size if strength else None
        made.append(DilutionStep(take, pipette, flask, strength, weaker, size / take, before, after, size))
        strength = weaker
    return made
