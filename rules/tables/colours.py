"""The colour of a solid by its form, where people name the bottle by it ("the blue one")."""

from functools import lru_cache

from rules.tables.load import Cite, cite, rows
from rules.tables.substances import Form, Substance


@lru_cache(maxsize=1)
def _colours() -> dict[tuple[str, str], tuple[tuple[str, Cite], ...]]:
    found: dict[tuple[str, str], list[tuple[str, Cite]]] = {}
    for r in rows("colours", key=("substance", "label", "colour"), filled=("label", "colour")):
        found.setdefault((r["substance"], r["colour"]), []).append((r["label"], cite(r["source_id"], r["locator"])))
    return {key: tuple(forms) for key, forms in found.items()}


def forms_of_colour(kind: Substance, colour: str) -> tuple[tuple[Form, Cite], ...]:
    """The forms of ``kind`` with that colour, each with its citation; empty where none is listed."""
    listed = _colours().get((kind.slug, colour.lower()), ())
    return tuple((form, cited) for label, cited in listed if (form := kind.form(label)) is not None)
