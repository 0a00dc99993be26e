"""Which pipette, burette or cylinder measures a volume of stock or reagent, and how well."""

import math
from dataclasses import dataclass

from rules.tables.glassware import Glass
from rules.tables.lab import Lab
from service.planner import uncertainty

SMALLEST_PIPETTED_mL = 1.0


@dataclass(frozen=True, slots=True)
class Pour:
    """How a volume is measured: the ware, in deliveries, and the relative standard uncertainty."""

    deliveries: tuple[Glass, ...]
    u_rel: float

    @property
    def words(self) -> str:
        """The ware in words: "25 mL one-mark pipette", "50 mL + 25 mL one-mark pipettes"."""
        first = self.deliveries[0]
        if len(self.deliveries) == 1:
            return f"{nominal(first)} {first.words}"
        return " + ".join(nominal(g) for g in self.deliveries) + f" {first.words}s"


def nominal(ware: Glass) -> str:
    """The nominal volume as it stands on the ware: "25 mL", "200 uL"."""
    return f"{ware.nominal_mL:g} mL" if ware.nominal_mL >= 1 else f"{ware.nominal_mL * 1000:g} uL"


def pour(lab: Lab, volume_mL: float) -> Pour | None:
    """The ware with the least relative uncertainty that can measure the volume; None where nothing here can."""
    for deliveries in _one_mark(lab, volume_mL):
        u = math.sqrt(sum((uncertainty.vessel(g) * g.nominal_mL) ** 2 for g in deliveries)) / volume_mL
        return Pour(deliveries, u)
    graded = [
        g
        for g in (*lab.graduated_pipettes, *lab.burettes)
        if SMALLEST_PIPETTED_mL <= volume_mL <= g.nominal_mL or 0.5 * g.nominal_mL <= volume_mL <= g.nominal_mL
    ]
    micro = [g for g in lab.micropipettes if lab.piston_least * g.nominal_mL <= volume_mL <= g.nominal_mL]
    found = graded if graded and volume_mL >= 0.5 else micro or graded
    if not found and lab.cylinders:
        found = [c for c in lab.cylinders if c.nominal_mL >= volume_mL] if volume_mL >= SMALLEST_PIPETTED_mL else []
        found = found[:1] or ([lab.cylinders[-1]] if volume_mL > lab.cylinders[-1].nominal_mL else [])
    if not found:
        return None
    best = min(found, key=lambda g: g.tolerance_mL)
    return Pour((best,), uncertainty.vessel(best, volume_mL))


def _one_mark(lab: Lab, volume_mL: float) -> list[tuple[Glass, ...]]:
    """One-mark pipettes that deliver the volume exactly, alone or two together."""
    exact = [g for g in lab.pipettes if math.isclose(g.nominal_mL, volume_mL, rel_tol=1e-6)]
    if exact:
        return [(exact[0],)]
    pairs: list[tuple[Glass, ...]] = [
        (a, b)
        for i, b in enumerate(lab.pipettes)
        for a in lab.pipettes[i:]
        if math.isclose(a.nominal_mL + b.nominal_mL, volume_mL, rel_tol=1e-6)
    ]
    return sorted(pairs, key=lambda pair: pair[0].tolerance_mL + pair[1].tolerance_mL)[:1]
