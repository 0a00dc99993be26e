"""Citations as documents, with the reference written out."""

from typing import Any

from rules.tables.load import Cite, source


def citation(cite: Cite) -> dict[str, Any]:
    """The source's id, the place in it, and its full reference."""
    return {"source_id": cite.source_id, "locator": cite.locator, "reference": source(cite.source_id).reference}
