"""Says how much of an accurately weighed solid the air carries."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Measure
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures, sentence
from rules.tables.density import Density
from rules.tables.load import cite
from rules.tables.solids import solid_density

#: Conventional air and weights (OIML R 111-1, 2004: 1.2 kg/m3, 8000 kg/m3), g/mL.
AIR, WEIGHTS = 0.0012, 8.0


def gather(plan: DraftPlan) -> tuple[Measure, Density] | Unchecked | None:
    if not must_be_exact(plan) or not plan.measures or plan.measures[0].amount.unit != "g":
        return None
    measure = plan.measures[0]
    item = measure.ingredient
    if item is None or item.kind != "solid":
        return None
    held = solid_density(item.substance.slug, item.form.label)
    if held is None:
        return Unchecked(f"No density of solid {item.substance.name} is held, so the lift of the air was not worked out.")
    return measure, held


def check(_plan: DraftPlan, found: tuple[Measure, Density]) -> Iterable[Hit]:
    measure, held = found
    lift = AIR * (1 / held.value_g_per_mL - 1 / WEIGHTS)
    item = measure.ingredient
    assert item is not None
    yield Hit(f"{sentence(item.substance.name)} of density {held.value_g_per_mL:g} g/cm3 weighs {figures(100 * abs(lift), 2)} % "
              f"{'less' if lift > 0 else 'more'} in air than it is: {measure.amount.display} on the balance is "
              f"{figures(measure.amount.value * (1 + lift), 5)} g.", cites=(held.cite, *RULE.citation))


RULE = Rule(
    id="air-buoyancy",
    group="measurement",
    title="The lift of the air is known",
    severity="note",
    applies_to="solids weighed for an accurate solution or a standard",
    citation=(cite("practice", "conventional air of 1.2 kg/m3 and weights of 8000 kg/m3"),),
    rationale="Air carries some hundredths of a percent of a light solid: part of the error where a tenth is allowed.",
    remedy="Correct the strength written on the label where hundredths of a percent matter; otherwise leave it.",
    gather=gather,
    check=check,
    examples=(
        Example("250 mL of 0.1000 M sodium chloride, accurate", "fired",
                "Sodium chloride of density 2.17 g/cm3 weighs 0.040 % less in air than it is: 1.4610 g on the balance is 1.4616 g."),
        Example("250 mL of 0.1000 M potassium hydrogen phthalate, accurate", "unchecked",
                "No density of solid potassium hydrogen phthalate is held, so the lift of the air was not worked out."),
        Example("250 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
