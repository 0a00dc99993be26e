"""The total that is made: a typed volume or mass, a named vessel's size, or a class set added up."""

from decimal import Decimal

from grammar.request import Container, Misread, Portions, Prepare, Quantity
from grammar.units import UNITS
from rules.plan import DraftPlan, Open

Stop = Open | Misread | None
#: Vessels whose stated size is the volume made when no other volume was typed.
VOLUME_VESSELS = ("volumetric-flask", "conical-flask", "beaker", "measuring-cylinder")
#: Above this no prep room makes a solution; the number is taken for a slip of the pen. mL.
MOST_mL = 1_000_000.0


def settle_total(plan: DraftPlan, request: Prepare) -> Stop:
    """Set ``plan.total_mL`` or ``plan.total_g``; a missing total is left for the planner to ask about."""
    total = request.total
    if total is None and request.portions is not None:
        total = _class_total(plan, request.portions)
    if total is None and request.container is not None and _names_volume(request.container):
        total = request.container.nominal
        assert total is not None
        plan.assumptions.append(
            f"The {request.container.kind.replace('-', ' ')}'s {total.value} {total.unit} is taken as the volume to make."
        )
    if request.container is not None:
        plan.vessel_asked = request.container.kind
    if total is None:
        return None
    if total.value <= 0:
        return Misread(
            "total-not-positive",
            f"{total.value} {total.unit} is no amount to make.",
            "Give a volume above zero, for example '250 mL'.",
        )
    if len(total.value.as_tuple().digits) > 40 or abs(total.value.adjusted()) > 30:
        return _too_much(total)
    plan.volume_figures = total.figures
    unit = UNITS[total.unit]
    value = float(total.value * unit.factor)
    if unit.dimension == "mass":
        plan.total_g = value
        plan.solvent_by_mass = True
        return _too_much(total) if value > MOST_mL else None
    if unit.dimension != "volume":
        return Misread(
            "total-unit",
            f"{total.value} {total.unit} is neither a volume nor a mass.",
            "Give a volume such as '250 mL', or a mass such as '250 g'.",
        )
    plan.total_mL = value
    return _too_much(total) if value > MOST_mL else None


def _too_much(total: Quantity) -> Misread:
    return Misread(
        "total-implausible",
        f"{total.value} {total.unit} is beyond anything a prep room makes (at most {MOST_mL / 1000:g} L is read).",
        "Check the number and its unit.",
    )


def _names_volume(container: Container) -> bool:
    return container.kind in VOLUME_VESSELS and container.nominal is not None


def class_total(portions: Portions) -> Quantity:
    """Portions added up exactly, in decimal arithmetic, with the spare; in the unit of ``each``."""
    bare = portions.each.value * portions.count * portions.sets
    return Quantity((bare * (1 + portions.spare_percent / Decimal(100))).normalize(), portions.each.unit)


def _class_total(plan: DraftPlan, portions: Portions) -> Quantity:
    total = class_total(portions)
    sets = f" x {portions.sets} sets" if portions.sets != 1 else ""
    spare = f" + {portions.spare_percent} % spare" if portions.spare_percent else ""
    plan.assumptions.append(
        f"Total: {portions.count} {portions.who} x {portions.each.value} {portions.each.unit}{sets}{spare} "
        f"= {total.value:f} {portions.each.unit}."
    )
    return total
