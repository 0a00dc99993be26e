"""Lines on a terminal: width, colour only where it is wanted, plain ASCII where nothing else can be shown."""

import os
from collections.abc import Mapping
from typing import TextIO

_STYLES = {"strong": "1", "faint": "2", "red": "1;31", "amber": "1;33", "green": "1;32", "blue": "1;34"}
_SUBSCRIPTS = {chr(0x2080 + digit): str(digit) for digit in range(10)}
_ASCII = str.maketrans(
    {
        "°": "deg ",
        "±": "+/-",
        "×": "x",
        "·": "*",
        "•": "*",
        "µ": "u",
        "μ": "u",
        "–": "-",
        "—": "-",
        "−": "-",
        "→": "->",
        "≤": "<=",
        "≥": ">=",
        "≈": "~",
        "…": "...",
        "‘": "'",
        "’": "'",
        "“": '"',
        "”": '"',
        "²": "2",
        "³": "3",
        "½": "1/2",
        "Δ": "delta ",
        "√": "sqrt",
        "━": "=",
        "─": "-",
        "▲": "^",
        "█": "#",
        "░": ".",
        "\u00a0": " ",
        "\u202f": " ",
        **_SUBSCRIPTS,
    }
)
MAX_WIDTH, MIN_WIDTH = 110, 40


class Page:
    """Collects lines; ``text`` is what goes to the screen. (No dataclass: their import costs as much as the whole page.)"""

    __slots__ = ("colour", "lines", "unicode", "width")

    def __init__(self, width: int = 80, colour: bool = False, unicode: bool = True) -> None:
        self.width, self.colour, self.unicode = width, colour, unicode
        self.lines: list[str] = []

    def paint(self, text: str, style: str) -> str:
        """The text in a style, where colour is wanted."""
        return f"\x1b[{_STYLES[style]}m{text}\x1b[0m" if self.colour and text else text

    def blank(self) -> None:
        """An empty line, never two in a row."""
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def rule(self) -> None:
        """A heavy line across the page."""
        self.lines.append(self.paint("━" * self.width, "faint"))

    def heading(self, title: str, note: str = "") -> None:
        """A section's name in capitals, with a short note after it."""
        self.blank()
        self.item(f"{title.upper()}  ", note, len(title) + 2, "strong")

    def item(self, mark: str, text: str, indent: int, style: str = "", text_style: str = "") -> None:
        """A mark in the margin and the text beside it, wrapped to start at column ``indent``."""
        wrapped = wrap(clean(text), self.width - indent)
        for number, line in enumerate(wrapped):
            margin = f"{mark:<{indent}}" if number == 0 else " " * indent
            painted = self.paint(margin, style) if style and number == 0 else margin
            self.lines.append((painted + (self.paint(line, text_style) if text_style else line)).rstrip())

    def text(self) -> str:
        """The page, ending in a line end."""
        joined = "\n".join(self.lines).rstrip() + "\n"
        if self.unicode:
            return joined
        return joined.translate(_ASCII).encode("ascii", "replace").decode("ascii")


def page_for(stream: TextIO, environ: Mapping[str, str] | None = None) -> Page:
    """A page that suits the stream: its width, its colours, its encoding."""
    env = os.environ if environ is None else environ
    terminal = stream.isatty()
    return Page(
        width=max(MIN_WIDTH, min(MAX_WIDTH, _columns(stream, env) if terminal else 100)),
        colour=terminal and not env.get("NO_COLOR") and env.get("TERM") != "dumb",
        unicode=(getattr(stream, "encoding", None) or "ascii").lower().replace("-", "") in ("utf8", "utf8sig"),
    )


def clean(text: str) -> str:
    """The text with whatever would steer a terminal or turn the writing direction made visible."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_visible(c) for c in text)


def _visible(character: str) -> str:
    if character.isprintable():
        return character
    return " " if character.isspace() else "\ufffd"


def wrap(text: str, width: int) -> list[str]:
    """The text in lines of at most ``width`` characters, broken at spaces; a longer word is cut."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        while len(word) > width:
            if line:
                lines.append(line)
                line = ""
            lines.append(word[:width])
            word = word[width:]
        if not line:
            line = word
        elif len(line) + 1 + len(word) <= width:
            line += f" {word}"
        else:
            lines.append(line)
            line = word
    lines.append(line)
    return lines


def _columns(stream: TextIO, environ: Mapping[str, str]) -> int:
    typed = environ.get("COLUMNS", "")
    if typed.isdigit() and int(typed) > 0:
        return int(typed)
    try:
        return os.get_terminal_size(stream.fileno()).columns
    except (OSError, ValueError):
        return 80
