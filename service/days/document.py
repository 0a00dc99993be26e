"""The one document of a prep day. Pure: what each request gave goes in."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from grammar import canonical
from grammar.request import Prepare, Series
from rules.plan import DraftPlan
from service.days import ordering
from service.days.class_sets import plainly
from service.days.facts import Facts, facts_of, standard_names
from service.days.line import Line, Replied
from service.days.merging import total_of
from service.days.picking import pick_list
from service.paper.words import product_title
from service.planner.figures import amount, show
from service.ware_reply import amount_document

Document = dict[str, Any]
_HELD_READY = "not before it is approved"
_MESSAGES = {
    "question": "It asks: {}",
    "answered": "It is a question and no preparation: {}",
}


@dataclass(frozen=True, slots=True)
class Made:
    """A preparation of the day: its reply, the typed request, the plan as drafted, and the id it is stored under."""

    replied: Replied
    request: Prepare | Series
    plan: DraftPlan
    id: str


@dataclass(frozen=True, slots=True)
class Apart:
    """A request of which nothing is made that day: its reply, why, and the id it is stored under."""

    replied: Replied
    why: str
    message: str
    id: str


def compose(on: date, count: int, made: list[Made], apart: list[Apart], versions: Document) -> Document:
    """The day without its id and time; ``count``: how many requests were sent."""
    facts = [facts_of(one.plan, one.replied.settled.document) for one in made]
    names = [product_title(one.replied.settled.document["plan"]["product"]) for one in made]
    order = ordering.order_of_work(facts, names)
    number = {place: n for n, place in enumerate(order, 1)}
    taken = ordering.sources(facts)
    ready: dict[int, date] = {}
    use_by: dict[int, str] = {}
    preparations = []
    for place in order:
        one = _preparation(made[place], facts[place], names[place], on)
        one["n"] = number[place]
        above = [number[n] for n, _, _ in taken[place]]
        below = [number[n] for n, others in enumerate(taken) if place in [other for other, _, _ in others]]
        one["because"] = ordering.because(facts[place], above, below)
        if taken[place]:
            one["takes_from"] = [
                {"preparation": number[n], "what": what, "amount": amount_document(amount(volume, "mL"))}
                for n, volume, what in taken[place]
            ]
        if facts[place].titrant:
            one["waits"].append(_standardising(facts[place], names[place], facts, number))
        days = max((w.get("days", 0) for w in one["waits"]), default=0)
        ready[place] = max([on + timedelta(days=days), *(ready[n] for n, _, _ in taken[place] if n in ready)])
        one["ready"] = ready[place].isoformat()
        ends = [one["use_by"]] if "use_by" in one else []
        ends += [use_by[n] for n, _, _ in taken[place] if n in use_by]
        if ends:
            use_by[place] = one["use_by"] = min(ends)  # no later than what it is made from
        one["cautions"] = _cautions(one, taken, place, number)
        preparations.append(_in_order(one))
    return {
        "date": on.isoformat(),
        "requests": count,
        "preparations": preparations,
        "pick_list": pick_list(preparations),
        "order": ordering.tasks(preparations),
        "apart": [_apart(one) for one in apart],
        "versions": versions,
    }


def _preparation(made: Made, facts: Facts, name: str, on: date) -> Document:
    reply = made.replied.settled.document
    plan, product = reply["plan"], reply["plan"]["product"]
    total = product.get("volume") or product.get("mass")
    lines = made.replied.lines
    found: Document = {
        "plan": made.id,
        "name": name,
        "read_as": reply["read_as"],
        "parts": [_part(line, made.request if len(lines) == 1 else None) for line in lines],
        "measure": plan["measure"],
        "fume_cupboard": facts.fume_cupboard,
        "waits": [dict(wait) for wait in facts.waits],
    }
    if "components" not in product and "concentration" in product and not isinstance(made.request, Series):
        found["strength"] = product["concentration"]["display"]
    if total is not None and not isinstance(made.request, Series):
        found["total"] = total
    if len(lines) > 1:
        found["sum"] = [_merged_sum(lines, made.request)]
    if "vessel" in plan:
        found["vessel"] = _vessel(plan["vessel"])
    if "signal_word" in plan.get("hazards", {}):
        found["signal_word"] = plan["hazards"]["signal_word"]
    days = plan.get("use_by", {}).get("days")
    if days is not None:
        found["use_by"] = (on + timedelta(days=days)).isoformat()
    if made.replied.needed_by is not None:
        found["needed_by"] = made.replied.needed_by
    return found


def _vessel(vessel: Document) -> str:
    """The vessel; of several fillings each with its volume and its share of what is measured."""
    if not vessel.get("portions"):
        return str(vessel["words"])
    shares = []
    for portion in vessel["portions"]:
        each = ", ".join(share["display"] for share in portion.get("amounts", ()))
        shares.append(f"{portion['volume']['display']} in a {portion['vessel']}" + (f": {each}" if each else ""))
    return "; ".join(shares)


def _part(line: Line, alone: Prepare | Series | None) -> Document:
    request = alone if alone is not None else _request(line)
    found: Document = {"line": line.number, "asked": asked_words(line)}
    total = None if request is None else total_of(request)
    if total is not None:
        found["total"] = amount_document(amount(float(total.value), total.unit))
    if line.sum:
        found["sum"] = list(line.sum)
    for key, value in (("needed_by", line.wish.needed_by), ("room", line.wish.room), ("to", line.to)):
        if value is not None:
            found[key] = value
    return found


def _request(line: Line) -> Prepare | Series | None:
    return line.request if isinstance(line.request, Prepare | Series) else None


def asked_words(line: Line) -> str:
    """The words of a line, or its typed request in one sentence."""
    if line.words is not None:
        return line.words.replace("\x00", "\u2400")
    return canonical(line.asked) if isinstance(line.asked, Prepare | Series) else str(line.number)


def _merged_sum(lines: tuple[Line, ...], whole: Prepare | Series) -> str:
    totals = [total for total in (total_of(r) for r in map(_request, lines) if r is not None) if total is not None]
    total = total_of(whole)
    assert total is not None
    return f"{' + '.join(plainly(one.value) for one in totals)} = {plainly(total.value)} {total.unit}"


def _standardising(titrant: Facts, name: str, facts: list[Facts], number: dict[int, int]) -> Document:
    here = [number[n] for n, other in enumerate(facts) if other.standard in titrant.standards]
    against = f"preparation {here[0]}" if here else standard_names(titrant.standards)
    text = f"standardise {name} against {against}" if against else f"standardise {name}"
    return {"kind": "standardising", "text": f"{text}; until then its strength is nominal"}


def _cautions(
    one: Document, taken: list[list[tuple[int, float, str]]], place: int, number: dict[int, int]
) -> list[str]:
    found = []
    used = [(number[n], volume) for n, others in enumerate(taken) for other, volume, _ in others if other == place]
    if used:
        whole = sum(volume for _, volume in used)
        into = " and ".join(str(n) for n, _ in used)
        said = f"{show(whole, 'mL')} of it goes into preparation {into}"
        if "total" in one and one["total"]["unit"] == "mL" and whole > one["total"]["value"]:
            found.append(f"{said}, and only {one['total']['display']} is made: ask for more of it.")
        else:
            found.append(f"{said}: ask for that much more where all that was asked for is handed out.")
    if "needed_by" in one and one["ready"] > one["needed_by"]:
        found.append(
            f"It is needed on {one['needed_by']} and ready on {one['ready']}, unless it need not stand so long."
        )
    if one["parts"] and "use_by" in one and max(p.get("needed_by", "") for p in one["parts"]) > one["use_by"]:
        found.append(f"It keeps until {one['use_by']}, as what it is made from does, and is needed later.")
    return found


def _in_order(one: Document) -> Document:
    first = ("n", "plan", "name", "read_as", "strength", "total", "sum", "parts", "measure")
    return {key: one[key] for key in (*(k for k in first if k in one), *(k for k in one if k not in first))}


def _apart(one: Apart) -> Document:
    reply, lines = one.replied.settled.document, one.replied.lines
    alone = lines[0] if len(lines) == 1 else None
    found: Document = {
        "lines": [line.number for line in lines],
        "asked": reply.get("read_as", "") if alone is None else asked_words(alone),
        "outcome": reply["outcome"],
        "why": one.why,
        "message": one.message,
        "plan": one.id,
    }
    if "remedy" in reply.get("problem", {}):
        found["remedy"] = reply["problem"]["remedy"]
    options = [option["label"] for option in reply.get("question", {}).get("options", ())]
    if options:
        found["options"] = options
    if one.why == "held":
        found["ready"] = _HELD_READY
    to = None if alone is None else alone.to
    for key, value in (("needed_by", one.replied.needed_by), ("room", one.replied.wish.room), ("to", to)):
        if value is not None:
            found[key] = value
    return found


def why_not(reply: Document, needed_by: list[str], on: date) -> tuple[str, str] | None:
    """Why nothing of a reply is made that day, as a code and in words; None where it is. ``needed_by``: the days, as ISO dates."""
    outcome = reply["outcome"]
    if outcome == "held":
        held = [f["message"] for f in reply["findings"] if f["result"] == "fired" and f["severity"] == "hold"]
        return "held", " ".join(held)
    if outcome != "planned":
        said = (
            reply.get("problem", {}).get("message")
            or reply.get("question", {}).get("text")
            or reply.get("answer", {}).get("text", "")
        )
        return outcome, _MESSAGES.get(outcome, "{}").format(said)
    if needed_by and min(needed_by) < on.isoformat():
        return "needed_before", f"It is needed on {min(needed_by)}, before this day: ask for it on an earlier one."
    days = reply["plan"].get("use_by", {}).get("days")
    if days is not None and needed_by and max(needed_by) > (on + timedelta(days=days)).isoformat():
        keeps = "only on the day it is made" if days == 0 else f"{days} day{'s' if days > 1 else ''}"
        return "would_not_keep", f"It keeps {keeps} and is needed on {max(needed_by)}: ask for it on a later day."
    return None
