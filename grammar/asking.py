"""Sentences that ask for a value ("molarity of 37 % HCl") or put one forward ("I got 7.7 g for ... - right?").

The frames of ``asking_words`` say where the pieces stand; the request inside is read like any other request. A text
that fits no frame, or whose request cannot be read, is left to the ordinary reading.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from grammar.asking_topics import another, ask, check
from grammar.asking_words import ASKED, LEADS, PHRASES, QUESTIONS, TAILS, TOPICS
from grammar.checking_words import CHECKS
from grammar.lexing import Amount, chunks
from grammar.numbers import comma_habit
from grammar.request import Ask, Check, Misread, Prepare, Quantity, Reading
from grammar.sentence import water_apart
from grammar.units import STRENGTHS, UNIT_PATTERN, UNITS, in_base, read_unit
from grammar.words import WHO

ReadRequest = Callable[[str], Reading]
_KINDS = {"volume": "v", "mass": "g", "amount": "n", **dict.fromkeys(STRENGTHS, "c")}
#: Sizes in which "in 250" can only mean millilitres.
_FLASKS = frozenset(("10", "20", "25", "50", "100", "200", "250", "500", "1000", "2000"))
_FREE = ("what", "name", "rest", "more", "of")
_MARK = re.compile(r"⟦[vgncx](\d+)⟧")
_PIECE = re.compile(r"\{(\w+)(?::(\w+))?\}")
_LEAD = re.compile(rf"(?:(?:{LEADS})(?![\w'])[\s,:!.-]*)+", re.IGNORECASE)
_THANKS = tuple(f" {words}" for words in TAILS.split("|"))
_ENDS = " ,.!?"
#: Nobody asks for one value in more characters than this, and the frames stay quick.
LONGEST_QUESTION = 240
_MOLES = r"(?P<moles>(?:milli|micro)?moles?|mols?|[mu]mol)"
_BASIS = re.compile(
    r" as (?P<of>[A-Z][A-Za-z0-9]{0,6}[+-]?|calcium carbonate|nitrogen|[a-z]{4,10}(?:ide|ate|ite|ium))$"
)
_CANONICAL = re.compile(
    rf"Find the (?P<topic>{'|'.join(sorted(TOPICS.values(), key=len, reverse=True))})(?: in (?P<unit>{UNIT_PATTERN}|mol|mmol))?"
    r"(?: as (?P<of>[^:]+?))?(?: with (?P<available>⟦[vgncx]\d+⟧))?: (?P<what>.+)"
)


#: What begins so is never a solution to make: read as one, it would be answered with another number.
_ONLY_A_QUESTION = re.compile(
    r".*\b(?:what|find|calculate|determine|new|resulting)\b[^.;?⟦]*\b(?:molarity|molality|normality|concentration|strength"
    r"|percentage)\b(?![^.;?]{0,20}⟦)"
    r"|how (?:much|many) .*\bwater\b.*\badd|(?:how much|what volume of) water .*\bdilute|how far |(?:how many |number of )"
    r"(?:milli|m)?mol(?:e|es|s)?\b",
    re.IGNORECASE,
)
_NOT_READ = Misread(
    "question-not-read",
    "This asks for a value, but not in a way that is read here.",
    "Ask for one value of one solute, for example: how much water do I add to 50 mL of 2 M NaCl to get 0.5 M?",
)


#: A text without a question mark and without any of these words asks nothing: most requests stop here, because trying
#: every trigger costs a third of reading them. ``tests/answers`` holds it against every question and check.
_MAY_ASK = re.compile(
    r"\b(?:w(?:hat|hats|hich|here|hy|hen|ould|ill|as|aste|eigh|eighed|rites?|rote|orked?|orth)|how|is|are|do(?:es|ne)?|should|could|can|must|my"
    r"|may|i|we|he|she|they|it|student|students|pupils?|teacher|group|someone|given|if|check|verify|mark|answers?|results?|right"
    r"|correct|ok|okay|enough|fine|good|true|accurate|agreed?|yes|convert|express|change|translate|find|calculate|determine|number|mass|amount|volume"
    r"|solubility|solubl\w*|insoluble|dissolv\w*|ph|density|gravity|formula|cas|shelf\S*|expiry|keeps?|lifetime|use\S*|stor\w+|bottle|container"
    r"|dispos\w+|drain|sink|hazard\w*|danger\w*|toxic|poison\w*|classification|standardi[sz]\w+|primary|molar\w*|molal\w*|normality|concentration"
    r"|strength|molecular|relative|[mr][rw]|fw|rfm|rmm|wt|moles?|m?mol|umol|millimol\S*|micromol\S*|per ?cent\w*|pp[mb]|grams"
    r"|milligrams|g/l|mg/l|equals?|gives?|makes?|needs?|got|said|says?|claims?|found|reckons?|c[ao]mes?|takes?|diluted?|final|maximum|largest|greatest|h\S*statements?)\b"
    r"|^\s*%|[;:,] ?[0-9.]+ ?(?:m|k)?g\s*$|[0-9]\s*(?:%|per ?cent)\s*(?:in|as|to)\b"
)


@dataclass(frozen=True, slots=True)
class _Frame:
    """``marks``: what must stand in a marked text for the frame to fit, so that it is tried only then."""

    topic: str
    pattern: re.Pattern[str]
    sentences: tuple[str, ...]
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Marked:
    """The text with each quantity replaced by a mark, and what the marks stand for."""

    text: str
    amounts: tuple[Amount, ...]
    notes: tuple[str, ...]

    def quantity(self, mark: str) -> Quantity | None:
        return self.amounts[int(mark[2:-1])].quantity

    def plain(self, text: str) -> str:
        return _MARK.sub(lambda m: _spelled(self.amounts[int(m[1])]), text)


def read(text: str, read_request: ReadRequest) -> Ask | Check | Misread | None:
    """The question or check in a normalised text, or None. ``read_request`` reads the request inside it."""
    if len(text) > LONGEST_QUESTION:
        return None
    low = text.lower()
    if low.startswith("find the "):
        found = _canonical(_mark(text), read_request)
        if found is not None:
            return found
    if "?" not in low and not _MAY_ASK.search(low):
        return None
    spoken = _bare(low)
    questioned = f"{spoken}?" if low.rstrip().endswith("?") else ""
    groups = [needs for needs, holds in _triggers() if holds(spoken) or (questioned and holds(questioned))]
    if not groups:
        return None
    marked = _mark(text)
    bare = _bare(marked.text)
    for needs in groups:
        for frame in _group(needs):
            if not all(mark in bare for mark in frame.marks):
                continue
            match = frame.pattern.fullmatch(bare)
            made = _made(frame, match, marked, read_request) if match else None
            if made is not None:
                return made
    return _NOT_READ if _ONLY_A_QUESTION.match(bare) else None


def _bare(text: str) -> str:
    """The text without greetings before it and thanks or marks after it."""
    lead = _LEAD.match(text)
    start = lead.end() if lead else 0
    kept = text[start:].rstrip(_ENDS)
    while True:
        thanks = next((t for t in _THANKS if kept.lower().endswith(t)), None)
        if thanks is None:
            return kept
        kept = kept[: -len(thanks)].rstrip(_ENDS)


@lru_cache(maxsize=1)
def _triggers() -> tuple[tuple[str, Callable[[str], object]], ...]:
    """What a text must hold for each group of frames to be tried."""
    bounded = [(needs, needs if needs[0] == "^" else rf"(?<![a-z])(?:{needs})") for needs in (*CHECKS, *QUESTIONS)]
    return tuple((needs, re.compile(pattern).search) for needs, pattern in bounded)


@lru_cache(maxsize=64)
def _group(needs: str) -> tuple[_Frame, ...]:
    """The frames of one group, compiled when first needed: all of them would make every start slower."""
    rows = CHECKS.get(needs) or QUESTIONS[needs]
    return tuple(_Frame(topic, _pattern(frame), made, _marks(frame)) for topic, frame, made in rows)


def _marks(frame: str) -> tuple[str, ...]:
    kinds = [match[2] for match in _PIECE.finditer(frame) if match[2]]
    return tuple(f"⟦{kind}" if len(kind) == 1 else "⟦" for kind in dict.fromkeys(kinds))


def _pattern(frame: str) -> re.Pattern[str]:
    while "<" in frame:
        frame = re.sub(r"<([A-Z_]+)>", lambda m: PHRASES[m[1]], frame)
    frame = frame.replace("(", "(?:")
    return re.compile(_PIECE.sub(_piece, frame), re.IGNORECASE)


def _piece(match: re.Match[str]) -> str:
    role, kinds = match[1], match[2]
    if kinds:
        return rf"(?P<{role}>⟦[{kinds}]\d+⟧)"
    if role == "asked":
        return rf"(?P<asked>{'|'.join(ASKED)})"
    if role == "unit":
        return rf"(?P<unit>{UNIT_PATTERN})"
    if role == "moles":
        return _MOLES
    return rf"(?P<{role}>.+?)"


def _mark(text: str) -> _Marked:
    parts: list[str] = []
    amounts: list[Amount] = []
    notes: list[str] = []
    done = 0
    for chunk in chunks(text, comma_habit(text)):
        if not isinstance(chunk, Amount) or chunk.problem is not None:
            continue
        if chunk.quantity is None:
            before = text[: chunk.start_pos].rstrip().lower()
            after = text[chunk.end_pos :].split(maxsplit=1)
            if after and after[0].lower().strip(".,;:?!") in WHO:
                continue
            if chunk.text not in _FLASKS or not before.endswith((" in", " to", " into", " for", " makes")):
                continue
            chunk.quantity, chunk.unit_text, chunk.kind = Quantity(Decimal(chunk.text), "mL"), "mL", "volume"
            notes.append(f"{chunk.text} without a unit is read as {chunk.text} mL")
        parts += [text[done : chunk.start_pos], f"⟦{_KINDS.get(chunk.kind, 'x')}{len(amounts)}⟧"]
        amounts.append(chunk)
        done = chunk.end_pos
    return _Marked("".join(parts) + text[done:], tuple(amounts), tuple(notes))


def _spelled(amount: Amount) -> str:
    return f"{amount.text} {amount.unit_text}" if amount.quantity is not None else amount.text


def _made(frame: _Frame, match: re.Match[str], marked: _Marked, read_request: ReadRequest) -> Ask | Check | None:
    found = {role: text for role, text in match.groupdict().items() if text}
    if any("⟦" in found.get(role, "") for role in ("name", "of")) or another(found):
        return None
    if "water" in found and not _summed(found, marked):
        return None
    for sentence in frame.sentences:
        pieces = _PIECE.sub(lambda m: found.get(m[1], ""), sentence)
        request = read_request(marked.plain(pieces))
        if not isinstance(request, Prepare):
            continue
        if marked.notes:
            request = replace(request, read_as_notes=(*request.read_as_notes, *marked.notes))
        made = (
            check(found, request, marked.quantity)
            if frame.topic == "check"
            else ask(frame.topic, found, request, marked.quantity)
        )
        if made is not None:
            return made
    return None


def _summed(found: dict[str, str], marked: _Marked) -> bool:
    """Water put to a volume of solution: ``sum`` is what both make, taking volumes to add up as for dilute solutions."""
    volumes = [marked.quantity(found[role]) for role in ("available", "water")]
    known = [q for q in volumes if q is not None]
    if len(known) != len(volumes):
        return False
    whole = (sum(in_base(q) for q in known) / UNITS[known[0].unit].factor).normalize()
    found["sum"] = f"{whole:f} {known[0].unit}"
    return True


def _canonical(marked: _Marked, read_request: ReadRequest) -> Ask | None:
    match = _CANONICAL.fullmatch(marked.text)
    request = read_request(marked.plain(match["what"])) if match else None
    if match is None or not isinstance(request, Prepare):
        return None
    topic = next(key for key, said in TOPICS.items() if said == match["topic"])
    available = marked.quantity(match["available"]) if match["available"] else None
    unit = match["unit"]
    to = unit if unit in ("mol", "mmol", None) else read_unit(unit)
    return Ask(topic, water_apart(request), available, to, match["of"])
