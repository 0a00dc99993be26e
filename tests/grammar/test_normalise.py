"""Spelling made regular, with every character traced to the place where it was typed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.normalise import normalise


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("250 mL of 0.1 M NaCl", "250 mL of 0.1 M NaCl"),
        ("CuSO₄·5H₂O", "CuSO4.5H2O"),
        ("CuSO4 • 5H2O", "CuSO4.5H2O"),
        ("mol dm⁻³", "mol dm-3"),
        ("5 µL", "5 uL"),
        ("10⁻³ M", "10^-3 M"),
        ("½ L", "1/2 L"),
        ("2½ L", "2 1/2 L"),
        ("two  litres", "2 litres"),
        ("half a litre", "0.5 litre"),
        ("a litre of", "1 litre of"),
        ("5 g a litre", "5 g a litre"),
        ("a bottle", "a bottle"),
        ("20 students a pair", "20 students a pair"),
        ("l00 mL", "100 mL"),
        ("O.1 M", "0.1 M"),
        ("2l of", "2l of"),
        ("H2O", "H2O"),
        ("−5 mL", "-5 mL"),
        ("０.１ M", "0.1 M"),
    ],
)
def test_text(typed: str, text: str) -> None:
    assert normalise(typed).text == text


@given(st.text(max_size=100))
def test_spans_stay_inside_the_typed_text(typed: str) -> None:
    normal = normalise(typed)
    for start in range(0, len(normal.text), 3):
        first, last = normal.span(start, start + 1)
        assert 0 <= first <= last <= len(typed)


@pytest.mark.parametrize(
    ("typed", "piece", "origin"),
    [
        ("make half a litre now", "0.5 litre", "half a litre"),
        ("x ½ L", "1/2", "½"),
        ("a  b  c", "c", "c"),
        ("CuSO4 · 5H2O 3 mL", "3 mL", "3 mL"),
    ],
)
def test_span_of_a_changed_piece(typed: str, piece: str, origin: str) -> None:
    normal = normalise(typed)
    start = normal.text.index(piece)
    first, last = normal.span(start, start + len(piece))
    assert typed[first:last] == origin


def test_plain_text_is_not_touched() -> None:
    assert normalise("250 mL of 0.1 M NaCl").places is None
