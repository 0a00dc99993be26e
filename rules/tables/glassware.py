"""Volumetric ware and its tolerances by standard and class. Volumes mL at 20 degC."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, number, rows


@dataclass(frozen=True, slots=True)
class Glass:
    """One size of vessel. ``tolerance_mL`` is the maximum permissible error either way; ``subdivision_mL`` the marks.

    ``kind``: volumetric-flask, one-mark-pipette, graduated-pipette, burette, measuring-cylinder, micropipette, beaker,
    conical-flask, tube (filled by piston pipettes, with the error of the one that holds it).
    ``standard`` and ``glass_class`` are empty for ware no standard grades. ``material``: glass or plastic.
    """

    kind: str
    standard: str
    glass_class: str
    nominal_mL: float
    tolerance_mL: float
    subdivision_mL: float | None
    cite: Cite
    material: str = "glass"

    @property
    def words(self) -> str:
        """The kind of ware in words: "one-mark pipette", "plastic volumetric flask"."""
        kind = self.kind.replace("-", " ").replace("one mark", "one-mark")
        return f"plastic {kind}" if self.material == "plastic" else kind


@lru_cache(maxsize=1)
def all_glass() -> tuple[Glass, ...]:
    """Every row of the tolerance tables of glass, in table order (ISO before ASTM)."""
    return _read("glassware", "glass")


@lru_cache(maxsize=1)
def plastic_ware() -> dict[tuple[str, float], Glass]:
    """Volumetric ware of plastic by kind and size, for what attacks glass."""
    return {(ware.kind, ware.nominal_mL): ware for ware in _read("plasticware", "plastic")}


def _read(table: str, material: str) -> tuple[Glass, ...]:
    read = rows(table, key=("kind", "standard", "class", "nominal_mL", "subdivision_mL"),
                filled=("tolerance_mL",), numeric={"nominal_mL": (0.0005, 20000), "tolerance_mL": (1e-6, 500),
                                                   "subdivision_mL": (0.001, 500)})
    return tuple(
        Glass(r["kind"], r["standard"], r["class"], float(r["nominal_mL"]), float(r["tolerance_mL"]),
              number(r["subdivision_mL"]), cite(r["source_id"], r["locator"]), material)
        for r in read)


@lru_cache(maxsize=1)
def _by_size() -> dict[tuple[str, float], tuple[Glass, ...]]:
    sizes: dict[tuple[str, float], tuple[Glass, ...]] = {}
    for glass in all_glass():
        sizes[glass.kind, glass.nominal_mL] = (*sizes.get((glass.kind, glass.nominal_mL), ()), glass)
    return sizes


def tolerance(kind: str, nominal_mL: float, glass_class: str = "A", standard: str = "") -> Glass | None:
    """The vessel of that kind and size, or None when no table lists it.

    ``glass_class`` is ignored for ware without classes. ``standard``: its name, or its body ("ASTM"); empty takes the
    first listed (ISO where there is one).
    """
    for glass in _by_size().get((kind, nominal_mL), ()):
        if glass.glass_class in ("", glass_class) and glass.standard.startswith(standard):
            return glass
    return None
