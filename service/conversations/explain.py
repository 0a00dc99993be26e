"""Answers that also need the request as it was read: why this form, how much, the working, why not that vessel."""

from collections.abc import Callable
from dataclasses import replace

from grammar import canonical
from grammar.message import Rounded
from grammar.request import Container, Prepare, Request
from rules.plan import Amount, Measure
from rules.tables.load import source
from rules.tables.substances import by_name
from service.bench import Bench
from service.conversations.counted import moles, most, standardise, water
from service.conversations.facts import TOPICS
from service.conversations.told import Answer, fired, tell
from service.pipeline import Judged, consider
from service.planner.figures import round_figures, show
from service.planner.matching import form_name
from service.planner.vessels import vessel_words


def explain(topic: str, judged: Judged, request: Request) -> Answer:
    """The answer to a question about the plan; ``topic`` is one of ``grammar.message_words.TOPICS``."""
    simple = TOPICS.get(topic)
    return simple(judged) if simple is not None else _WITH_REQUEST[topic](judged, request)


def why_not(vessel: Container, judged: Judged, bench: Bench) -> Answer:
    """What the rules say when the same is asked for in that vessel."""
    request = judged.plan.request
    if not isinstance(request, Prepare):
        return Answer("Nothing is made up here, so no vessel is needed.")
    glasses = [b.vessel.glass for b in judged.plan.batches]
    if any(glass.kind == vessel.kind for glass in glasses):
        said = ", ".join(f"{vessel_words(g)}, tolerance {g.tolerance_mL:g} mL" for g in dict.fromkeys(glasses))
        found = fired(judged, "vessel")
        return tell(found, f"The plan uses it: {said}.", tuple(g.cite for g in dict.fromkeys(glasses)))
    other = consider(replace(request, container=vessel), bench)
    now = {(f.rule, f.message) for f in judged.findings}
    new = [
        f
        for f in other.findings
        if f.result == "fired" and f.group in ("vessel", "container") and (f.rule, f.message) not in now
    ]
    name = vessel.kind.replace("-", " ")
    if not new:
        return Answer(f"No rule here speaks against a {name} for this.")
    return tell(new)


def _understood(judged: Judged, request: Request) -> Answer:
    parts = [canonical(request) + ".", *judged.plan.assumptions]
    if isinstance(request, Prepare):
        parts += request.read_as_notes
        parts += [f"Not used: '{words}'." for words in request.set_aside]
    return Answer(" ".join(parts))


def _form(judged: Judged, request: Request) -> Answer:
    plan = judged.plan
    found = fired(judged, "identity")
    said = [a for a in plan.assumptions if "form" in a]
    if isinstance(request, Prepare):
        said += [n for n in request.read_as_notes if "taken as" in n]
    if not plan.ingredients:
        return tell(found, "Which form it is has not been settled.")
    for item in plan.ingredients:
        others = [f for f in item.substance.forms if f.sold and f.molar_mass]
        stated = item.component.solute.water is not None or (
            item.component.source is not None and item.component.source.named is not None
        )
        if stated:
            said.append(f"The request says so: {form_name(item.substance, item.form)} ({item.form.formula}).")
        elif not said:
            said.append(f"{form_name(item.substance, item.form)} ({item.form.formula}).")
        if len(others) > 1:
            masses = ", ".join(f"{form_name(item.substance, f)} {f.molar_mass:.2f} g/mol" for f in others)
            said.append(f"It is sold as {masses}; the mass to weigh follows the form in the bottle.")
    return tell(found, " ".join(dict.fromkeys(said)), tuple(i.form.cite for i in plan.ingredients))


def _amount(judged: Judged, _: Request) -> Answer:
    if not judged.plan.measures:
        return Answer("No amount is settled yet.")
    first = judged.plan.measures[0]
    return Answer("; ".join(f"{m.amount.display} of {m.what}" for m in judged.plan.measures) + ".", amount=first.amount)


def _window(judged: Judged, _: Request) -> Answer:
    said = [
        f"{m.what}: between {m.low.display} and {m.high.display} the strength holds."
        for m in judged.plan.measures
        if m.low and m.high
    ]
    return Answer(" ".join(said) if said else "No window is worked out for this plan.")


def _working(judged: Judged, _: Request) -> Answer:
    if not judged.plan.working:
        return Answer("There is no working yet: nothing is worked out before the plan is settled.")
    lines = judged.plan.working[-1][1]
    return Answer(lines[-1] + "." if not lines[-1].endswith(".") else lines[-1], working=tuple(judged.plan.working))


def _steps(judged: Judged, _: Request) -> Answer:
    if not judged.plan.steps:
        return Answer("There are no steps yet: nothing is settled.")
    return Answer(
        " ".join(
            f"{n}. {s.text}" + (f" ({s.caution})" if s.caution else "") for n, s in enumerate(judged.plan.steps, 1)
        )
    )


def _sources(judged: Judged, _: Request) -> Answer:
    cites = [c for f in judged.findings if f.result != "not_applicable" for c in f.cites]
    cites += [i.form.cite for i in judged.plan.ingredients]
    cites += [b.vessel.glass.cite for b in judged.plan.batches]
    if judged.plan.storage is not None:
        cites.append(judged.plan.storage.cite)
    unique = tuple(dict.fromkeys(cites))
    if not unique:
        return Answer("No source was used.")
    names = dict.fromkeys(source(c.source_id).reference for c in unique)
    return Answer("It rests on: " + "; ".join(names) + ".", unique)


def _assumptions(judged: Judged, request: Request) -> Answer:
    said = list(judged.plan.assumptions)
    if isinstance(request, Prepare):
        said += request.read_as_notes
    return Answer(" ".join(said) if said else "Nothing was assumed.")


def _why(judged: Judged, request: Request) -> Answer:
    """Why it came out as it did: what is asked, refused or held, else the sum and the way chosen."""
    for outcome, topic in (("question", "asked"), ("refused", "refused"), ("held", "held")):
        if judged.outcome == outcome:
            return TOPICS[topic](judged)
    found = _working(judged, request)
    way = judged.plan.route
    return replace(found, text=f"{found.text} {way.why}".strip()) if way is not None else found


_WITH_REQUEST: dict[str, Callable[[Judged, Request], Answer]] = {
    "why": _why,
    "water": water,
    "moles": moles,
    "standardise": standardise,
    "most": most,
    "understood": _understood,
    "form": _form,
    "difference": _form,
    "amount": _amount,
    "window": _window,
    "working": _working,
    "formula": _form,
    "steps": _steps,
    "sources": _sources,
    "assumptions": _assumptions,
}


def measured(value: float, unit: str, of: str, judged: Judged) -> Answer | None:
    """The strength really made from what was weighed or poured (g or mL); None where it is not clear what it was.

    Everything else is taken as planned: the same bottle, made up to the same volume.
    """
    fits = [
        m
        for m in judged.plan.measures
        if m.amount.unit == unit and m.ingredient is not None and (not of or of_it(of, m))
    ]
    if len(fits) != 1 or value <= 0:
        return None
    return _strength_from(fits[0], value, judged, f"{show_as(value, unit)} of {fits[0].what}")


def of_it(words: str, measure: Measure) -> bool:
    """Whether the words name what is measured."""
    item = measure.ingredient
    return item is not None and any(m.substance.slug == item.substance.slug for m in by_name(words))


def show_as(value: float, unit: str) -> str:
    """The number as it was given, without rounding."""
    return f"{value:.12g} {unit}"


def rounded(wanted: Rounded, judged: Judged) -> Answer | None:
    """The first measured amount at so many figures or decimal places, and the strength it really gives."""
    if not judged.plan.measures or judged.plan.measures[0].ingredient is None:
        return None
    measure = judged.plan.measures[0]
    scales = {"mg": 1e-3, "ug": 1e-6, "kg": 1e3, "uL": 1e-3, "L": 1e3}
    if wanted.places is None:
        display = show(measure.amount.value, measure.amount.unit, wanted.figures)
    else:
        unit = measure.amount.display.split(" ")[-1]
        display = f"{measure.amount.value / scales.get(unit, 1.0):.{wanted.places}f} {unit}"
    number, unit = display.split(" ")
    value = float(number) * scales.get(unit, 1.0)
    if value <= 0:
        return None
    return _strength_from(measure, value, judged, f"{display} of {measure.what}")


def _strength_from(measure: Measure, value: float, judged: Judged, said: str) -> Answer | None:
    """Strength and amount are in proportion where the volume is kept; by mass the water is kept instead."""
    plan, item = judged.plan, measure.ingredient
    assert item is not None
    typed = item.component.strength
    planned = measure.amount.value
    if planned <= 0 or typed is None:
        return None
    if plan.solvent_by_mass and typed.unit != "% w/w":
        return None
    ratio = value / planned
    if plan.solvent_by_mass and plan.total_g:
        ratio *= plan.total_g / (plan.total_g + value - planned)
        where = f"with the water as planned ({show(plan.total_g - planned, 'g')})"
    elif typed.unit == "% w/w" or typed.unit.endswith("/kg"):
        return None  # by mass but made up to a volume: not in proportion, and no density of the real solution is held
    elif plan.total_mL:
        diluted = plan.route is not None and plan.route.dilutions
        where = f"{'diluted as planned' if diluted else 'made up'} to {show(plan.total_mL, 'mL')}"
    else:
        return None
    strength = float(typed.value) * ratio
    figures = max(4, typed.figures)
    actual = f"{round_figures(strength, figures)} {typed.unit}"
    differs = 100 * (ratio - 1)
    off = f"{abs(differs):.2g} % {'above' if differs > 0 else 'below'}" if abs(differs) >= 5e-4 else "the same as"
    sentence = f"{said}, {where}, gives {actual}: {off} the {typed.value} {typed.unit} asked for."
    inside = ""
    if measure.low is not None and measure.high is not None:
        within = measure.low.value <= value <= measure.high.value
        window = f"{measure.low.display} to {measure.high.display}"
        inside = (
            f" It stays in the window of {window}."
            if within
            else f" It is outside the window of {window}, so it is not {typed.value} {typed.unit}: label it {actual}, or weigh again."
        )
        if not within and measure.amount.unit == "mL":
            inside = inside.replace("weigh again", "measure again")
    molar = (
        Amount(
            item.target_mol_L * ratio,
            "mol/L",
            actual if typed.unit == "mol/L" else f"{round_figures(item.target_mol_L * ratio, figures)} mol/L",
        )
        if item.target_mol_L
        else None
    )
    working = (
        (
            "formulas",
            [f"c = {typed.value} {typed.unit} x {round_figures(value, 5)} / {round_figures(planned, 5)} = {actual}"],
        ),
    )
    return Answer(sentence + inside, amount=molar, working=working)
