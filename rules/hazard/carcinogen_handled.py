"""Says when the solid or the stock is a category 1 carcinogen although the solution is not."""

from collections.abc import Iterable

from rules.made import CATEGORY_ONE, handled, pct, reached, share
from rules.plan import DraftPlan, Ingredient
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.signs import only_where
from rules.tables.load import cite

Found = list[tuple[Ingredient, list[str]]]


@only_where("handled Carc.", "handled Muta.", "handled Repr.")
def gather(plan: DraftPlan) -> Found | None:
    found = []
    for item in plan.ingredients:
        labels = [label for label, _ in handled(item, plan.policy) if label in CATEGORY_ONE]
        if labels:
            found.append((item, list(dict.fromkeys(labels))))
    return found or None


def check(plan: DraftPlan, found: Found) -> Iterable[Hit]:
    for item, labels in found:
        if reached(plan, item, CATEGORY_ONE):
            continue
        part = share(plan, item)
        if plan.hazards is None or part is None:
            yield Hit(f"{named(item)} is {', '.join(labels)}, and its share by mass in the solution is not worked out, so it is "
                      "taken as above the limit.", severity="hold")
        else:
            yield Hit(f"The solution is under the limit at {pct(part)} w/w, but {named(item)} as handled is {', '.join(labels)}.")


RULE = Rule(
    id="carcinogen-handled",
    group="hazard",
    title="What is handled is no category 1 carcinogen",
    severity="caution",
    applies_to="carcinogens, mutagens and reproductive toxicants as solid or stock",
    citation=(cite("clp-annex-vi", "Table 3, entry of the substance"),),
    rationale="The exposure is in the weighing, not in the dilute bottle.",
    remedy=("Weigh it in an enclosure with gloves, wipe down wet, and bag the waste; use a bought solution "
            "where there is one."),
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.00001 M cobalt chloride hexahydrate", "fired",
                "The solution is under the limit at 0.00013 % w/w, but cobalt(II) chloride hexahydrate as handled is "
                "Carc. 1B, Repr. 1B."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
