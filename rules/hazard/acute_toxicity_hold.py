"""Very toxic solutions, solids and reagents are handled only with permission."""

from collections.abc import Iterable

from rules.made import handled, made
from rules.plan import DraftPlan
from rules.reading import named
from rules.rule import Example, Hit, Rule
from rules.saying import say, sentence
from rules.signs import only_where
from rules.tables.load import cite

FATAL = frozenset({"Acute Tox. 1", "Acute Tox. 2"})


@only_where("made Acute Tox.", "handled Acute Tox.")
def gather(plan: DraftPlan) -> list[Hit] | None:
    found = [Hit(f"The made solution is {one.hazard_class} {one.category} ({one.h_code}): {one.because}.",
                 severity="hold" if one.category in ("1", "2") else "caution")
             for one in made(plan, "Acute Tox.") or () if one.category != "4"]
    for item in plan.ingredients:
        worst = [f"{label} ({code})" for label, code in handled(item, plan.policy) if label in FATAL]
        if worst:
            much = f"{say(item.mass_g, 'g')} of " if item.mass_g is not None else f"{say(item.volume_mL, 'mL')} of " \
                if item.volume_mL is not None else ""
            found.append(Hit(sentence(f"{much}{named(item)} as handled is {', '.join(worst)}; from category 2 up it needs permission.")))
    return found or None


def check(_plan: DraftPlan, found: list[Hit]) -> Iterable[Hit]:
    return found


RULE = Rule(
    id="acute-toxicity-hold",
    group="hazard",
    title="Nothing here is acutely toxic in category 1 to 3",
    severity="hold",
    applies_to="substances that are fatal or toxic in small amounts",
    citation=(cite("clp-annex-i", "Annex I, 3.1, Table 3.1.1"),),
    rationale="A mouthful, a splash or a breath of dust is enough.",
    remedy=("The safety officer allows it first: a second person present, antidote or first aid at hand, and a "
            "named place."),
    gather=gather,
    check=check,
    examples=(
        Example("100 mL of 0.1 M sodium azide", "fired",
                "0.650 g of sodium azide as handled is Acute Tox. 2 (H300); from category 2 up it needs permission."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
