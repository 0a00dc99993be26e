"""How solids and liquids behave on the bench: what takes up water, fades, eats glass, must be made fresh."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, rows

_NOT_DRIED = ("do not dry", "do not heat", "no drying", "no oven", "keep over")


@dataclass(frozen=True, slots=True)
class Behaviour:
    """One trait ("deliquescent", "light-sensitive", "not-primary-standard" ...) and what it asks for."""

    behaviour: str
    detail: str
    cite: Cite

    @property
    def dried_in_oven(self) -> bool:
        """Whether a primary standard is dried in an oven, by what its row says; several lose water or sublime there."""
        return not any(words in self.detail for words in _NOT_DRIED)


@lru_cache(maxsize=1)
def _traits() -> dict[tuple[str, str], dict[str, Behaviour]]:
    found: dict[tuple[str, str], dict[str, Behaviour]] = {}
    for r in rows("behaviour", key=("substance", "label", "behaviour"), filled=("behaviour",)):
        trait = Behaviour(r["behaviour"], r["detail"], cite(r["source_id"], r["locator"]))
        found.setdefault((r["substance"], r["label"]), {})[trait.behaviour] = trait
    return found


@lru_cache(maxsize=2048)
def behaviours(slug: str, label: str | None = None) -> Mapping[str, Behaviour]:
    """Trait by name for that form: those of every form, and those of the labelled form in front. Do not change it."""
    table = _traits()
    general = table.get((slug, ""), {})
    return {**general, **table.get((slug, label), {})} if label else general
