"""Students work with acids and alkalis of at most 1 mol/L, or what the local policy sets."""

from collections.abc import Iterable

from grammar.request import Prepare
from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import say
from rules.signs import only_where
from rules.tables.groups import groups_of
from rules.tables.load import cite

CORROSIVE = frozenset({"strong-acid", "strong-base", "mineral-acid", "ammonia", "organic-acid"})
STUDENTS = frozenset({"students", "pairs", "groups", "benches"})


@only_where("portions")
def gather(plan: DraftPlan) -> list[tuple[Ingredient, float]] | None:
    portions = plan.request.portions if isinstance(plan.request, Prepare) else None
    if portions is None or portions.who not in STUDENTS:
        return None
    found = [(item, plan.policy.house.student_cap(slug := item.substance.slug, bool(groups_of(slug) & CORROSIVE)))
             for item in plan.ingredients if item.target_mol_L is not None]
    return [(item, cap) for item, cap in found if cap is not None] or None


def check(_plan: DraftPlan, found: list[tuple[Ingredient, float]]) -> Iterable[Hit]:
    for item, cap in found:
        if item.target_mol_L is not None and item.target_mol_L > cap * (1 + 1e-9):
            yield Hit(f"{say(item.target_mol_L, 'mol/L')} {item.substance.name} for students is above the cap of {cap:g} mol/L.")


RULE = Rule(
    id="student-strength-cap",
    group="hazard",
    title="Acids and alkalis for students are under the cap",
    severity="hold",
    applies_to="acids, alkalis and what the local policy caps, made for students",
    citation=(cite("practice", "common practice"),),
    rationale="Many hands, some of them unpractised, pour at once.",
    remedy="Make it weaker, let the teacher show it, or have it allowed for this class.",
    gather=gather,
    check=check,
    examples=(
        Example("2 M sodium hydroxide for 20 students, 50 mL each", "fired",
                "2.00 mol/L sodium hydroxide for students is above the cap of 1 mol/L."),
        Example("0.5 M sodium hydroxide for 20 students, 50 mL each", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
