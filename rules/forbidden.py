"""Words that end a request whatever else it says: looked for in the text itself, not in what the grammar made of it.

A text that is not understood, or whose dangerous half was set aside as filler, must be refused like one that is read.
"""

import re
from dataclasses import dataclass
from unicodedata import combining, normalize

from rules.policies import Policy, RefusedTerm
from rules.saying import sentence

CODE = "refused-substance"
REMEDY = "This is not made here. Choose another substance for the lesson."
ASK = "Ask the safety officer."
# Zero-width and soft-hyphen characters hide a word from the eye of a program, not from a reader.
_UNSEEN = re.compile("[\u00ad\u200b-\u200f\u2060\ufeff]")
# "t.a.t.p", "T A T P": single letters in a row are read as one word.
_SPELLED_OUT = re.compile(r"\b[a-z](?:[\W_]{1,2}[a-z]){2,}\b")


@dataclass(frozen=True, slots=True)
class Forbidden:
    """Why a text is refused. ``approvable``: only held for the safety officer, were it a request that can be planned."""

    code: str
    message: str
    remedy: str
    approvable: bool


def forbidden(text: str, policy: Policy) -> Forbidden | None:
    """The first refused term in the text, in any case, spelt out or with unseen characters inside; None when there is none."""
    plain = text.lower() if text.isascii() else _plain(text)
    term = policy.refused(plain)
    if term is None and _SPELLED_OUT.search(plain):
        term = policy.refused(_SPELLED_OUT.sub(_joined, plain))
    return None if term is None else _refusal(term)


def _plain(text: str) -> str:
    return "".join(c for c in normalize("NFKD", _UNSEEN.sub("", text)) if not combining(c)).lower()


def _joined(spelled: re.Match[str]) -> str:
    return re.sub(r"[\W_]", "", spelled.group())


def _refusal(term: RefusedTerm) -> Forbidden:
    held = term.kind == "hold"
    return Forbidden(CODE, f"{sentence(term.term)}: {term.reason}.", ASK if held else REMEDY, held)
