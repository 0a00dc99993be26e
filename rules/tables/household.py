"""What household and trade products hold that reacts: looked up to refuse what must not meet and to ask what is meant, never to
make anything."""

from functools import lru_cache

from rules.tables.load import rows
from rules.tables.names import key_of
from rules.tables.substances import Substance, substance

SOLD_AS = "what the product is sold as"


@lru_cache(maxsize=1)
def _sold_as() -> frozenset[str]:
    return frozenset(key_of(r["name"]) for r in rows("household", key=("name",)) if r["locator"] == SOLD_AS)


@lru_cache(maxsize=1)
def _products() -> dict[str, str]:
    return {key_of(r["name"]): r["substance"] for r in rows("household", key=("name",), filled=("substance",))}


def household(words: str) -> Substance | None:
    """The substance a product is dangerous by ("vinegar", "drain cleaner"); None for what is no such product."""
    slug = _products().get(key_of(words))
    return None if slug is None else substance(slug)


def sold_as(words: str) -> Substance | None:
    """The substance a product is a solution of by its name ("vinegar"); None for what only holds something."""
    return household(words) if key_of(words) in _sold_as() else None
