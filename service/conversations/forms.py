"""Another form of what is there: "use the pentahydrate", "the bottle is the 7 hydrate", "the blue one"."""

from dataclasses import replace

from grammar.message import SetForm
from grammar.request import Named, Prepare, Source
from rules.plan import Open, Option
from rules.tables.colours import forms_of_colour
from rules.tables.substances import Form, Substance
from service.planner.matching import form_name, matches
from service.planner.questions import with_component
from service.planner.resolve import settle_form
from service.planner.strength import strength_of

Outcome = Prepare | Open
# Strengths that count moles are the same whichever form is weighed; the others count the grams of a form.
_COUNTS_MOLES = frozenset(("mol/L", "mol/kg", "eq/L", "m", "mEq/L"))
_BY_COLOUR = "by the colour in the bottle (common practice)"


def set_form(request: Prepare, change: SetForm) -> Outcome:
    """The request with the form of its solute changed; a question where it is unsure which form or which basis."""
    request = replace(request, read_as_notes=tuple(n for n in request.read_as_notes if _BY_COLOUR not in n))
    held = [(i, kind) for i, c in enumerate(request.components) for kind in _kinds(c.solute) if len(kind.forms) > 1]
    if change.colour is not None:
        return _by_colour(request, held, change.colour)
    assert change.water is not None
    fits = [(i, kind, form) for i, kind in held if (form := kind.with_water(change.water)) is not None]
    if len({i for i, _, _ in fits}) > 1:
        return Open(
            "which-component",
            "More than one of the substances has that form. Which is meant?",
            remedy="Send the whole request again with the forms named.",
        )
    if len({kind.slug for _, kind, _ in fits}) == 1:
        index, kind, form = fits[0]
        return choose(request, index, kind, form)
    component = request.components[0]
    named = replace(component.solute, water=change.water, cas=None)
    return with_component(
        request, 0, replace(component, solute=replace(named, as_typed=named.name or named.formula or ""))
    )


def choose(request: Prepare, index: int, kind: Substance, form: Form) -> Outcome:
    """Component ``index`` as ``form``. Where the strength counts grams of another form that was stated, that is asked."""
    component = request.components[index]
    before = component.solute.water or next(
        (f.water for m in matches(component.solute) if m.label and (f := kind.form(m.label))), None
    )
    made = settle_form(request, index)(kind, form)
    strength = component.strength
    by_mass = strength is not None and strength_of(strength).family not in _COUNTS_MOLES
    if not by_mass or before is None or before == form.water or (strength is not None and strength.of):
        return made
    assert strength is not None
    source = component.source
    weighed = Named(water=form.water)
    kept = replace(component, source=replace(source, named=weighed) if source else Source(named=weighed))
    counted = kind.with_water(before)
    name = form_name(kind, counted) if counted else "the form named before"
    return Open(
        "basis",
        f"Does {strength.value} {strength.unit} count the grams of {name}, or of the {form.label}?",
        (
            Option("as-before", f"counts {name}, weighed as the {form.label}", with_component(request, index, kept)),
            Option("as-new", f"counts the {form.label}", made),
        ),
    )


def _by_colour(request: Prepare, held: list[tuple[int, Substance]], colour: str) -> Outcome:
    found = [(i, kind, form) for i, kind in held for form, _ in forms_of_colour(kind, colour)]
    if len(found) == 1:
        index, kind, form = found[0]
        made = choose(request, index, kind, form)
        note = f"'The {colour} one' is taken as {form_name(kind, form)} ({form.formula}), {_BY_COLOUR}."
        if isinstance(made, Prepare):
            return replace(made, read_as_notes=(*made.read_as_notes, note))
        return made
    if not held:
        return Open(
            "form",
            "Nothing here comes in forms that are told apart by colour.",
            remedy="Name the substance in a whole request.",
        )
    index, kind = held[0]
    forms = [form for _, _, form in found] or list(kind.sold_forms or kind.forms)
    said = (
        f"More than one form of {kind.name} is {colour}." if found else f"No form of {kind.name} is listed as {colour}."
    )
    return Open(
        "form",
        f"{said} Which is in the bottle?",
        tuple(Option(f.key.replace("/", "-"), form_name(kind, f), settle_form(request, index)(kind, f)) for f in forms),
        remedy="Read the formula on the bottle.",
    )


def _kinds(named: Named) -> tuple[Substance, ...]:
    return tuple({m.substance.slug: m.substance for m in matches(named)}.values())
