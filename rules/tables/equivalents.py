"""How many equivalents a mole counts for, by reaction: what a normality means."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, rows


@dataclass(frozen=True, slots=True)
class Equivalent:
    """One reaction ("acid-base", "redox-permanganate-acid", "iodometry" ...) and the equivalents in a mole."""

    reaction: str
    per_mole: int
    note: str
    cite: Cite


@lru_cache(maxsize=1)
def _by_slug() -> dict[str, tuple[Equivalent, ...]]:
    found: dict[str, list[Equivalent]] = {}
    for r in rows("equivalents", key=("substance", "reaction"), filled=("reaction", "equivalents_per_mole"),
                  numeric={"equivalents_per_mole": (1, 24)}):
        found.setdefault(r["substance"], []).append(
            Equivalent(r["reaction"], int(r["equivalents_per_mole"]), r["note"], cite(r["source_id"], r["locator"])))
    return {slug: tuple(held) for slug, held in found.items()}


def equivalents(slug: str) -> tuple[Equivalent, ...]:
    """Every reaction held for a substance; more than one makes a bare normality ambiguous."""
    return _by_slug().get(slug, ())
