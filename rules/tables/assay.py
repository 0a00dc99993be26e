"""How pure a reagent usually is, for the uncertainty of a bottle whose lot assay was not given."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, number, rows


@dataclass(frozen=True, slots=True)
class Assay:
    """Usual content of a reagent-grade bottle, % by mass, and the range lots are sold in."""

    typical_pct: float
    low_pct: float | None
    high_pct: float | None
    cite: Cite


@lru_cache(maxsize=1)
def _assays() -> dict[tuple[str, str], Assay]:
    percent = (1.0, 110.0)
    return {(r["substance"], r["label"]): Assay(float(r["typical_pct"]), number(r["low_pct"]), number(r["high_pct"]),
                                                cite(r["source_id"], r["locator"]))
            for r in rows("assay", key=("substance", "label"), filled=("typical_pct",),
                          numeric={"typical_pct": percent, "low_pct": percent, "high_pct": percent})}


def assay(slug: str, label: str = "") -> Assay | None:
    """The usual assay of that form, else of the substance; None when not held."""
    table = _assays()
    return table.get((slug, label)) or table.get((slug, ""))
