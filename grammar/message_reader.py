"""``read_message``: one message of a conversation to a ``Message``, or None where it is none."""

import re

from grammar import message_words as said
from grammar import read_quantity, words
from grammar.message import About, Amend, Change, Message, Rounded, SetQuantity, StartAgain, Thanks, Weighed
from grammar.message_changes import change_at, count_in, same_at
from grammar.message_followups import available, claimed, other_substance
from grammar.message_pieces import MATERIAL, QUANTITY, VESSEL
from grammar.message_strengths import strength_change_at
from grammar.message_wholes import whole
from grammar.naming import Known
from grammar.normalise import normalise
from grammar.request import Container

LONGEST_MESSAGE = 300
#: "Round it" alone; the reply says what strength that gives.
USUAL_FIGURES = 3


def read_message(text: str, known: Known = None) -> Message | None:
    """Read one message. ``known`` as in ``grammar.read``. Never raises; None where any word has no place."""
    if len(text) > LONGEST_MESSAGE:
        return None
    line = normalise(text).text.strip()
    if not line:
        return None
    if said.THANKS.fullmatch(line):
        return Thanks()
    if said.START_AGAIN.fullmatch(line):
        return StartAgain()
    found: Message | None = whole(line) or _rounded(line) or _weighed(line) or claimed(line) or available(line) or _about(line)
    return found or _amend(line, known) or other_substance(line, known)


def _rounded(line: str) -> Rounded | None:
    found = said.ROUNDED.fullmatch(line)
    if not found:
        return None
    if found["figures"] is None:
        return Rounded(USUAL_FIGURES)
    if not count_in(found["figures"]):
        return None
    count = count_in(found["figures"])
    return Rounded(places=count) if found["places"] else Rounded(count)


_MEASURED = re.compile(
    rf"(?:in |out )?(?:exactly )?(?P<q>{QUANTITY})(?: of (?:it|the (?:solid|salt|stock)|(?P<name>[A-Za-z(][^,;?!]*?)))?"
    r"(?: instead| by (?:accident|mistake)| (?:on|by) the (?:balance|pan|scales?))?[\s.!?]*",
    re.IGNORECASE,
)


def _weighed(line: str) -> Weighed | None:
    found = said.WEIGHED.fullmatch(said.WHAT_IT_IS.sub("", line))
    measured = _MEASURED.fullmatch(found["rest"]) if found else None
    quantity = read_quantity(measured["q"]) if measured else None
    if measured is None or quantity is None or quantity.unit not in ("g", "mg", "kg", "ug", "mL", "L", "uL"):
        return None
    return Weighed(quantity, measured["name"] or "")


def _about(line: str) -> About | None:
    """A question about the plan: opens as one, and every word is of the topic, of no weight, or may name the substance."""
    if said.WHY.fullmatch(line):
        return About("why")
    if not said.OPENERS.match(line) or re.search(r"\d", line):
        return None
    vessel = re.search(
        rf"\b(?:why|can|could|may|should|what).*?\b(?:(?P<material>{MATERIAL}) )?(?P<vessel>{VESSEL})\b", line, re.IGNORECASE
    )
    if vessel and re.match(
        r"why not|why (?:can't|cannot|can|must|a|the|use)\b|(?:can|could|may|should) (?:i|we) use|what if (?:i|we) use", line, re.IGNORECASE
    ):
        kind = words.PHRASES[vessel["vessel"].lower()][1]
        left = _left_over(line.replace(vessel[0][vessel.start("vessel") - vessel.start() :], " "))
        return About("vessel", "", Container(kind)) if not left else None
    if said.OTHER_FORM.match(line):
        return None  # another form is tried as a change: its amount is the answer
    for topic, pattern in said.TOPICS:
        found = pattern.search(line)
        if found:
            return About(topic, _left_over(pattern.sub(" ", line)))
    return None


def _left_over(line: str) -> str:
    kept = [w for w in re.findall(r"[\w'()-]+", line) if w.lower().strip("'") not in said.QUESTION_WORDS]
    return " ".join(kept)


def _amend(line: str, known: Known) -> Amend | None:
    """Changes with nothing but words of no weight between them; a change is tried before a word is passed over."""
    changes: list[Change] = []
    at = 0
    while at < len(line):
        step = same_at(line, at, known) or strength_change_at(line, at) or change_at(line, at)
        if step is not None:
            more, at = step
            changes += more
            continue
        around = said.AROUND.match(line, at)
        if line[at] == " ":
            at += 1
        elif around is not None and around.end() > at:
            at = around.end()
        else:
            return None
    slots = [_slot(c) for c in changes]
    return Amend(tuple(changes)) if changes and len(set(slots)) == len(slots) else None


def _slot(change: Change) -> str:
    """What a change sets: two changes of one thing contradict each other."""
    if isinstance(change, SetQuantity):
        return change.role or (
            "amount" if change.quantity.unit in ("L", "mL", "uL", "cL", "dL", "g", "kg", "mg") else "strength"
        )
    return type(change).__name__
