"""What a house sets for itself beside the law: tolerances, caps, allowances, and its own list of what is asked about first.

The defaults are common practice or house figures, no source; a local policy replaces them. Percentages are of the value
they stand beside; volumes mL, masses g, strengths mol/L, temperatures K.
"""

import hashlib
import json
from dataclasses import asdict, dataclass, replace
from typing import Literal

from rules.tables.groups import groups_of
from rules.tables.handling import Storage


@dataclass(frozen=True, slots=True)
class Ask:
    """A substance or a reactive group that this house asks about first, or does not make.

    It counts above ``above_mol_L`` of the made solution or above ``above_g`` of the substance in it; without either, always.
    """

    substance: str | None
    group: str | None
    action: Literal["hold", "refuse"]
    reason: str
    two_person: bool = False
    above_mol_L: float | None = None
    above_g: float | None = None

    def names(self, slug: str) -> bool:
        """Whether the entry is about that substance."""
        return slug == self.substance or (self.group is not None and self.group in groups_of(slug))

    @property
    def always(self) -> bool:
        """Whether it counts at any strength and amount."""
        return self.above_mol_L is None and self.above_g is None


@dataclass(frozen=True, slots=True)
class Cap:
    """The greatest strength, mol/L, in which a substance or group is given to students."""

    substance: str | None
    group: str | None
    most_mol_L: float

    def names(self, slug: str) -> bool:
        """Whether the cap is about that substance."""
        return slug == self.substance or (self.group is not None and self.group in groups_of(slug))


@dataclass(frozen=True, slots=True)
class House:
    """Every limit a house may set. The planner and the rules read it from the policy of the plan.

    ``accurate_pct``, ``usual_pct``, ``rough_pct``: how far a strength may lie from the one asked for;
    ``accurate_uncertainty_pct``: the expanded uncertainty (k = 2) an accurate solution is held to; ``vessel_rough_pct``:
    what the marks of beakers are good to. ``large_*`` is held, ``largest_*`` refused. ``corrosive_bottle_mL``: the most
    of a corrosive solution in one bottle. ``open_bench_mol_L``: fuming stocks up to here are poured on the open bench.
    ``least_pipetted_mL``: the least volume pipetted without a remark; ``piston_least_pct``: the share of its nominal
    volume from which a piston pipette is used; ``vessel_error_pct``: the error of a vessel, of the volume, that ends a plan.
    ``most_fold`` in one step and ``most_dilutions`` in a row pass without a remark. ``spare_pct`` and ``dead_volume_mL``:
    what a class set needs beside what is used; ``stock_spare_pct``: the same of a stock for a series.
    ``precursor_pct``: limits below those of the law. ``retention_years``: how long records are kept at least.
    """

    accurate_pct: float = 0.1
    usual_pct: float = 1.0
    rough_pct: float = 5.0
    accurate_uncertainty_pct: float = 0.5
    vessel_rough_pct: float = 5.0
    student_mol_L: float = 1.0
    student_caps: tuple[Cap, ...] = ()
    large_mL: float = 20_000.0
    largest_mL: float = 200_000.0
    large_g: float = 5_000.0
    largest_g: float = 50_000.0
    corrosive_bottle_mL: float = 2_500.0
    open_bench_mol_L: float = 2.0
    caution_rise_K: float = 10.0
    hold_rise_K: float = 50.0
    least_pipetted_mL: float = 1.0
    piston_least_pct: float = 10.0
    vessel_error_pct: float = 10.0
    most_fold: float = 100.0
    most_dilutions: int = 2
    small_label_mL: float = 50.0
    spare_pct: float = 10.0
    dead_volume_mL: float = 0.0
    stock_spare_pct: float = 20.0
    shelf_life_days: int = 365
    standardise_days: int = 28
    retention_years: int = 5
    ask_first: tuple[Ask, ...] = ()
    precursor_pct: tuple[tuple[str, float], ...] = ()

    def tolerance(self, purpose: str | None) -> float:
        """How far the strength may lie from the one asked for, as a fraction."""
        pct = {"accurate": self.accurate_pct, "standard": self.accurate_pct, "approximate": self.rough_pct}
        return pct.get(purpose or "", self.usual_pct) / 100

    def asks(self, slug: str) -> tuple[Ask, ...]:
        """The entries of this house about a substance."""
        return tuple(ask for ask in self.ask_first if ask.names(slug))

    def student_cap(self, slug: str, corrosive: bool) -> float | None:
        """The lowest cap for students on a substance, mol/L; None where there is none."""
        caps = [cap.most_mol_L for cap in self.student_caps if cap.names(slug)]
        return min([*caps, self.student_mol_L] if corrosive else caps, default=None)


def at_most(kept: Storage | None, house: House) -> Storage | None:
    """How a solution is kept, its life no longer than the house allows where nothing but a house default is held."""
    if kept is None or kept.basis != "house-default" or (kept.shelf_life_days or 0) <= house.shelf_life_days:
        return kept
    return replace(kept, shelf_life_days=house.shelf_life_days)


def digest(pack: str, house: House) -> str:
    """Eight hex digits that differ where a limit does."""
    told = json.dumps([pack, asdict(house)], sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(told.encode()).hexdigest()[:8]
