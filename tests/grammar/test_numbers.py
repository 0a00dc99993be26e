"""Numbers keep their digits; a number with two readings is never read."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.numbers import NumberProblem, comma_habit, read_number, spelled_number
from grammar.request import Quantity


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("250", "250"),
        ("0.0500", "0.0500"),
        (".5", "0.5"),
        ("1,5", "1.5"),
        ("0,500", "0.500"),
        ("0,05", "0.05"),
        ("1000,5", "1000.5"),
        ("1,000,000", "1000000"),
        ("1,000.5", "1000.5"),
        ("1.000,5", "1000.5"),
        ("1.000.000", "1000000"),
        ("1 000", "1000"),
        ("1 050", "1050"),
        ("1 234 567", "1234567"),
        ("1/2", "0.5"),
        ("2 1/2", "2.5"),
        ("1e3", "1E+3"),
        ("1.0e-3", "0.0010"),
        ("1.0 x 10^-3", "0.0010"),
        ("1.0 x 10-3", "0.0010"),
        ("1.0x10^3", "1.0E+3"),
        ("10^-2", "0.01"),
        ("+5", "5"),
    ],
)
def test_number(text: str, value: str) -> None:
    read = read_number(text)
    assert isinstance(read, Decimal)
    assert (read, read.as_tuple().digits) == (Decimal(value), Decimal(value).as_tuple().digits)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("-5", "negative-number"),
        ("1,000", "comma-ambiguous"),
        ("12,500", "comma-ambiguous"),
        ("12 500", "spaced-digits"),
        ("2 500", "spaced-digits"),
        ("1.0 x 103", "lost-superscript"),
        ("5 x 10", "multiplied-number"),
        ("1.2.3", "number-unclear"),
        ("1,2,3", "number-unclear"),
        ("1e400", "number-out-of-range"),
        ("1e-99999999", "number-out-of-range"),
        ("1/0", "number-out-of-range"),
        ("1" * 81, "number-out-of-range"),
    ],
)
def test_no_safe_reading(text: str, code: str) -> None:
    read = read_number(text)
    assert isinstance(read, NumberProblem)
    assert read.code == code


@pytest.mark.parametrize(
    ("line", "habit"),
    [
        ("1,000 mL of 0.1 M", "thousands"),
        ("1,000 L of 0,1 M", "decimal"),
        ("1,000 mL of 1 M", None),
        ("1,000,000", "thousands"),
        ("12,5 and 1,000", "decimal"),
    ],
)
def test_use_of_commas_on_a_line(line: str, habit: str | None) -> None:
    assert comma_habit(line) == habit


@pytest.mark.parametrize(("habit", "value"), [("thousands", "1000"), ("decimal", "1.000")])
def test_habit_settles_the_comma(habit: str, value: str) -> None:
    assert str(read_number("1,000", habit)) == value


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("half a", "0.5"),
        ("a half", "0.5"),
        ("a quarter", "0.25"),
        ("three quarters of a", "0.75"),
        ("a tenth of a", "0.1"),
        ("one", "1"),
        ("a", "1"),
        ("twenty-five", "25"),
        ("two hundred and fifty", "250"),
        ("one thousand five hundred", "1500"),
        ("two and a half", "2.5"),
        ("2 and a half", "2.5"),
        ("a hundred", "100"),
    ],
)
def test_number_in_words(words: str, value: str) -> None:
    assert spelled_number(words) == Decimal(value)


@pytest.mark.parametrize("words", ["", "and", "banana", "half banana"])
def test_no_number_in_words(words: str) -> None:
    assert spelled_number(words) is None


@given(st.decimals(min_value=0, max_value=10**9, places=4))
def test_plain_decimals_keep_every_digit(value: Decimal) -> None:
    assert str(read_number(str(value))) == str(value)


def test_figures_as_typed() -> None:
    assert [Quantity(Decimal(d), "mL").figures for d in ("0.0500", "100", "1.0", "5")] == [3, 3, 2, 1]
