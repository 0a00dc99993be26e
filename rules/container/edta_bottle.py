"""EDTA solutions are kept in polythene."""

from collections.abc import Iterable

from rules.handled import in_group
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.handling import storage
from rules.tables.load import cite


@only_where("group chelator")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    return in_group(plan, "chelator")


def check(_plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        kept = storage(item.substance.slug, item.target_mol_L)
        if kept is not None and "polythene" in kept.container:
            yield Hit(f"{sentence(item.substance.name)} solution draws metal ions out of glass and is kept in {kept.container}.",
                      cites=(kept.cite,))


RULE = Rule(
    id="edta-bottle",
    group="container",
    title="Chelating agents stand in polythene",
    severity="note",
    applies_to="EDTA and other chelating agents",
    citation=(cite("practice", "common practice"),),
    rationale="Calcium and other ions from soft glass use up the reagent, and the strength falls.",
    remedy="Keep it in a polythene bottle; standardise again if it has stood in glass.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.01 M disodium EDTA dihydrate", "fired",
                "Ethylenediaminetetraacetic acid disodium salt (disodium EDTA) solution draws metal ions out of glass "
                "and is kept in polythene."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
