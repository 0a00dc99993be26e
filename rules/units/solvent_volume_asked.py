"""Where the words ask for a solute in a volume of water, says that it is made up to that volume."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.signs import only_where
from rules.tables.density import water_density
from rules.tables.load import cite


@only_where("solvent volume")
def gather(plan: DraftPlan) -> float | None:
    asked = isinstance(plan.request, Prepare) and plan.request.solvent_volume
    return plan.total_mL if asked and plan.total_mL and not plan.opens else None


def check(plan: DraftPlan, volume: float) -> Iterable[Hit]:
    said = f"The words say 'in' {say(volume, 'mL')} of water; it is made up to {say(volume, 'mL')} of solution instead."
    mass = sum(item.mass_g for item in plan.ingredients if item.mass_g is not None)
    density = plan.solution.density
    if density and mass and all(item.kind == "solid" for item in plan.ingredients):
        swollen = (mass + volume * water_density(20.0)) / density
        said += f" Added to that much water it would fill about {figures(swollen)} mL."
    yield Hit(said)


RULE = Rule(
    id="solvent-volume-asked",
    group="units",
    title="The volume is that of the solution",
    severity="caution",
    applies_to="requests worded as a solute in a volume of water",
    citation=(cite("practice", "common practice: a strength counts the volume of the solution"),),
    rationale="The solute takes room, so the solution comes out weaker than planned.",
    remedy="If the volume of water was really meant, ask for a strength by mass (% w/w or molal).",
    gather=gather,
    check=check,
    examples=(
        Example(
            "2 M sodium chloride in 100 mL of water",
            "fired",
            "The words say 'in' 100 mL of water; it is made up to 100 mL of solution instead. Added to that "
            "much water it would fill about 104 mL.",
        ),
        Example("2 M sodium chloride made up to 100 mL", "not_applicable"),
    ),
)
