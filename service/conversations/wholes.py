"""Messages about the conversation itself, and about what went wrong on the bench."""

from dataclasses import replace
from decimal import Decimal

from grammar.message import Failed, Help, InUnit, More, Repeat, Undo, Unsure
from grammar.request import Ask, Prepare, Quantity
from grammar.units import UNITS, dimension, in_base
from rules.plan import Amount, Open, Option
from service.bench import Bench
from service.conversations.amend_total import said as amount_said
from service.conversations.outcome import Turn, ask_about, ask_again, marked, plan_of, reminder, said
from service.conversations.state import State
from service.conversations.told import Answer, fired, tell
from service.pipeline import Judged, answer, consider
from service.planner.figures import round_figures, show
from service.records.failures import FAILURES

Whole = Undo | Repeat | Help | Unsure | More | Failed | InUnit
_HELP = (
    "Say what is wanted in plain words: '250 mL of 0.1 M sodium chloride', '500 mL of 2 M HCl from 37 %', '26 students, 15 mL "
    "each of 0.5 M copper sulfate pentahydrate'. Then change it ('make it 500', 'use the anhydrous', 'undo'), ask about it ('which "
    "balance?', 'how long does it keep?', 'where does the waste go?'), or say what was really weighed ('I weighed 1.47 g')."
)


def take_whole(state: State, message: Whole, text: str, bench: Bench) -> Turn | None:
    """The turn such a message makes; None where there is nothing it could be about."""
    if isinstance(message, Help):
        return said(state, Answer(f"{_HELP} {reminder(state)}".strip()), "question", state.request)
    if isinstance(message, Undo):
        return _undo(state, message, bench)
    if isinstance(message, Unsure):
        return _unsure(state)
    held = state.prepare
    if held is None:
        return None
    if isinstance(message, Repeat):
        return Turn(state, marked(answer(held, bench), "question"))
    if isinstance(message, More):
        return _more(state, held, message.quantity, text, bench)
    if isinstance(message, InUnit):
        return _in_unit(state, held, message.unit, bench)
    return said(state, _failed(message, consider(held, bench)), "question", held)


def _undo(state: State, message: Undo, bench: Bench) -> Turn | None:
    if not state.earlier:
        if state.request is None:
            return None
        return said(state, Answer(f"There is nothing before this. {reminder(state)}"), "question", state.request)
    at = 0 if message.first else -1
    back = plan_of(state, state.earlier[at], "amendment", bench)
    return Turn(replace(back.state, earlier=state.earlier[:at]), back.reply, goes_back=True)


def _unsure(state: State) -> Turn | None:
    """The question stays open; where its remedy says how to find out, that is said again."""
    question = state.question
    if question is None:
        return None
    how = question.get("remedy") or "Look at the bottle, or ask who wrote the request."
    plain = question["text"].removeprefix("That has to be known. ").split(" Not known? ")[0]
    return ask_again(state, {**question, "text": f"{plain} Not known? {how}"}, "answer")


def _more(state: State, held: Prepare, more: Quantity, text: str, bench: Bench) -> Turn | None:
    """So much on top, or the same solution once more in that amount: two requests, so it is asked."""
    total = held.total
    if total is None or dimension(total.unit) != dimension(more.unit):
        return None
    whole = Quantity(((in_base(total) + in_base(more)) / UNITS[total.unit].factor).normalize(), total.unit)
    whole = replace(whole, value=whole.value.quantize(1)) if whole.value == whole.value.to_integral() else whole
    options = (
        Option("in-all", f"{amount_said(whole)} in all", replace(held, total=whole)),
        Option("once-more", f"{amount_said(more)} by itself", replace(held, total=more)),
    )
    asked = Open("how-much-more", f"Is it {amount_said(whole)} in all, or {amount_said(more)} made by itself?", options)
    return ask_about(state, held, asked, "amendment", text, bench)


def _in_unit(state: State, held: Prepare, unit: str, bench: Bench) -> Turn | None:
    if UNITS[unit].dimension in ("mass", "volume"):
        return said(state, _amounts_in(unit, consider(held, bench)), "question", held)
    if len(held.components) != 1 or held.components[0].strength is None:
        return None
    component = replace(held.components[0], mass=None)
    reply = answer(Ask("convert", Prepare((component,), temperature=held.temperature), None, unit), bench)
    return Turn(state, marked(reply, "question")) if reply.outcome != "not_understood" else None


def _amounts_in(unit: str, judged: Judged) -> Answer:
    """What is measured out, in another unit of mass or volume."""
    kind, factor = UNITS[unit].base, float(UNITS[unit].factor)
    fits = [m for m in judged.plan.measures if m.amount.unit == kind]
    if not fits:
        return Answer(f"Nothing of this plan is measured in {unit}.")
    said_ = "; ".join(f"{round_figures(m.amount.value / factor, 4)} {unit} of {m.what}" for m in fits)
    return Answer(f"{said_}.", amount=fits[0].amount)


def _failed(message: Failed, judged: Judged) -> Answer:
    """What is in the flask now where it can be told, and what to do."""
    plan = judged.plan
    if message.kind == "filled" and message.quantity is not None and plan.total_mL and plan.main and len(plan.ingredients) == 1:
        return _filled_to(message.quantity, judged)
    poured = any(m.amount.unit == "mL" and m.role != "solvent" for m in plan.measures)
    if message.kind == "overshot" and message.quantity is not None and plan.total_mL and len(plan.ingredients) == 1 and not poured:
        more = Decimal(repr(plan.total_mL)) + in_base(message.quantity)
        return _filled_to(Quantity(more.normalize() + 0, "mL"), judged)
    if message.kind == "filled":
        return Answer("What that makes cannot be told here: " + " ".join(FAILURES["overshot"]))
    reason, advice = FAILURES[message.kind]
    where = " ".join(f"{w.stream.replace('-', ' ')}: {w.advice}." for w in plan.waste)
    end = f"{reason} {advice} Discard it ({where.rstrip('.')}), begin again, and record it as failed." if where else f"{reason} {advice}"
    if message.kind == "not_dissolved":
        slow = [step.text for step in plan.steps if step.action.startswith("dissolve")]
        return tell(fired(judged, "solubility"), f"Go on stirring first: {' '.join(slow)} If it still does not: {end}")
    return Answer(end, tuple(w.cite for w in plan.waste))


def _filled_to(filled: Quantity, judged: Judged) -> Answer:
    """The moles stay, the volume is another: the strength as it is now."""
    plan, item, real = judged.plan, judged.plan.main, float(in_base(filled))
    typed = item.component.strength if item is not None else None
    assert item is not None
    assert plan.total_mL is not None
    if typed is None or real <= 0 or typed.unit == "% w/w" or typed.unit.endswith("/kg"):
        return Answer("What that makes cannot be told here: the strength is by mass. Begin again.")
    ratio = plan.total_mL / real
    figures = max(4, typed.figures)
    now = f"{round_figures(float(typed.value) * ratio, figures)} {typed.unit}"
    molar = None
    if item.target_mol_L:
        value = item.target_mol_L * ratio
        molar = Amount(value, "mol/L", now if typed.unit == "mol/L" else f"{round_figures(value, figures)} mol/L")
    text = f"Made up to {amount_said(filled)} instead of {show(plan.total_mL, 'mL')} it is {now}, not {typed.value} {typed.unit}."
    if abs(ratio - 1) < 1e-9:
        text = f"That is the volume planned: it is {now}."
    elif real < plan.total_mL:
        text += f" It can still be made up to {show(plan.total_mL, 'mL')} where the flask holds it."
    else:
        text += " Nothing takes the water out again: label it with that, or begin again."
    line = f"c = {typed.value} {typed.unit} x {plan.total_mL:g} mL / {real:g} mL = {now}"
    return Answer(text, amount=molar, working=(("formulas", [line]),))


