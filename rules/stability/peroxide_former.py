"""Liquids that form explosive peroxides are dated and tested."""

from collections.abc import Iterable

from rules.handled import solvent, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import Behaviour, behaviours
from rules.tables.load import cite


@only_where("peroxide-former", "solvent")
def gather(plan: DraftPlan) -> list[tuple[str, Behaviour]] | None:
    found = [(item.substance.name, trait) for item, trait in with_trait(plan, "peroxide-former") or ()]
    other = solvent(plan)
    if other is not None and "peroxide-former" in (known := behaviours(other.slug)):
        found.append((other.name, known["peroxide-former"]))
    return found or None


def check(_plan: DraftPlan, found: list[tuple[str, Behaviour]]) -> Iterable[Hit]:
    for name, trait in found:
        yield Hit(f"{sentence(name)} forms peroxides in the bottle: {told(trait)}.", cites=(trait.cite,))


RULE = Rule(
    id="peroxide-former",
    group="stability",
    title="No peroxides form on keeping",
    severity="caution",
    applies_to="ethers and other peroxide formers",
    citation=(cite("practice", "common practice"),),
    rationale="The peroxide stays behind when the liquid evaporates, and it explodes.",
    remedy=("Look for the opening date; do not open a bottle without one or with crystals round the cap, but "
            "tell the safety officer."),
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 10 % v/v tetrahydrofuran", "fired",
                "Tetrahydrofuran forms peroxides in the bottle: date on opening; test for peroxides; discard at the "
                "house limit; never distil to dryness."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
