"""Substances that sensitise skin or airways are named."""

from collections.abc import Iterable

from rules.made import handled, made
from rules.plan import DraftPlan
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite


@only_where("made Skin Sens.", "made Resp. Sens.", "handled Skin Sens.", "handled Resp. Sens.")
def gather(plan: DraftPlan) -> list[Hit] | None:
    found = [Hit(f"The made solution is {one.hazard_class} {one.category} ({one.h_code}): {one.because}.")
             for start in ("Skin Sens.", "Resp. Sens.") for one in made(plan, start) or ()]
    if not found:
        for item in plan.ingredients:
            labels = [f"{label} ({code})" for label, code in handled(item, plan.policy) if "Sens." in label]
            if labels:
                found.append(Hit(f"{named(item)} as handled is {', '.join(labels)}, though the made solution is under the limit."))
    return found or None


def check(_plan: DraftPlan, found: list[Hit]) -> Iterable[Hit]:
    return found


RULE = Rule(
    id="sensitiser",
    group="hazard",
    title="Nothing here sensitises",
    severity="caution",
    applies_to="skin and respiratory sensitisers",
    citation=(cite("clp-annex-i", "Annex I, 3.4, Table 3.4.5"),),
    rationale="Once sensitised, a person reacts for life, to traces.",
    remedy="Gloves changed after a splash, no skin contact, no dust or spray; people who already react stay away.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.5 M nickel chloride hexahydrate", "fired",
                "The made solution is Skin Sens. 1 (H317): nickel(II) chloride at 6.13 % w/w against the specific "
                "limit of 0.01 %."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
