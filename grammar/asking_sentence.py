"""``canonical`` for every request, questions and checks included; reading the sentence gives the same request."""

from grammar.asking_words import TOPICS
from grammar.request import Ask, Check, Quantity, Request
from grammar.sentence import canonical as sentence


def canonical(request: Request) -> str:
    """The request in one sentence, with the digits as typed and the units of ``grammar.units``."""
    if isinstance(request, Check):
        return f"Check {_typed(request.claimed)}: {sentence(request.request)}"
    if not isinstance(request, Ask):
        return sentence(request)
    text = f"Find the {TOPICS.get(request.topic, request.topic)}"
    if request.to:
        text += f" in {request.to}"
    if request.of:
        text += f" as {request.of}"
    if request.available is not None:
        text += f" with {_typed(request.available)}"
    return f"{text}: {sentence(request.request)}"


def _typed(quantity: Quantity) -> str:
    return f"{quantity.value} {quantity.unit}"
