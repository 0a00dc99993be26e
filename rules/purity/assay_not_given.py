"""Where an accurate solution is asked for, says that the bottle was counted as pure."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import must_be_exact, named, weighed
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.signs import only_where
from rules.tables.assay import assay
from rules.tables.load import cite


@only_where("exact")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return weighed(plan) or None if must_be_exact(plan) else None


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        if item.purity_stated or item.mass_g is None:
            continue
        usual = assay(item.substance.slug, item.form.label)
        about = (
            (
                f" A lot of {usual.low_pct:g} to {usual.high_pct:g} % would need "
                f"{say(item.mass_g * 100 / usual.high_pct, 'g', 4)} to {say(item.mass_g * 100 / usual.low_pct, 'g', 4)}."
            )
            if usual and usual.low_pct and usual.high_pct
            else ""
        )
        yield Hit(
            sentence(f"{named(item)} is counted as 100 % pure: {say(item.mass_g, 'g', 4)}.{about}"),
            cites=(usual.cite,) if usual else (),
        )


RULE = Rule(
    id="assay-not-given",
    group="purity",
    title="The assay of the lot is applied",
    severity="caution",
    applies_to="solids weighed for an accurate solution",
    citation=(cite("practice", "common practice: the certificate of the lot gives the assay"),),
    rationale="Every percent missing from the bottle is missing from the solution.",
    remedy="Give the assay from the certificate of the lot, for example '99.6 % pure', or call the strength nominal.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "accurate 250 mL of 0.1000 M potassium chloride",
            "fired",
            "Potassium chloride is counted as 100 % pure: 1.864 g. A lot of 99 to 100.5 % would need 1.854 g "
            "to 1.883 g.",
        ),
        Example("accurate 250 mL of 0.1000 M potassium chloride, assay 99.5 %", "passed"),
        Example("250 mL of 0.1 M potassium chloride", "not_applicable"),
    ),
)
