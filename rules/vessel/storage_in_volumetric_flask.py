"""A volumetric flask is not used as a bottle."""

import re
from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

_KEPT = re.compile(r"\b(?:stor|keep|kept)")
_FLASK = re.compile(r"\bvol(?:umetric|\.)? ?flask")


@only_where("set aside", "bottle")
def gather(plan: DraftPlan) -> list[str] | None:
    """What the solution is said to be kept in."""
    if not isinstance(plan.request, Prepare):
        return None
    kept = [words.lower() for words in plan.request.set_aside if _KEPT.search(words.lower())]
    if plan.request.bottle is not None:
        kept.append(plan.request.bottle.kind.replace("-", " "))
    return kept or None


def check(_plan: DraftPlan, kept: list[str]) -> Iterable[Hit]:
    if any(_FLASK.search(words) for words in kept):
        yield Hit("The solution is to be kept in a volumetric flask, which is a measure and not a bottle.")


RULE = Rule(
    id="storage-in-volumetric-flask",
    group="vessel",
    title="The solution is kept in a bottle",
    severity="caution",
    applies_to="requests that say what the solution is kept in",
    citation=(cite("practice", "common practice: volumetric flasks are emptied and rinsed at once"),),
    rationale="Stoppers seize, alkali etches the mark, and the flask is missing for the next preparation.",
    remedy="Move it to a labelled bottle rinsed with a little of the solution.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "250 mL of 0.1 M sodium chloride, kept in a volumetric flask",
            "fired",
            "The solution is to be kept in a volumetric flask, which is a measure and not a bottle.",
        ),
        Example("25% w/v KI 100mL brown bottle", "passed"),
        Example("250 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
