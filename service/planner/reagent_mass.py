"""A mass of an acid or alkali that is sold as a solution: of the substance itself, or of the reagent in the bottle."""

from dataclasses import replace
from decimal import Decimal

from grammar.request import Prepare, Quantity
from grammar.units import in_base
from rules.plan import DraftPlan, Ingredient, Open, Option
from rules.tables.concentrated import usual
from service.planner.questions import with_component

#: A reagent of this strength and above is the substance itself as far as a balance in a prep room tells, % by mass.
NEARLY_PURE = 99.0


def ask_mass_of_reagent(plan: DraftPlan, request: Prepare, item: Ingredient, index: int) -> Open | None:
    """ "20 g of nitric acid to 100 mL": pharmacopoeias weigh the reagent, textbooks the acid in it; None where both are one."""
    component = item.component
    mass, bottle = component.mass, usual(item.substance.slug)
    if mass is None or bottle is None or not plan.total_mL or mass.value <= 0 or component.source is not None:
        return None
    if (
        item.form.state == "solid"
        or bottle.mass_percent >= NEARLY_PURE
        or item.substance.family not in ("acid", "base")
    ):
        return None
    itself = float(in_base(mass)) / plan.total_mL * 1000

    def counted(grams_per_litre: float) -> Prepare:
        strength = Quantity(Decimal(f"{grams_per_litre:.6g}"), "g/L")
        return with_component(request, index, replace(component, mass=None, strength=strength))

    name = item.substance.name
    return Open(
        "reagent-strength",
        f"Is {mass.value} {mass.unit} of {name} the mass of the {bottle.grade} reagent ({bottle.mass_percent:g} % w/w), "
        f"or of the {name} in it?",
        (
            Option(
                "reagent",
                f"of the reagent as it is poured ({bottle.mass_percent:g} % w/w)",
                counted(itself * bottle.mass_percent / 100),
            ),
            Option("itself", f"of {name} itself, without its water", counted(itself)),
        ),
        remedy="Give the strength to make, or the volume of the reagent.",
    )
