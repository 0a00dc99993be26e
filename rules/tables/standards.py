"""How a solution that cannot be made exact by weighing is standardised."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, rows


@dataclass(frozen=True, slots=True)
class Standardisation:
    """Titrate ``titrant`` against ``primary_standard``: moles of titrant used per mole of standard."""

    titrant: str
    primary_standard: str
    titrant_per_standard: float
    indicator: str
    drying: str
    note: str
    cite: Cite


@lru_cache(maxsize=1)
def _by_titrant() -> dict[str, tuple[Standardisation, ...]]:
    found: dict[str, list[Standardisation]] = {}
    for r in rows("standardisations", key=("titrant", "primary_standard", "indicator"), filled=("primary_standard",),
                  numeric={"titrant_per_standard": (0.01, 24)}):
        found.setdefault(r["titrant"], []).append(
            Standardisation(r["titrant"], r["primary_standard"], float(r["titrant_per_standard"]), r["indicator"],
                            r["drying"], r["note"], cite(r["source_id"], r["locator"])))
    return {slug: tuple(held) for slug, held in found.items()}


def standardisations(slug: str) -> tuple[Standardisation, ...]:
    """Every way held of standardising a solution of that substance; empty when none is."""
    return _by_titrant().get(slug, ())
