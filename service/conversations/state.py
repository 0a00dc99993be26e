"""What a conversation keeps between two messages: the last request that was read, and the question still open."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from grammar import canonical
from grammar.request import Ask, Check, Combine, Prepare, Request, Series, to_document

_KINDS: dict[str, Any] = {"prepare": Prepare, "combine": Combine, "series": Series, "check": Check, "ask": Ask}
Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class State:
    """``question`` is that of the last reply, its options as whole requests; ``unread`` a text that only lacked a substance.

    ``of_change``: the options hold a change that is not in ``request`` yet. ``lacking``: a preparation whose substance
    was not known, waiting for the name. ``earlier``: the requests before this one, the newest last.
    """

    request: Request | None = None
    question: Document | None = None
    unread: str = ""
    of_change: bool = False
    lacking: Prepare | None = None
    earlier: tuple[Request, ...] = ()

    @property
    def prepare(self) -> Prepare | None:
        """The preparation the next message may change, or None."""
        held = self.request
        if isinstance(held, Check | Ask):
            return held.request
        return held if isinstance(held, Prepare) else None


def to_json(state: State) -> Document:
    """The state as plain JSON values; empty parts are left out."""
    found: Document = {}
    if state.request is not None:
        found["request"] = to_document(state.request)
    if state.question is not None:
        found["question"] = state.question
    if state.unread:
        found["unread"] = state.unread
    if state.of_change:
        found["of_change"] = True
    if state.lacking is not None:
        found["lacking"] = to_document(state.lacking)
    if state.earlier:
        found["earlier"] = [to_document(request) for request in state.earlier]
    return found


def from_json(document: Document) -> State:
    """The state that ``to_json`` wrote."""
    request = document.get("request")
    lacking = request_of(document["lacking"]) if "lacking" in document else None
    return State(
        request_of(request) if request else None,
        document.get("question"),
        document.get("unread", ""),
        document.get("of_change", False),
        lacking if isinstance(lacking, Prepare) else None,
        tuple(request_of(one) for one in document.get("earlier", ())),
    )


def standing(state: State) -> Document:
    """What is kept between two messages, as a client sees it: ``read_as``, ``request`` and the open ``question``."""
    found = {key: value for key, value in to_json(state).items() if key in ("request", "question")}
    if state.request is not None:
        found["read_as"] = canonical(state.request)
    return found


def request_of(document: Document) -> Request:
    """A typed request from the JSON values this service wrote itself (a request from outside goes by ``service.requests``)."""
    found: Request = _adapter(document.get("kind", "prepare")).validate_python(document)
    return found


@cache
def _adapter(kind: str) -> Any:
    from pydantic import TypeAdapter  # loaded only when something is read back

    return TypeAdapter(_KINDS[kind])
