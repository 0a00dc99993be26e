"""Text as it comes in from arguments and files, made safe to pass on."""

import sys


def well_formed(text: str) -> str:
    """The text with bytes that were no UTF-8 (kept by Python as lone surrogates) replaced by a visible mark."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def read_all() -> str:
    """All of standard input as text, without the last line end."""
    return sys.stdin.buffer.read().decode("utf-8-sig", "replace").removesuffix("\n").removesuffix("\r")
