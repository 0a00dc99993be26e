"""Rounding by float formatting gives the digits of decimal arithmetic for every value."""

import math

from hypothesis import given
from hypothesis import strategies as st

from rules.saying import _exact, figures

FIGURES = st.integers(1, 16)


@given(st.floats(allow_nan=True, allow_infinity=True), FIGURES)
def test_any_float(value: float, count: int) -> None:
    assert figures(value, count) == _exact(value, count)


@given(st.floats(1e-6, 1e9), FIGURES)
def test_amounts(value: float, count: int) -> None:
    assert figures(value, count) == _exact(value, count)


@given(st.integers(1, 10**9), st.integers(-12, 6), st.integers(1, 10), st.sampled_from((-1, 0, 1)))
def test_ties_and_their_neighbours(digits: int, exponent: int, count: int, side: int) -> None:
    tie = float(f"{digits}5e{exponent}")
    value = math.nextafter(tie, side * math.inf) if side else tie
    assert figures(value, count) == _exact(value, count)


@given(st.integers(1, 14), st.integers(-9, 9), st.integers(1, 10))
def test_carries_into_the_next_place(nines: int, exponent: int, count: int) -> None:
    value = float(f"9.{'9' * nines}6e{exponent}")
    assert figures(value, count) == _exact(value, count)


def test_the_decimal_as_written_is_rounded_half_to_even() -> None:
    assert [figures(value, 3) for value in (2.675, 2.665, 0.01225, 99.95, 1235.0)] == ["2.68", "2.66", "0.0122", "100", "1240"]
