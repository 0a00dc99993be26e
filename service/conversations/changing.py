"""Changes to the request that is there: which of two requests they are of, and what they answer."""

from grammar import canonical
from grammar.message import Amend, Change, SetQuantity
from grammar.message_reader import read_message
from grammar.request import Prepare
from grammar.units import dimension
from rules.plan import Open, Option
from rules.tables.substances import by_name
from service.bench import Bench
from service.conversations.amend import Context, amend
from service.conversations.outcome import TakenFor, Turn, ask_about, plan_of
from service.conversations.pending import amend_pending
from service.conversations.replies import ABOUT_SUBSTANCE
from service.conversations.state import State

#: What a change has to be about to answer a question that is open.
_SETTLES = {
    "SetForm": ABOUT_SUBSTANCE | {"variable-water"},
    "SetQuantity volume": {"total", "portions"},
    "SetNumber": {"total", "number"},
    "SetQuantity strength": {
        "strength",
        "reagent-strength",
        "density",
        "percent-basis",
        "unit-m",
        "percent",
        "equivalents",
    },
    "SetQuantity density": {"reagent-strength", "density"},
    "SetQuantity mass": {"total", "mass"},
    "SetSource": {"reagent-strength", "source"},
    "SetPeople": {"portions", "total"},
    "SetQuantity each": {"portions", "total"},
    "SetQuantity purity": {"variable-water", "purity"},
}


def which_request(state: State, held: Prepare, message: Amend, bench: Bench) -> Turn:
    """A change after a request whose substance was not known: the older one is not changed without a word."""
    made = amend(held, _in_order(message), Context())
    assert state.lacking is not None
    name = state.lacking.components[0].solute.as_typed
    asked = Open(
        "which-request",
        f"The request for '{name}' still lacks a name that is known. Is the one before it to be changed?",
        (Option("before", f"change this: {canonical(held)}", made),) if isinstance(made, Prepare) else (),
        remedy="Send the name of the substance to go on with the other one.",
    )
    return ask_about(state, held, asked, "amendment", "", bench)


def changed(state: State, held: Prepare, message: Amend, text: str, bench: Bench) -> Turn:
    """The turn of changes to the request that is there."""
    about = state.question["about"] if state.question else ""
    if state.question and state.unread and not state.question["options"]:
        joined = read_message(f"{state.unread}, {text}", lambda words: bool(by_name(words)))  # "15 mL each" waited for "26 students"
        if isinstance(joined, Amend) and isinstance(amend(held, _in_order(joined), Context(about)), Prepare):
            message = joined
    changes = _in_order(message)
    pending = state.of_change and state.question is not None
    made = amend_pending(state, held, changes, bench) if pending else amend(held, changes, Context(about))
    settles: set[str] = set()
    for change in changes:
        kind = type(change).__name__
        if isinstance(change, SetQuantity):
            known = dimension(change.quantity.unit)
            if change.role not in ("each", "purity"):
                kind += f" {known if known in ('volume', 'mass', 'density') else 'strength'}"
            else:
                kind += f" {change.role}"
        settles |= set(_SETTLES.get(kind, ()))
    taken: TakenFor = "answer" if about and about in settles else "amendment"
    if isinstance(made, Open):
        return ask_about(state, held, made, taken, text, bench)
    return plan_of(state, made, taken, bench)


def _in_order(message: Amend) -> tuple[Change, ...]:
    """Which substance and for how many first: the other changes are of these."""
    order = {"SetSolute": 0, "SetPeople": 1}
    return tuple(sorted(message.changes, key=lambda change: order.get(type(change).__name__, 2)))


