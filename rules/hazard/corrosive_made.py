"""A corrosive solution calls for goggles and gloves, and more in large volumes."""

from collections.abc import Iterable

from rules.classify import MadeClass
from rules.made import made
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.tables.load import cite


def gather(plan: DraftPlan) -> list[MadeClass] | None:
    skin = made(plan, "Skin Corr.")
    return skin if skin is None or skin else made(plan, "Eye Dam.")


def check(plan: DraftPlan, found: list[MadeClass]) -> Iterable[Hit]:
    large = plan.policy.house.corrosive_bottle_mL  # a face shield and a second person from here on
    for one in found[:1]:
        said = f"The made solution is {one.hazard_class} {one.category} ({one.h_code}): {one.because}."
        if plan.total_mL is not None and plan.total_mL >= large:
            yield Hit(f"{said} {say(plan.total_mL, 'mL')} is {say(large, 'mL', 2)} or more.",
                      "Face shield over goggles, gloves, apron, a second person in the room; "
                      f"bottles of {large / 1000:g} L at most, carried in a tray.")
        else:
            yield Hit(said)


RULE = Rule(
    id="corrosive-made",
    group="hazard",
    title="The made solution does not burn",
    severity="caution",
    applies_to="solutions whose solutes have a classification",
    citation=(cite("clp-annex-i", "Annex I, 3.2.3 and 3.3.3"),),
    rationale="Strong alkali and acid take the sight of an eye in seconds.",
    remedy="Goggles, gloves and apron; eyewash within reach.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 1 M sodium hydroxide", "fired",
                "The made solution is Skin Corr. 1B (H314): sodium hydroxide at 3.84 % w/w against the specific limit "
                "of 2 %."),
        Example("500 mL of 0.1 M acetic acid from glacial acetic acid", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
        Example("make some acid", "not_applicable"),
    ),
)
