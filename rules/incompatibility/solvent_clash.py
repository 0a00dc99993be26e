"""The solute does not react with the solvent that was named."""

from collections.abc import Iterable
from typing import cast

from rules.handled import called, solvent
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Severity, Unchecked
from rules.saying import sentence
from rules.signs import only_where
from rules.tables.behaviour import behaviours
from rules.tables.groups import Clash, clashes
from rules.tables.load import cite


@only_where("solvent")
def gather(plan: DraftPlan) -> list[Clash] | Unchecked | None:
    words = getattr(plan.request, "solvent", None)
    if not words or "water" in words or not plan.ingredients:
        return None
    other = solvent(plan)
    if other is None:
        return Unchecked(f"Nothing is held on '{words}' as a solvent, so nothing says whether the solute stands it.")
    return [clash for item in plan.ingredients for clash in clashes((item.substance.slug, other.slug))[:1]]


def check(plan: DraftPlan, found: list[Clash]) -> Iterable[Hit]:
    words = str(getattr(plan.request, "solvent", ""))
    for clash in found:
        usual = any("dissolve-in" in known and words in known["dissolve-in"].detail
                    for known in (behaviours(clash.a), behaviours(clash.b)))
        severity: Severity = "caution" if usual and clash.approvable else cast(Severity, clash.severity)
        yield Hit(f"{sentence(called(clash.a))} with {called(clash.b)} as the solvent: {clash.consequence}.",
                  severity=severity, approvable=clash.approvable, cites=(clash.cite,))


RULE = Rule(
    id="solvent-clash",
    group="incompatibility",
    title="The solute stands the solvent",
    severity="stop",
    applies_to="solutions in a solvent other than water",
    citation=(cite("prudent-practices-1995", "table of incompatible chemicals"),),
    rationale="Oxidisers in an organic solvent burn or explode, some only after hours in the closed bottle.",
    remedy="Use water, or a solvent the method names for this substance.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.02 M potassium permanganate in ethanol", "fired",
                "Potassium permanganate with ethanol as the solvent: fire; violent oxidation."),
        Example("100 mL of 1 % w/v phenolphthalein in ethanol", "passed"),
        Example("100 mL of 0.1 M potassium chloride", "not_applicable"),
    ),
)
