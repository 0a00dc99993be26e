"""Read printed pages back: their text, and the code on each."""

from typing import Any

import pypdfium2
import zxingcpp


def text_of(pdf: bytes) -> str:
    """All words of all pages, in one line."""
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)


def codes_of(pdf: bytes) -> list[str]:
    """What the code on each page says."""
    return [found.text for page in pypdfium2.PdfDocument(pdf) for found in zxingcpp.read_barcodes(_picture(page))]


def sizes_of(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of each page in mm."""
    return [
        (round(w * 25.4 / 72, 1), round(h * 25.4 / 72, 1))
        for w, h in (p.get_size() for p in pypdfium2.PdfDocument(pdf))
    ]


def ink_beyond(pdf: bytes, margin_mm: float) -> bool:
    """Whether anything is printed nearer to an edge than ``margin_mm``."""
    for page in pypdfium2.PdfDocument(pdf):
        dark = _picture(page) < 200
        edge = max(1, round(margin_mm / 25.4 * 216))
        if dark[:edge].any() or dark[-edge:].any() or dark[:, :edge].any() or dark[:, -edge:].any():
            return True
    return False


def _picture(page: Any) -> Any:
    return page.render(scale=3.0, grayscale=True).to_numpy().squeeze()
