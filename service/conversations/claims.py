"""What somebody really weighed, poured or worked out, set beside the plan. The plan stays as it is."""

from dataclasses import replace

from grammar.message import Available, Claimed, Weighed
from grammar.request import Ask, Check, Prepare
from grammar.units import UNITS, dimension
from service.bench import Bench
from service.conversations.explain import measured
from service.conversations.outcome import Turn, marked, reminder, said
from service.conversations.state import State
from service.conversations.told import Answer
from service.pipeline import Judged, Reply, answer


def weighed(state: State, held: Prepare, message: Weighed, judged: Judged) -> Turn:
    """The strength really made from what was measured, or what is missing to tell it."""
    unit = UNITS[message.quantity.unit]
    value = float(message.quantity.value * unit.factor)
    found = measured(value, unit.base, message.of, judged)
    if found is None:
        what = ", ".join(f"{m.amount.display} of {m.what}" for m in judged.plan.measures) or "nothing is settled yet"
        amount = f"{message.quantity.value} {message.quantity.unit}"
        found = Answer(
            f"What {amount} makes cannot be told here: the plan measures {what}. Say what it was, with its unit."
        )
    return said(state, found, "question", held)


def checked(state: State, held: Prepare, message: Claimed, bench: Bench) -> Turn | None:
    """What somebody got, beside what the plan says. By mass, a mass may be the new total: that is a change."""
    by_mass = held.total is not None and dimension(held.total.unit) == "mass"
    if dimension(message.quantity.unit) == "mass" and (by_mass or any(c.mass is not None for c in held.components)):
        return None
    reply = answer(Check(held, message.quantity), bench)
    if reply.outcome != "not_understood":
        return Turn(state, marked(reply, "question"))
    problem = reply.document["problem"]
    remedy = " ".join(filter(None, (problem["remedy"], reminder(state))))
    document = {**reply.document, "problem": {**problem, "remedy": remedy}}
    return Turn(state, marked(Reply(reply.outcome, document), "not_understood"))


def makeable(state: State, held: Prepare, message: Available, bench: Bench) -> Turn | None:
    """How much of the same can be made from what is there; the plan stays as it is."""
    if len(held.components) != 1 or held.components[0].strength is None:
        return None
    request = Prepare((replace(held.components[0], mass=None),), temperature=held.temperature)
    reply = answer(Ask("volume-makeable", request, message.quantity), bench)
    return Turn(state, marked(reply, "question")) if reply.outcome == "answered" else None
