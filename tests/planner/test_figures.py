"""Significant figures, windows and displays."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.request import Quantity
from rules.house import House
from service.planner.figures import (
    half_last_digit,
    inward,
    on_balance,
    round_figures,
    show,
    textbook,
    tolerance,
    window,
)


@pytest.mark.parametrize(
    ("value", "figures", "text"),
    [
        # OpenStax Chemistry 2e, section 1.5: ties go to the even digit, anything beyond a bare five goes up.
        (421.25, 4, "421.2"),
        (28683.5, 5, "28684"),
        (0.0085245, 3, "0.00852"),
        (9.9996, 4, "10.00"),
        (0.99996, 4, "1.000"),
        (13.142, 3, "13.1"),
    ],
)
def test_rounding(value: float, figures: int, text: str) -> None:
    assert round_figures(value, figures) == text


@pytest.mark.parametrize(
    ("typed", "half"),
    [
        ("0.200", 0.0025),
        ("0.0500", 0.001),
        ("0.1", 0.5),
        ("1.0", 0.05),
        ("100", 0.005),
        ("250", 0.002),
        ("1000", 0.005),
        ("12", 0.5 / 12),
    ],
)
def test_half_of_the_last_digit_typed(typed: str, half: float) -> None:
    assert half_last_digit(Quantity(Decimal(typed), "mol/L")) == pytest.approx(half)


def test_the_tighter_of_typed_figures_and_house_tolerance_wins() -> None:
    assert tolerance(Quantity(Decimal("0.200"), "mol/L"), None, House())[0] == pytest.approx(0.0025)
    assert tolerance(Quantity(Decimal("0.1"), "mol/L"), None, House())[0] == 0.01
    assert tolerance(Quantity(Decimal("0.1"), "mol/L"), "accurate", House())[0] == 0.001


def test_window_of_the_nickel_sulfate_example_rounds_inwards() -> None:
    # 0.200 M in 250.0 mL from 262.839 g/mol: 0.1995 M is 13.109 g and 0.2005 M is 13.175 g.
    span = window(13.14195, 0.0025, "")
    assert inward(span.low, span.high, 4) == ("13.11", "13.17")


@given(st.floats(1e-6, 1e6), st.floats(1e-4, 0.2))
def test_shown_ends_never_leave_the_window(amount: float, rel: float) -> None:
    span = window(amount, rel, "")
    low, high = (float(end) for end in inward(span.low, span.high, 4))
    assert span.low * (1 - 1e-5) <= low <= high <= span.high * (1 + 1e-5)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.00316, "g", "3.160 mg"),
        (1500.0, "g", "1.500 kg"),
        (0.02, "mL", "20.00 uL"),
        (12000.0, "mL", "12.00 L"),
        (2e-5, "mol/L", "20.00 umol/L"),
    ],
)
def test_units_of_displays(value: float, unit: str, text: str) -> None:
    assert show(value, unit) == text


def test_a_balance_shows_its_own_decimals() -> None:
    assert on_balance(13.14195, 0.001) == "13.142 g"
    assert on_balance(9.9992, 0.01) == "10.00 g"
    assert on_balance(0.00002, 0.0001) == "20.00 ug"


def test_textbook_answer_has_the_figures_of_the_request_and_at_least_three() -> None:
    assert textbook(1.248, "g", 3) == "1.25 g"
    assert textbook(12.484, "g", 1) == "12.5 g"
    assert textbook(13.14195, "g", 5) == "13.142 g"
