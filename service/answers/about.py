"""What is known of a substance or a solution: solubility, pH, density, formula, keeping, waste, hazards, standardising.

Without a strength the tables answer; with one, the solution is worked out as if a litre of it were made, and its plan
answers. What is not held is said not to be held.
"""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from grammar.request import Ask, Misread, Prepare, Quantity
from grammar.units import UNITS
from rules.dissolving import saturation
from rules.plan import Amount, Open
from rules.tables.concentrated import usual
from rules.tables.exposure import exposure_limit
from rules.tables.handling import storage as stored_as
from rules.tables.handling import waste
from rules.tables.hazards import hazard_entry, statement
from rules.tables.liquids import liquid_density
from rules.tables.load import source
from rules.tables.solubility import Miscible, ksp, solubility
from rules.tables.standards import standardisations
from rules.tables.substances import Substance
from service.answers.acidity import ph
from service.answers.settled import refusal, settle
from service.answers.terms import Answer, Consider, Considered, Refused, Result, base
from service.bench import Bench
from service.conversations import facts, safety, told
from service.planner.figures import round_figures, show
from service.planner.matching import form_name, matches

ROOM_degC = 20.0
_LITRE = Quantity(Decimal(1), "L")
#: Rules that say it cannot be measured out here, not that there is no such solution.
_ONLY_OF_MAKING = frozenset(("volume", "balance", "vessel", "measurement"))
#: Topics whose value follows the strength: what leaves the strength open is asked, never taken.
_OF_THE_STRENGTH = ("density", "ph")
#: Questions about the form are settled for a fact by the first form sold: it says which.
_MOST_OPEN = 3


def about(ask: Ask, bench: Bench, consider: Consider) -> Result:
    """The fact asked for, or what stands in its way."""
    if ask.topic in ("solubility", "formula", "standardise"):
        kind = _substance(ask, bench)
        return _OF_A_SUBSTANCE[ask.topic](ask, kind) if isinstance(kind, Substance) else kind
    component = ask.request.components[0]
    known = matches(component.solute)
    if component.strength is None and known:
        kind = _substance(ask, bench)
        if not isinstance(kind, Substance):
            return kind
        return _OF_A_SUBSTANCE[ask.topic](ask, kind)
    request = replace(ask.request, total=_LITRE)
    stopped = refusal(request, bench, consider) if ask.topic not in ("waste", "storage", "hazards") else None
    if stopped is not None and any(f.group not in _ONLY_OF_MAKING for f in stopped.findings):
        return stopped
    if ask.topic in _OF_THE_STRENGTH:
        opens = consider(request, bench).plan.opens
        molar = component.strength is not None and UNITS[component.strength.unit].dimension == "molar"
        if opens and not (opens[0].about == "form" and molar):  # moles in a litre are the same of every form
            return _as_asked(opens[0], ask)
    judged, said = _worked_out(request, bench, consider)
    if judged.plan.main is None and judged.plan.problem is not None:
        return judged.plan.problem
    if ask.topic == "ph":
        return ph(judged.plan)
    return _told(_OF_A_SOLUTION[ask.topic](judged), said)


def _as_asked(open_: Open, ask: Ask) -> Open:
    """The question about the request as it was asked, without the litre it was worked out for."""
    return replace(
        open_, options=tuple(replace(o, request=replace(o.request, total=ask.request.total), effect="") for o in open_.options)
    )


def _worked_out(request: Prepare, bench: Bench, consider: Consider) -> tuple[Considered, list[str]]:
    """The solution as if it were made; a question on the way is settled by its first answer, and said."""
    said: list[str] = []
    judged = consider(request, bench)
    for _ in range(_MOST_OPEN):
        options = judged.plan.opens[0].options if judged.plan.opens else ()
        if not options:
            break
        said.append(
            f"Worked out for {options[0].label}; no other answer to '{judged.plan.opens[0].text}' was looked at."
        )
        judged = consider(options[0].request, bench)
    return judged, said


def _told(answer: told.Answer, said: list[str]) -> Answer:
    return Answer(answer.amount, answer.text, [], said, list(answer.cites))


def _substance(ask: Ask, bench: Bench) -> Substance | Result:
    named = ask.request.components[0].solute
    kinds = {match.substance.slug: match.substance for match in matches(named)}
    if len(kinds) == 1:
        return next(iter(kinds.values()))
    settled = settle(ask.request, bench)
    return settled[1].substance if isinstance(settled, tuple) else settled


def _solubility(ask: Ask, kind: Substance) -> Result:
    asked = ask.request.temperature
    degC = float(asked.value) if asked is not None else ROOM_degC
    held = solubility(kind.slug, degC)
    if isinstance(held, Miscible):
        return Answer(None, f"{kind.name} mixes with water in all proportions ({held.note}).", cites=[held.cite])
    if held is None:
        return _sparing(kind, degC)
    grams = held.g_anhydrous_per_100g_water
    value = Amount(grams, "g/100 g", f"{round_figures(grams, 3)} g in 100 g of water")
    hydrated = (
        " (counted without water of crystallisation)" if any(f.water not in ("0", "") for f in kind.forms) else ""
    )
    text = f"At {held.temperature_degC:g} degC {value.display} dissolves of {kind.name}{hydrated}"
    full = saturation(kind.slug, degC)
    if full is not None and full.high_g_L <= 1.01 * full.low_g_L:
        text += f": {round_figures(full.low_g_L, 3)} g in a litre of the saturated solution"
        if kind.molar_mass:
            text += f", {round_figures(full.low_g_L / kind.molar_mass, 3)} mol/L"
    given = ask.available
    if given is not None:
        water = base(given) if given.unit in ("g", "kg", "mg") else base(given) * 0.998
        most = grams * water / 100
        value = Amount(most, "g", show(most, "g", 3))
        text = f"{value.display} in {given.value} {given.unit} of water. {text}"
    support = {"disputed": " Sources differ.", "unverified": " One source from memory: check it."}.get(held.kind, "")
    return Answer(value, f"{text}.{support}", cites=list(held.cites))


def _sparing(kind: Substance, degC: float) -> Answer:
    """By the solubility product, where one is held; what is not held is never called insoluble."""
    product = ksp(kind.slug)
    if product is None:
        return Answer(
            None, f"No solubility of {kind.name} near {degC:g} degC is held here. That says nothing either way."
        )
    value = 10**-product.pKsp
    return Answer(
        None,
        f"{kind.name} is sparingly soluble: the solubility product of {product.solid} is {value:.2g} at "
        f"{product.temperature_degC:g} degC. No figure in grams is held.",
        cites=[product.cite],
    )


def _formula(_ask: Ask, kind: Substance) -> Result:
    lines = [
        f"{form_name(kind, form)}: {form.formula}"
        + (f", CAS {form.cas}" if form.cas else "")
        + (f", {form.molar_mass:.2f} g/mol" if form.molar_mass else "")
        for form in kind.forms
        if form.formula
    ]
    if not lines:
        return Refused(Misread("no-formula", f"{kind.name} has no single formula here.", "Take it from the bottle."))
    return Answer(None, "; ".join(lines) + ".", cites=[form.cite for form in kind.forms])


def _no_strength(what: str) -> Callable[[Ask, Substance], Result]:
    def answer(_ask: Ask, kind: Substance) -> Result:
        example = f"Give its strength, for example '{what} of 0.1 M {kind.name}'."
        return Misread("question-incomplete", f"The {what} depends on how strong the {kind.name} is.", example)

    return answer


def _density(ask: Ask, kind: Substance) -> Result:
    source, bottle = ask.request.components[0].source, usual(kind.slug)
    if bottle is not None and (source is not None or bottle.mass_percent < 99):
        value = Amount(bottle.density_g_per_mL, "g/mL", f"{bottle.density_g_per_mL:g} g/mL")
        return Answer(
            value, f"{bottle.grade} {kind.name}, {bottle.mass_percent:g} % w/w: {value.display}.", cites=[bottle.cite]
        )
    pure = liquid_density(kind.slug)
    if pure is None:
        return _no_strength("density")(ask, kind)
    value = Amount(pure.value_g_per_mL, "g/mL", f"{pure.value_g_per_mL:g} g/mL")
    return Answer(value, f"{kind.name}, the pure liquid at 20 degC: {value.display}.", cites=[pure.cite])


def _keeping(_ask: Ask, kind: Substance) -> Result:
    kept = stored_as(kind.slug, None)
    if kept is None:
        return Answer(
            None, f"Nothing is held on how {kind.name} is kept. Take it from the label or the supplier's sheet."
        )
    how = ", ".join(filter(None, (kept.container, kept.closure, kept.condition)))
    days = kept.shelf_life_days
    length = (
        "no number of days is held"
        if days is None
        else f"{days} days"
        if days
        else "it does not keep: make it on the day"
    )
    return Answer(None, f"A solution of {kind.name}: {length} ({kept.basis}), in {how}.", cites=[kept.cite])


def _waste(_ask: Ask, kind: Substance) -> Result:
    stream = waste(kind.slug)
    none = stream.drain_limit.lower() in ("none", "", "no")
    drain = "Not to the drain." if none else f"Drain only under this condition: {stream.drain_limit}."
    text = f"{kind.name}: {stream.stream.replace('-', ' ')}; {stream.advice}. {drain} Local rules come first."
    return Answer(None, text, cites=[stream.cite])


def _hazards(ask: Ask, kind: Substance) -> Result:
    water = ask.request.components[0].solute.water
    form = next((f for f in kind.forms if f.water == water), kind.forms[0])
    entry, limit = hazard_entry(kind.slug, form.label), exposure_limit(kind.slug)
    air = f" In the air breathed: {limit.said} (Ontario; the limit where you work comes first)." if limit else ""
    also = [limit.cite] if limit else []
    if entry is None or not entry.classes:
        read = entry is not None and entry.status == "unclassed"
        held = f"in {source(entry.cite.source_id).reference} ({entry.cite.locator})" if entry and read else "is held here"
        text = f"No classification of {kind.name} {held}. That does not mean it is harmless: take the safety data sheet.{air}"
        return Answer(None, text, cites=[*([entry.cite] if entry else []), *also])
    said = "; ".join(f"{c.label}: {statement(c.h_code).text} ({c.h_code})" for c in entry.classes)
    recalled = f" From memory: {', '.join(entry.remembered)}." if entry.remembered else ""
    last = "A solution is classed by its strength: ask with one. The safety data sheet comes first."
    text = f"{kind.name} itself: {said}.{recalled}{air} {last}"
    return Answer(None, text, cites=[*dict.fromkeys(c.cite for c in entry.classes), *also])


def ways_to_standardise(kind: Substance) -> told.Answer:
    """The titrations held by which a solution of a substance is standardised."""
    held = standardisations(kind.slug)
    if not held:
        return told.Answer(f"No way of standardising {kind.name} is held here.")
    ways = []
    for way in held:
        primary = way.primary_standard.replace("-", " ")
        more = "; ".join(part.rstrip(".") for part in (way.drying, way.note) if part)
        indicator = f", indicator {way.indicator}" if way.indicator else ""
        ratio = f"{way.titrant_per_standard:g} mol of it to 1 mol of the standard"
        ways.append(f"Against {primary}{indicator}: {ratio}" + (f" ({more})." if more else "."))
    return told.Answer(" ".join(ways), tuple(way.cite for way in held))


_OF_A_SUBSTANCE: dict[str, Callable[[Ask, Substance], Result]] = {
    "solubility": _solubility,
    "formula": _formula,
    "ph": _no_strength("pH"),
    "density": _density,
    "keeping": _keeping,
    "storage": _keeping,
    "waste": _waste,
    "hazards": _hazards,
    "standardise": lambda _ask, kind: _told(ways_to_standardise(kind), []),
}
_OF_A_SOLUTION: dict[str, Callable[[Considered], told.Answer]] = {
    "density": facts.density,
    "keeping": safety.keeping,
    "storage": safety.storage,
    "waste": safety.disposal,
    "hazards": safety.hazards,
}
