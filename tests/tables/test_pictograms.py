"""Nine pictograms of our own drawing, one for each code the statements use."""

import xml.etree.ElementTree as ET

import pytest

from rules.tables.hazards import pictogram
from rules.tables.load import rows
from rules.tables.pictograms import pictogram_svg

CODES = [row["code"] for row in rows("pictograms", key=("code",))]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("code", CODES)
def test_a_red_diamond_with_a_black_symbol_and_a_title(code: str) -> None:
    drawing = ET.fromstring(pictogram_svg(code))
    assert drawing.tag == f"{SVG}svg" and drawing.get("viewBox") == "0 0 200 200"
    assert (drawing.findtext(f"{SVG}title") or "").lower() == pictogram(code)[0]
    diamond = drawing.find(f"{SVG}path")
    assert diamond is not None and diamond.get("stroke") == "#d40000" and diamond.get("fill") == "#fff"
    symbol = drawing.find(f"{SVG}g")
    assert symbol is not None and len(list(symbol.iter())) > 1
    assert {part.tag.removeprefix(SVG) for part in drawing.iter()} <= {"svg", "title", "g", "path", "circle", "ellipse", "rect"}


def test_all_nine_and_no_other() -> None:
    assert [f"GHS0{n}" for n in range(1, 10)] == CODES
    assert len({pictogram_svg(code) for code in CODES}) == 9
    with pytest.raises(KeyError):
        pictogram_svg("GHS10")
