"""The sources of facts as documents."""

from typing import Any

from rules.tables import load


def source(source_id: str) -> dict[str, Any] | None:
    """The full reference behind a citation, or None."""
    try:
        found = load.source(source_id)
    except KeyError:
        return None
    shown = {"source_id": found.source_id, "reference": found.reference, "kind": found.kind}
    return {**shown, "url": found.url} if found.url else shown
