"""What a solute cannot be made up without: iodide for iodine, alkali for EDTA; and a pH that a strong acid already has."""

from dataclasses import replace
from decimal import Decimal
from math import isclose, log10

from grammar.request import Component, Named, Prepare, Quantity
from rules.plan import DraftPlan, Open, Option
from service.planner.matching import matches
from service.planner.questions import with_component

#: Grams of potassium iodide to a gram of iodine: enough that all of it goes into solution (common practice, no source).
IODIDE_TO_IODINE = 2.0
#: Strong monoprotic acids (-1) and bases (1), whose strength fixes the pH.
_STRONG = {
    "hydrochloric-acid": -1,
    "nitric-acid": -1,
    "perchloric-acid": -1,
    "sodium-hydroxide": 1,
    "potassium-hydroxide": 1,
}
EDTA_DISSOLVES_AT_PH = 7


def edta_at_ph(request: Prepare, component: Component) -> Component:
    """ "EDTA, pH 8" is the disodium salt brought to that pH: the acid itself would not dissolve."""
    if request.ph is None or request.ph < EDTA_DISSOLVES_AT_PH or component.solute.name.lower() != "edta":
        return component
    return replace(component, solute=replace(component.solute, name="disodium EDTA"))


def with_iodide(plan: DraftPlan, request: Prepare) -> Open | Prepare | None:
    """Iodine weighed for a solution in water needs an iodide: the request with it where it was named, else the question.

    None where there is no iodine to weigh, an iodide is there already, or ethanol is the solvent.
    """
    iodine = next((i for i in plan.ingredients if i.substance.slug == "iodine" and i.mass_g is not None), None)
    solvent = request.solvent or ""
    if iodine is None or "ethanol" in solvent or any(i.substance.slug.endswith("iodide") for i in plan.ingredients):
        return None
    mass = Quantity(Decimal(f"{IODIDE_TO_IODINE * (iodine.mass_g or 0.0):.4g}"), "g")
    iodide = Component(Named(name="potassium iodide", as_typed="potassium iodide"), mass=mass)
    joined = replace(request, components=(*request.components, iodide), solvent=None)
    if matches(Named(formula=solvent)) or "iodide" in solvent:
        return joined
    words = f"with potassium iodide, twice the mass of the iodine ({mass.value} g)"
    return Open(
        "solvent",
        "Iodine hardly dissolves in water alone. Is it to be made with potassium iodide?",
        (Option("iodide", words, joined),),
        remedy="Name the iodide, for example 'iodine and 20 g potassium iodide', or the solvent.",
    )


def ask_strong_ph(plan: DraftPlan, request: Prepare) -> Open | None:
    """A pH beside the strength of a strong acid or base: one fixes the other, so which of them holds is asked."""
    if request.ph is None or len(plan.ingredients) != 1:
        return None
    item = plan.ingredients[0]
    sign, strength = _STRONG.get(item.substance.slug), item.component.strength
    if sign is None or strength is None or strength.unit != "mol/L":
        return None
    own = 7 + sign * (7 + log10(float(strength.value))) if strength.value > 0 else 7.0
    if isclose(own, float(request.ph), abs_tol=0.15):
        return None
    power = float(request.ph) - 14 if sign > 0 else -float(request.ph)
    wanted = Quantity(Decimal(f"{10**power:.2g}"), "mol/L")
    kept = replace(request, ph=None)
    return Open(
        "ph",
        f"{strength.value} mol/L {item.substance.name} has a pH of about {own:.1f}, not {request.ph}. Which of the two is wanted?",
        (
            Option("strength", f"{strength.value} mol/L, whatever its pH", kept),
            Option(
                "ph",
                f"pH {request.ph}, about {wanted.value} mol/L",
                with_component(kept, 0, replace(item.component, strength=wanted)),
            ),
        ),
    )
