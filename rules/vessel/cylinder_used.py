"""Says how well the volume is known when it is made up in a measuring cylinder."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Vessel
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> Vessel | None:
    return plan.vessel if plan.vessel is not None and plan.batches else None


def check(plan: DraftPlan, vessel: Vessel) -> Iterable[Hit]:
    glass, volume = vessel.glass, plan.batches[0].volume_mL
    if glass.kind == "measuring-cylinder":
        yield Hit(
            f"No flask fits, so {volume:g} mL is made up in a {glass.nominal_mL:g} mL measuring cylinder, good "
            f"to {say(glass.tolerance_mL, 'mL', 2)} "
            f"({figures(100 * glass.tolerance_mL / volume, 2)} %).",
            severity="caution" if must_be_exact(plan) else "note",
            cites=(glass.cite,),
        )


RULE = Rule(
    id="cylinder-used",
    group="vessel",
    title="The volume is made in a volumetric flask",
    severity="note",
    applies_to="solutions made up to a volume",
    citation=(cite("iso-4788", "maximum permissible errors"),),
    rationale="A cylinder is for rough work; its error goes straight into the strength.",
    remedy="Ask for the volume of a flask where the strength matters.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "330 mL of 0.1 M sodium chloride",
            "fired",
            "No flask fits, so 330 mL is made up in a 500 mL measuring cylinder, good to 5.0 mL (1.5 %).",
        ),
        Example("250 mL of 0.1 M sodium chloride", "passed"),
        Example("250 g of 10 % w/w sodium chloride", "not_applicable"),
    ),
)
