"""A solution that weighing cannot make exact is labelled nominal until it is standardised."""

from collections.abc import Iterable

from rules.handled import Trait, strength, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("not-primary-standard")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "not-primary-standard")


def check(_plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    for item, trait in found:
        much = f"{said} " if (said := strength(item)) else ""
        yield Hit(sentence(f"{much}{item.substance.name} is a nominal strength ({told(trait)}); the label says so until a titration "
                  "gives the true one."), cites=(trait.cite,))


RULE = Rule(
    id="label-says-nominal",
    group="labelling",
    title="The strength on the label can be exact by weighing",
    severity="note",
    applies_to="substances that are no primary standard",
    citation=(cite("practice", "common practice"),),
    rationale="Whoever reads a bare 0.1 M on the label takes it for exact.",
    remedy="Write \"nominal\" after the strength; after standardising, write the found strength and its date.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 0.5 M sodium hydroxide", "fired",
                "0.500 mol/L sodium hydroxide is a nominal strength (carbonate and water in the pellets; standardise "
                "against potassium hydrogen phthalate); the label says so until a titration gives the true one."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
