"""Lines on a terminal."""

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.cli.bulk import Progress
from clients.cli.page import Page, clean, page_for, wrap
from clients.cli.render import reply
from clients.cli.serve import is_loopback


class _Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@given(st.text())
def test_cleaned_text_cannot_steer_a_terminal(text: str) -> None:
    assert all(c.isprintable() or c == "\ufffd" for c in clean(text).replace(" ", ""))
    assert len(clean(text)) == len(text)


@given(st.text(alphabet="ab ", max_size=80), st.integers(5, 30))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert all(len(line) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_colour_only_on_a_terminal_that_wants_it() -> None:
    assert page_for(_Terminal(), {"COLUMNS": "70"}).colour
    assert not page_for(_Terminal(), {"NO_COLOR": "1"}).colour
    assert not page_for(_Terminal(), {"TERM": "dumb"}).colour
    assert not page_for(io.StringIO(), {}).colour


@pytest.mark.parametrize(("columns", "width"), [("70", 70), ("500", 110), ("3", 40), ("wide", 80)])
def test_the_page_has_the_width_of_the_terminal_within_reason(columns: str, width: int) -> None:
    assert page_for(_Terminal(), {"COLUMNS": columns}).width == width


def test_ascii_takes_the_place_of_signs_that_cannot_be_shown() -> None:
    page = Page(unicode=False)
    page.lines.append("± 5 µL → 20 °C, H₂O ≤ é")
    assert page.text() == "+/- 5 uL -> 20 deg C, H2O <= ?\n"


def _not_understood(typed: str, span: list[int], width: int = 80) -> list[str]:
    page = Page(width=width)
    reply(
        page,
        {
            "id": "draft-0123456789ab",
            "outcome": "not_understood",
            "problem": {"code": "x", "message": "m", "span": span, "remedy": "r"},
        },
        typed,
    )
    return page.text().splitlines()


@pytest.mark.parametrize(
    ("typed", "span", "width"),
    [
        ("10 banana", [3, 9], 80),
        ("x" * 300 + "Y" + "z" * 300, [300, 301], 60),
        ("ab\x1bcd", [2, 3], 80),
        ("end", [3, 3], 80),
    ],
)
def test_the_caret_stands_under_the_place(typed: str, span: list[int], width: int) -> None:
    lines = _not_understood(typed, span, width)
    mark = next(n for n, line in enumerate(lines) if line.strip("^ ") == "" and "^" in line)
    column = lines[mark].index("^")
    marked = lines[mark - 1][column : column + lines[mark].count("^")]
    assert marked == clean(typed[span[0] : span[1]])
    assert all(len(line) <= width for line in lines)


@pytest.mark.parametrize(
    ("host", "local"),
    [
        ("127.0.0.1", True),
        ("localhost", True),
        ("::1", True),
        ("127.8.0.1", True),
        ("0.0.0.0", False),
        ("192.0.2.1", False),
        ("prep.example", False),
        ("", False),
    ],
)
def test_only_loopback_addresses_count_as_this_machine(host: str, local: bool) -> None:
    assert is_loopback(host) is local


def test_progress_is_drawn_on_a_terminal_only() -> None:
    terminal, pipe = _Terminal(), io.StringIO()
    for stream in (terminal, pipe):
        with Progress(stream, 2) as progress:
            progress.step()
            progress.step()
    assert "1 answered" in terminal.getvalue()
    assert terminal.getvalue().endswith("\r\x1b[K")
    assert pipe.getvalue() == ""
