"""Warns of a dilution of more than one in a hundred in a single step."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.reading import must_be_exact
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("poured")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if plan.total_mL is None:
        return None
    return [i for i in plan.ingredients if i.kind in ("stock", "concentrated") and i.volume_mL] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    most = plan.policy.house.most_fold
    for item in found:
        factor = (plan.total_mL or 0.0) / (item.volume_mL or 1.0)
        if factor > most * (1 + 1e-6):
            yield Hit(
                f"{say(item.volume_mL or 0.0, 'mL')} into {say(plan.total_mL or 0.0, 'mL')} dilutes {figures(factor)} times in one step, "
                f"more than the {most:g} times that stays exact.",
                severity="caution" if must_be_exact(plan) or item.kind == "stock" else "note",
            )


RULE = Rule(
    id="one-step-over-hundredfold",
    group="volume",
    title="No step dilutes more than a hundredfold",
    severity="caution",
    applies_to="dilutions of a stock or a concentrated reagent",
    citation=(cite("practice", "common practice"),),
    rationale="The relative error of the small volume goes whole into the strength, and mixing a trace into a full flask is slow.",
    remedy="Dilute in two steps where the strength matters.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "1 L of 0.001 M KCl from 1 M stock",
            "fired",
            "1.00 mL into 1000 mL dilutes 1000 times in one step, more than the 100 times that stays exact.",
        ),
        Example("100 mL of 0.05 M KCl from 1 M stock", "passed"),
        Example("100 mL of 0.05 M KCl", "not_applicable"),
    ),
)
