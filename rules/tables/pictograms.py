"""Drawings of the hazard pictograms: our own, after the symbols the UN standard names (GHS, Annex 1, and 1.4.10.4)."""

from functools import lru_cache

from rules.tables.hazards import pictogram
from rules.tables.load import TABLES

_FOLDER = TABLES / "pictograms"


@lru_cache(maxsize=16)
def pictogram_svg(code: str) -> str:
    """The drawing as an SVG document, square, black on white in a red diamond. Raises ``KeyError`` for an unknown code."""
    pictogram(code)
    return (_FOLDER / f"{code}.svg").read_text(encoding="utf-8")
