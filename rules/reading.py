"""Small look-ups over a draft plan that many rules share. None of them computes the plan again."""

from grammar.request import Component, Prepare
from rules.plan import DraftPlan, Ingredient, Measure, Open
from rules.rule import Hit
from rules.tables.behaviour import Behaviour, behaviours
from rules.tables.substances import Form, Substance

#: Units that count moles, so that a molar mass is needed.
MOLAR = frozenset({"mol/L", "mmol/L", "umol/L", "nmol/L", "mol/kg", "mmol/kg", "N", "mN", "mEq/L"})


def components(plan: DraftPlan) -> tuple[Component, ...]:
    """The solutes as asked for; empty for a request that only brings substances together."""
    return plan.request.components if isinstance(plan.request, Prepare) else ()


def weighed(plan: DraftPlan) -> list[Ingredient]:
    """The ingredients that go on a balance as solids and whose mass is known."""
    return [item for item in plan.ingredients if item.kind == "solid" and item.mass_g is not None]


def must_be_exact(plan: DraftPlan) -> bool:
    """Whether the request asks for an accurate solution or a standard."""
    return isinstance(plan.request, Prepare) and plan.request.purpose in ("accurate", "standard")


def full_name(substance: Substance, form: Form) -> str:
    """The name on the label: "copper(II) sulfate pentahydrate", "anhydrous sodium carbonate"."""
    if form.label in ("pure", "solution"):
        return substance.name
    if form.label == "anhydrous":
        return f"anhydrous {substance.name}"
    return (
        f"{substance.name} {form.label}" if form.label != "variable" else f"{substance.name} of variable water content"
    )


def named(item: Ingredient) -> str:
    """The full name of the form that is measured."""
    return full_name(item.substance, item.form)


def measure_of(plan: DraftPlan, item: Ingredient) -> Measure | None:
    """The line of the plan that says how much of that ingredient is measured."""
    return next((line for line in plan.measures if line.ingredient is item), None)


def question(found: Open) -> Hit:
    """An open choice as a hit: its text, the answers there are (and what each would give), and the choice itself."""
    answers = "; ".join(
        f"{option.label}: {option.effect}" if option.effect else option.label for option in found.options
    )
    return Hit(f"{found.text} ({answers})" if answers else found.text, found.remedy, question=found)


def behaves(item: Ingredient, kind: str) -> Behaviour | None:
    """What the behaviour table says of that kind ("hygroscopic") about the form that is measured."""
    return behaviours(item.substance.slug, item.form.label).get(kind)


IN_ACID = "Dissolve it wholly in the acid first, then make up with water; the label names the acid."


def dissolved_in_acid(plan: DraftPlan, item: Ingredient) -> str:
    """How a metal, oxide or carbonate is brought into solution with acid, where only an element of it is counted; else "".

    A standard of calcium made from its carbonate holds calcium, not calcium carbonate.
    """
    strength, way = item.component.strength, behaves(item, "slow-to-dissolve")
    counted = (strength is not None and strength.of) or getattr(plan.request, "purpose", None) == "standard"
    return way.detail if counted and way is not None and "in " in way.detail and "acid" in way.detail else ""


def hangs_on_ph(item: Ingredient) -> bool:
    """Whether the bench table says that the pH decides how much dissolves."""
    slow = behaves(item, "slow-to-dissolve")
    return slow is not None and "pH" in slow.detail
