"""A change said while a question about another change is open: it belongs to what that question would make, never to the older request."""

from dataclasses import replace

from grammar.message import Change
from grammar.request import Prepare
from rules.plan import Open, Option
from service.bench import Bench
from service.conversations.amend import Context, amend
from service.conversations.state import State, request_of
from service.pipeline import consider


def amend_pending(state: State, held: Prepare, changes: tuple[Change, ...], bench: Bench) -> Prepare | Open:
    """The one request that every option comes to with the changes, or the question with what they come to.

    An option that the changes undo, or that cannot be made, is dropped; the request before with the changes is then
    offered beside the others.
    """
    question = state.question
    assert question is not None
    context = Context(question["about"])
    options = [(o, request_of(o["request"])) for o in question["options"]]
    plain = amend(held, changes, context)
    if isinstance(plain, Prepare) and any(request == plain for _, request in options):
        return plain
    found: list[Option] = []
    undone = False
    for option, request in options:
        made = amend(request, changes, context) if isinstance(request, Prepare) else None
        if not isinstance(made, Prepare) or made == plain or consider(made, bench).outcome == "refused":
            undone = True
        elif all(made != other.request for other in found):
            found.append(Option(option["id"], option["label"], made))
    if undone and isinstance(plain, Prepare) and found:
        found.append(Option("without", "only what was said last", plain))
    if len(found) == 1:
        return found[0].request
    if not found and isinstance(plain, Prepare):
        return plain
    if not found:
        return replace(plain, options=()) if isinstance(plain, Open) else plain
    return Open(question["about"], question["text"], tuple(found), question.get("remedy", ""))
