"""Typesetting: a template and plain data in, a PDF out. Text is only text: nothing in the data is read as markup."""

from functools import lru_cache
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import Any

import orjson

from rules.tables.pictograms import pictogram_svg
from service.problems import Problem

_TEMPLATES = Path(__file__).parent / "templates"


def typeset(template: str, data: dict[str, Any], code: str, pictograms: tuple[str, ...] = ()) -> bytes:
    """The PDF of ``template`` (its name) with ``data`` and the QR code of ``code``; ``pictograms`` are GHS codes.

    The same data gives the same bytes. Raises Problem where the packages for printing are not installed.
    """
    compile_pages = _package("typst").compile
    files = {
        "main.typ": _template(template),
        "common.typ": _template("common"),
        "data.json": orjson.dumps(data),
        "code.svg": qr_svg(code),
        **{f"{one}.svg": pictogram_svg(one).encode() for one in pictograms},
    }
    made: bytes = compile_pages(files, font_paths=[_fonts()], ignore_system_fonts=True, format="pdf", timestamp=0)
    return made


@lru_cache(maxsize=8)
def _template(name: str) -> bytes:
    return (_TEMPLATES / f"{name}.typ").read_bytes()


def _fonts() -> str:
    folder = _package("font_source_sans_pro").__file__
    assert folder is not None
    return str(Path(folder).parent / "files")


def qr_svg(text: str) -> bytes:
    """A QR code of the text with a quiet zone of four modules; an id of ten characters gives 21 by 21 modules."""
    out = BytesIO()
    _package("segno").make(text, error="q", micro=False).save(out, kind="svg", border=4, scale=10, xmldecl=False)
    return out.getvalue()


def _package(name: str) -> Any:
    """A package of the extra ``print``; loaded only where something is printed."""
    try:
        return import_module(name)
    except ImportError:
        raise Problem("printing-not-installed", "The packages for printing are not installed here.") from None
