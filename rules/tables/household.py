"""What household and trade products hold that reacts: looked up only to refuse what must not meet, never to make anything."""

from functools import lru_cache

from rules.tables.load import rows
from rules.tables.names import key_of
from rules.tables.substances import Substance, substance


@lru_cache(maxsize=1)
def _products() -> dict[str, str]:
    return {key_of(r["name"]): r["substance"] for r in rows("household", key=("name",), filled=("substance",))}


def household(words: str) -> Substance | None:
    """The substance a product is dangerous by ("vinegar", "drain cleaner"); None for what is no such product."""
    slug = _products().get(key_of(words))
    return None if slug is None else substance(slug)
