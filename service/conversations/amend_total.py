"""Changes of how much is made: a volume, a bare number, people, spare, so many times, a vessel."""

from dataclasses import replace
from decimal import Decimal

from grammar.message import SetContainer, SetNumber, SetPeople, SetScale
from grammar.request import Component, Portions, Prepare, Quantity
from grammar.units import UNITS, dimension, in_base
from rules.plan import Open, Option
from service.planner.questions import with_component
from service.planner.totals import VOLUME_VESSELS

Outcome = Prepare | Open
#: Notes that hold only until the thing they speak of is changed again.
SPARE_ON, AS_BEFORE = " % spare on ", ", as before."
#: A bare number may be the strength within this factor of the one that stands there, and is the total without asking
#: only within the narrower one.
NEAR, NEAR_TOTAL = 100, 20
#: No solution is stronger, in these units.
_MOST = {
    "mol/L": Decimal(60),
    "X": Decimal(100),
    "%": Decimal(100),
    "% w/v": Decimal(200),
    "% w/w": Decimal(100),
    "% v/v": Decimal(100),
}
MOST_PEOPLE = 100_000
#: A number alone is taken as mL from the one to the other.
LEAST_ML, MOST_ML = 25, 5000
TAKEN_AS = " without a unit is taken as "


def the_one(request: Prepare, asked: str) -> Component | Open:
    """The only solute; with several, which of them is meant must be said in a new request."""
    if len(request.components) == 1:
        return request.components[0]
    return Open(
        "which-component",
        f"There are {len(request.components)} substances: of which one is the {asked}?",
        remedy="Send the whole request again with the new value.",
    )


def set_volume(request: Prepare, quantity: Quantity, whole: bool) -> Outcome:
    """Another volume; for a class it may be the total or what each gets."""
    if request.portions is not None and not whole:
        return Open(
            "total",
            f"Is {said(quantity)} the total, or what each of the {request.portions.count} {request.portions.who} gets?",
            (
                Option("total", f"{said(quantity)} altogether", replace(request, total=quantity, portions=None)),
                Option(
                    "each",
                    f"{said(quantity)} each",
                    replace(request, portions=replace(request.portions, each=quantity)),
                ),
            ),
        )
    return set_total(request, quantity)


def set_total(request: Prepare, quantity: Quantity) -> Prepare:
    """The request with another total, of either kind; what was said of the total before no longer holds."""
    container = request.container
    if dimension(quantity.unit) == "volume" and container is not None and container.nominal is not None:
        fits = in_base(container.nominal) == in_base(quantity)
        container = container if fits else replace(container, nominal=None)
    notes = without(without(request.read_as_notes, SPARE_ON), TAKEN_AS)
    return replace(request, total=quantity, portions=None, container=container, read_as_notes=notes)


def set_number(request: Prepare, change: SetNumber, about: str = "") -> Outcome:
    """A number without unit takes the total's unit when it can be nothing else; otherwise it is asked about."""
    value, total = change.value, request.total
    component = request.components[0] if len(request.components) == 1 else None
    strength = component.strength if component else None
    likely_strength = (
        strength is not None and _near(value, strength.value, NEAR) and value <= _MOST.get(strength.unit, value)
    )
    likely_total = total is not None and _near(value, total.value, NEAR_TOTAL)
    by_volume = total is not None and dimension(total.unit) == "volume"
    certain = (change.role == "total" and not by_volume) or (change.role == "" and likely_total and not likely_strength)
    if total is not None and request.portions is None and certain:
        return set_total(request, replace(total, value=value))
    if component is not None and strength is not None and change.role == "strength":
        return with_component(request, 0, replace(component, strength=replace(strength, value=value)))
    if total is None and request.portions is None and about == "total" and change.role != "strength":
        return _first_total(request, value)
    may_be_total = change.role == "total" or (change.role == "" and not likely_strength)
    reached = _in_reach(request, value) if may_be_total else []
    if total is not None and request.portions is None and len(reached) == 1:
        made = set_total(request, reached[0])
        return made if reached[0].unit == total.unit else _noted(made, value, reached[0])
    options: list[Option] = []
    if change.role != "strength":
        options += _as_volumes(request, value)
    if component is not None and strength is not None and change.role != "total":
        as_strength = with_component(request, 0, replace(component, strength=replace(strength, value=value)))
        if likely_strength or not options:
            options.append(Option("strength", f"{value} {strength.unit}", as_strength))
    return Open("number", f"What is {value}?", tuple(options), remedy=f"Write its unit, for example '{value} mL'.")


def _first_total(request: Prepare, value: Decimal) -> Outcome:
    """A number in answer to how much is wanted: mL, where it is no number of litres that anybody makes."""
    volumes = [Quantity(value, unit) for unit in ("mL", "L")]
    if LEAST_ML <= value <= MOST_ML:
        return _noted(set_total(request, volumes[0]), value, volumes[0])
    options = tuple(Option(f"total-{v.unit}", said(v), set_total(request, v)) for v in volumes)
    return Open("total", f"What is {value}?", options, remedy=f"Write its unit, for example '{value} mL'.")


def _noted(request: Prepare, value: Decimal, taken: Quantity) -> Prepare:
    note = f"{value}{TAKEN_AS}{said(taken)}."
    return replace(request, read_as_notes=(*without(request.read_as_notes, TAKEN_AS), note))


def _in_reach(request: Prepare, value: Decimal) -> list[Quantity]:
    """The volumes in mL or L that the number may be, near the total that is there."""
    total = request.total
    if total is None or dimension(total.unit) != "volume":
        return []
    volumes = [Quantity(value, unit) for unit in ("mL", "L")]
    return [v for v in volumes if _near(in_base(v), in_base(total), NEAR_TOTAL)]


def _as_volumes(request: Prepare, value: Decimal) -> list[Option]:
    """What a bare number may be of the amounts: a total within reach in mL or L, what each gets, how many there are."""
    portions = request.portions
    if portions is not None:
        each = replace(portions.each, value=value)
        options = [Option("each", f"{said(each)} each", replace(request, portions=replace(portions, each=each)))]
        if value == int(value) and 0 < value <= MOST_PEOPLE:
            more = replace(request, portions=replace(portions, count=int(value)))
            options.append(Option("count", f"{value} {portions.who}", more))
        return options
    if request.total is None:
        return []
    units = dict.fromkeys((request.total.unit, *(("mL", "L") if dimension(request.total.unit) == "volume" else ())))
    totals = [Quantity(value, unit) for unit in units]
    reached = [t for t in totals if _near(in_base(t), in_base(request.total), NEAR)]
    return [Option(f"total-{t.unit}", f"{said(t)} in total", set_total(request, t)) for t in reached]


def without(notes: tuple[str, ...], marker: str) -> tuple[str, ...]:
    """The notes without those that hold the marker."""
    return tuple(note for note in notes if marker not in note)


def _near(value: Decimal, held: Decimal, factor: int) -> bool:
    return value > 0 and held > 0 and Decimal(1) / factor <= value / held <= factor


def set_people(request: Prepare, change: SetPeople, each: Quantity | None) -> Outcome:
    """Another number of people."""
    if request.portions is not None:
        return replace(request, portions=replace(request.portions, count=change.count, who=change.who))
    if each is not None:
        return replace(request, total=None, portions=Portions(change.count, each, who=change.who))
    return Open(
        "portions",
        f"How much does each of the {change.count} {change.who} need?",
        remedy=f"Say, for example: {change.count} {change.who}, 20 mL each.",
    )


def set_each(request: Prepare, quantity: Quantity) -> Outcome:
    """Another portion."""
    if request.portions is not None:
        return replace(request, portions=replace(request.portions, each=quantity))
    return Open(
        "portions",
        f"For how many is {said(quantity)} each?",
        remedy=f"Say, for example: 26 students, {said(quantity)} each.",
    )


def set_spare(request: Prepare, percent: Decimal) -> Outcome:
    """Another spare."""
    if request.portions is not None:
        return replace(request, portions=replace(request.portions, spare_percent=percent))
    if request.total is None or not percent:
        known = f"{said(request.total)} was asked for as the total" if request.total else "No total was given"
        return Open(
            "total",
            f"{known}, with no spare counted apart. How much is wanted?",
            remedy="Give the volume, for example '500 mL'.",
        )
    more = _times(request.total, 1 + percent / 100)
    return replace(
        request,
        total=more,
        read_as_notes=(*request.read_as_notes, f"{percent}{SPARE_ON}{said(request.total)}: {said(more)}."),
    )


def set_scale(request: Prepare, change: SetScale) -> Outcome:
    """So many times as much, or as strong."""
    if change.of == "strength":
        component = the_one(request, "strength")
        if isinstance(component, Open):
            return component
        if component.strength is None:
            return Open("strength", "No strength was given yet.", remedy="Give the strength, for example '0.1 M'.")
        return with_component(request, 0, replace(component, strength=_times(component.strength, change.factor)))
    if request.portions is not None:
        return replace(request, portions=replace(request.portions, each=_times(request.portions.each, change.factor)))
    if request.total is None:
        return Open("total", "No total was given yet.", remedy="Give the volume, for example '250 mL'.")
    if any(c.mass is not None for c in request.components):
        return Open(
            "total",
            "A mass and a volume were given: which of them is meant?",
            remedy="Give the new mass or volume itself.",
        )
    return set_total(request, _times(request.total, change.factor))


def _times(quantity: Quantity, factor: Decimal) -> Quantity:
    """The product; figures that the multiplication added without need are dropped, those typed are kept."""
    value = quantity.value * factor
    while (
        len(value.as_tuple().digits) > quantity.figures
        and value.as_tuple().digits[-1] == 0
        and int(value.as_tuple().exponent) < 0
    ):
        value = value.quantize(Decimal(1).scaleb(int(value.as_tuple().exponent) + 1))
    return replace(quantity, value=value)


def set_container(request: Prepare, change: SetContainer) -> Outcome:
    """Another vessel; where its size is not the total, that is asked."""
    container, total = change.container, request.total
    changed = replace(request, container=container)
    size = container.nominal
    if size is None or total is None or container.kind not in VOLUME_VESSELS or dimension(total.unit) != "volume":
        return changed
    if in_base(size) == in_base(total):
        return changed
    return Open(
        "total",
        f"Is {said(size)} made, or still {said(total)}?",
        (
            Option("fill", f"{said(size)}, filling it", replace(changed, total=size, portions=None)),
            Option("keep", f"still {said(total)}", changed),
        ),
    )


def said(quantity: Quantity) -> str:
    """A quantity as it is said."""
    return f"{quantity.value} {quantity.unit}" if quantity.unit in UNITS else str(quantity.value)
