"""Citations as documents."""

from typing import Any

from rules.tables.load import Cite


def citation(cite: Cite) -> dict[str, Any]:
    """The source's id and the place in it."""
    return {"source_id": cite.source_id, "locator": cite.locator}
