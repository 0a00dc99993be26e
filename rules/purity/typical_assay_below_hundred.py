"""Where bottles of the reagent usually hold much less than 100 % and no assay was given, shows both masses."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import named, weighed
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import say, sentence
from rules.tables.assay import Assay, assay
from rules.tables.load import cite

#: Below this usual assay the error outgrows the 1 % that ordinary solutions are made to; a caution below 95 %.
NOTE_BELOW_PCT, CAUTION_BELOW_PCT = 99.0, 95.0


def gather(plan: DraftPlan) -> list[tuple[Ingredient, Assay]] | Unchecked | None:
    found: list[tuple[Ingredient, Assay]] = []
    missing = ""
    for item in weighed(plan):
        if not item.purity_stated and item.purity == 1:
            held = assay(item.substance.slug, item.form.label)
            if held is None:
                missing = named(item)
            else:
                found.append((item, held))
    return found or (
        Unchecked(f"No usual assay of {missing} is held, so counting it as pure was not checked.") if missing else None
    )


def check(_plan: DraftPlan, found: list[tuple[Ingredient, Assay]]) -> Iterable[Hit]:
    for item, held in found:
        if held.typical_pct < NOTE_BELOW_PCT and item.mass_g is not None:
            yield Hit(
                sentence(
                    f"{named(item)} is usually about {held.typical_pct:g} % pure, and no assay was given: "
                    f"{say(item.mass_g, 'g', 4)} counts it as pure, at {held.typical_pct:g} % it would be "
                    f"{say(item.mass_g * 100 / held.typical_pct, 'g', 4)}."
                ),
                severity="caution" if held.typical_pct < CAUTION_BELOW_PCT else "note",
                cites=(held.cite,),
            )


RULE = Rule(
    id="typical-assay-below-hundred",
    group="purity",
    title="The reagent is usually pure enough to count as 100 %",
    severity="note",
    applies_to="solids weighed without an assay, where a usual assay is held",
    citation=(cite("practice", "usual reagent-grade assays"),),
    rationale="Potassium hydroxide pellets hold about a seventh of water: counted as pure they give 0.085 M for 0.1 M.",
    remedy="Read the assay on the label and give it, for example 'label says 85 %'.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.1 M potassium hydroxide",
            "fired",
            "Potassium hydroxide is usually about 85 % pure, and no assay was given: 5.611 g counts it as "
            "pure, at 85 % it would be 6.601 g.",
        ),
        Example("1 L of 0.1 M potassium chloride", "passed"),
        Example(
            "1 L of 0.1 M potassium nitrate",
            "unchecked",
            "No usual assay of potassium nitrate is held, so counting it as pure was not checked.",
        ),
        Example("1 L of 0.1 M potassium hydroxide pellets, label says 85 %", "not_applicable"),
    ),
)
