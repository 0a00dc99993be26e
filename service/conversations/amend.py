"""Changes applied to the request that is there. What a change could mean in two ways comes back as a question."""

from dataclasses import dataclass, replace

from grammar.message import (
    Change,
    SetBasis,
    SetContainer,
    SetForm,
    SetNumber,
    SetPeople,
    SetPurpose,
    SetQuantity,
    SetScale,
    SetSolute,
    SetSource,
    SetSpare,
)
from grammar.request import Component, Prepare, Quantity, Source
from grammar.units import STRENGTHS, dimension
from rules.plan import Open, Option
from service.conversations.amend_total import (
    AS_BEFORE,
    said,
    set_container,
    set_each,
    set_number,
    set_people,
    set_scale,
    set_spare,
    set_volume,
    the_one,
    without,
)
from service.conversations.forms import set_form
from service.planner.matching import matches
from service.planner.questions import with_component

Outcome = Prepare | Open


@dataclass(frozen=True, slots=True)
class Context:
    """What the open question is about ("" when none is open): it says what a quantity alone is for."""

    about: str = ""


def amend(request: Prepare, changes: tuple[Change, ...], context: Context) -> Outcome:
    """The request with every change made, in order, or the first question that must be settled.

    The options of that question hold the changes that follow as well.
    """
    request = replace(request, confirmed=(), set_aside=())
    for place, change in enumerate(changes):
        made = _apply(request, change, context, changes)
        if isinstance(made, Open):
            return _with_rest(made, changes[place + 1 :], context)
        request = made
    return request


def _with_rest(asked: Open, rest: tuple[Change, ...], context: Context) -> Open:
    options = []
    for option in asked.options:
        made = amend(option.request, rest, context)
        if isinstance(made, Open):
            return Open(asked.about, asked.text, (), asked.remedy or "Change one thing at a time.")
        options.append(replace(option, request=made))
    return replace(asked, options=tuple(options))


def _apply(request: Prepare, change: Change, context: Context, changes: tuple[Change, ...]) -> Outcome:
    if isinstance(change, SetQuantity):
        return _quantity(request, change, context)
    if isinstance(change, SetNumber):
        return set_number(request, change, context.about)
    if isinstance(change, SetForm):
        return set_form(request, change)
    if isinstance(change, SetPeople):
        each = next((c.quantity for c in changes if isinstance(c, SetQuantity) and c.role == "each"), None)
        return set_people(request, change, each)
    if isinstance(change, SetSpare):
        return set_spare(request, change.percent)
    if isinstance(change, SetScale):
        return set_scale(request, change)
    if isinstance(change, SetBasis):
        return _basis(request, change.unit)
    if isinstance(change, SetContainer):
        return set_container(request, change)
    if isinstance(change, SetSource):
        return _source(request, change.source)
    if isinstance(change, SetPurpose):
        return replace(request, purpose=change.purpose)
    return _solute(request, change)


def _quantity(request: Prepare, change: SetQuantity, context: Context) -> Outcome:
    quantity, kind = change.quantity, dimension(change.quantity.unit)
    if change.role == "purity":
        return _purity(request, quantity)
    if change.role == "bottle":
        return _says_the_bottle(request, quantity)
    if change.role == "each":
        return set_each(request, quantity)
    if kind == "volume":
        return set_volume(request, quantity, change.role == "total")
    if kind == "temperature":
        return replace(request, temperature=quantity)
    if kind == "mass":
        return _mass(request, quantity)
    if kind == "density" or (context.about in ("reagent-strength", "density") and kind in STRENGTHS):
        return _of_the_bottle(request, quantity)
    if kind in STRENGTHS:
        return _strength(request, quantity, change.role == "strength" or context.about == "strength")
    return Open("unit", f"What is {quantity.value} {quantity.unit} the value of?", remedy="Say it in a whole request.")


def _mass(request: Prepare, quantity: Quantity) -> Outcome:
    if request.total is not None and dimension(request.total.unit) == "mass":
        return replace(request, total=quantity)
    if len(request.components) == 1 and request.components[0].mass is not None:
        return with_component(request, 0, replace(request.components[0], mass=quantity))
    return Open(
        "mass",
        f"What is {said(quantity)}?",
        remedy=f"Say 'I weighed {said(quantity)}' for what the balance showed, or give the total as a volume.",
    )


def _strength(request: Prepare, quantity: Quantity, certain: bool) -> Outcome:
    component = the_one(request, "strength")
    if isinstance(component, Open):
        return component
    before = component.strength
    notes = without(request.read_as_notes, AS_BEFORE)
    if quantity.unit == "%" and before is not None:
        if before.unit in ("% w/v", "% w/w", "% v/v"):
            notes = (*notes, f"{quantity.value} % is taken as {before.unit}{AS_BEFORE}")
            quantity = replace(quantity, unit=before.unit)
        elif before.unit != "%" and not certain and not (component.source and component.source.kind == "stock"):
            return Open(
                "percent",
                f"Is {quantity.value} % the strength wanted, or the purity of what is in the bottle?",
                (
                    Option(
                        "strength",
                        f"a strength of {quantity.value} %",
                        with_component(request, 0, replace(component, strength=quantity)),
                    ),
                    Option("purity", f"{quantity.value} % pure", _put_purity(request, component, quantity)),
                ),
            )
    if before is not None and before.of and quantity.of is None:
        quantity = replace(quantity, of=before.of)
    return replace(with_component(request, 0, replace(component, strength=quantity)), read_as_notes=notes)


def _of_the_bottle(request: Prepare, quantity: Quantity) -> Outcome:
    component = the_one(request, "bottle")
    if isinstance(component, Open):
        return component
    source = component.source or Source("concentrated")
    is_density = dimension(quantity.unit) == "density"
    other = source.strength is not None and source.strength != quantity
    # The density of a bottle of another strength does not hold for this one.
    kept = None if other else source.density
    changed = replace(source, density=quantity) if is_density else replace(source, strength=quantity, density=kept)
    return with_component(request, 0, replace(component, source=changed))


def _says_the_bottle(request: Prepare, quantity: Quantity) -> Outcome:
    """A percentage on the bottle: of a solid its purity, of a liquid or solution its strength."""
    component = the_one(request, "bottle")
    if isinstance(component, Open):
        return component
    forms = [form for match in matches(component.solute) for form in match.substance.forms if form.sold]
    source = component.source
    if source is not None and (source.kind == "concentrated" or source.strength is not None):
        return _of_the_bottle(request, quantity)
    if component.source is None and forms and all(form.state == "solid" for form in forms):
        return _purity(request, quantity)
    if component.source is None and forms and all(form.state != "solid" for form in forms):
        return _of_the_bottle(request, quantity)
    return Open(
        "reagent-strength",
        f"Is {quantity.value} % the strength of what is poured, or the purity of what is weighed?",
        remedy="Say, for example: from 32 % acid, 1.16 g/mL, or: 97 % pure.",
    )


def _basis(request: Prepare, unit: str) -> Outcome:
    component = the_one(request, "percentage")
    if isinstance(component, Open):
        return component
    strength = component.strength
    if strength is None or not strength.unit.startswith("%"):
        now = f"{said(strength)} was asked for" if strength else "No strength was given yet"
        return Open("strength", f"{now}, so there is no percentage.", remedy=f"Say, for example: 5 {unit}.")
    changed = with_component(request, 0, replace(component, strength=replace(strength, unit=unit)))
    return replace(changed, read_as_notes=without(request.read_as_notes, AS_BEFORE))


def _purity(request: Prepare, quantity: Quantity) -> Outcome:
    component = the_one(request, "purity")
    if isinstance(component, Open):
        return component
    if component.source is not None and component.source.kind == "stock":
        return Open(
            "purity",
            "The solution is diluted from a stock, so the purity of a solid does not enter.",
            remedy="Give the strength of the stock, for example 'from a 0.97 M stock'.",
        )
    return _put_purity(request, component, quantity)


def _put_purity(request: Prepare, component: Component, quantity: Quantity) -> Prepare:
    source = replace(component.source, purity=quantity) if component.source else Source(purity=quantity)
    return with_component(request, 0, replace(component, source=source))


def _source(request: Prepare, source: Source) -> Outcome:
    component = the_one(request, "stock")
    return component if isinstance(component, Open) else with_component(request, 0, replace(component, source=source))


def _solute(request: Prepare, change: SetSolute) -> Outcome:
    """Strength and total stay; what was said of the other bottle (purity, density, reaction) does not carry over."""
    component = the_one(request, "new one")
    if isinstance(component, Open):
        return component
    source = component.source
    plain = replace(request, read_as_notes=())
    bare = with_component(plain, 0, replace(component, solute=change.named, source=None, reaction=None))
    if source is None:
        return bare
    if source.strength is None or source.kind != "stock":
        return replace(bare, read_as_notes=("What was said of the other bottle is not carried over.",))
    stock = Source("stock", strength=source.strength)
    return Open(
        "source",
        "What is it made from?",
        (
            Option(
                "stock",
                f"a {said(source.strength)} stock of it as well",
                with_component(plain, 0, replace(component, solute=change.named, source=stock, reaction=None)),
            ),
            Option("pure", "the pure substance", bare),
        ),
    )
