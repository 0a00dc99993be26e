"""Solutions that do not keep are made on the day and not stored."""

from collections.abc import Iterable

from rules.handled import Trait, bottle_asked, told, with_trait
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.signs import only_where
from rules.tables.load import cite


@only_where("fresh-only")
def gather(plan: DraftPlan) -> list[Trait] | None:
    return with_trait(plan, "fresh-only")


def check(plan: DraftPlan, found: list[Trait]) -> Iterable[Hit]:
    much = f"; {say(plan.total_mL, 'mL')} is asked for" if plan.total_mL is not None else ""
    for item, trait in found:
        if bottle_asked(plan) is not None:
            yield Hit(f"A bottle was asked for, but {item.substance.name} solution is not stored ({told(trait)}).",
                      "Make only what is used today; what is left goes to waste.", cites=(trait.cite,))
        else:
            yield Hit(f"{sentence(item.substance.name)} solution keeps for the day only ({told(trait)}){much}.", cites=(trait.cite,))


RULE = Rule(
    id="make-fresh",
    group="stability",
    title="The solution keeps longer than the day",
    severity="caution",
    applies_to="solutions that spoil within a day",
    citation=(cite("practice", "common practice"),),
    rationale="Yesterday's solution looks the same and no longer holds what the label says.",
    remedy="Make only what is used today, date and time on the label, and throw the rest away tonight.",
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M ascorbic acid", "fired",
                "L-ascorbic acid solution keeps for the day only (air oxidation; same day); 100 mL is asked for."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
