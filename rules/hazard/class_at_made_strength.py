"""Says the hazard class at the strength made, and the limits it was compared with."""

from collections.abc import Iterable

from rules.classify import Compared, MadeHazards
from rules.handled import names
from rules.made import all_known, pct, share
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite


def gather(plan: DraftPlan) -> MadeHazards | None:
    return plan.hazards if plan.ingredients and plan.hazards is not None and (plan.hazards.classes or all_known(plan)) else None


def check(plan: DraftPlan, made: MadeHazards) -> Iterable[Hit]:
    strength = names(f"{pct(part)} w/w {item.substance.name}" for item in plan.ingredients if (part := share(plan, item)) is not None) \
        or "this strength"
    met: dict[str, Compared] = {}
    for one in made.compared:
        if one.met and (one.hazard_class not in met or one.limit_pct <= met[one.hazard_class].limit_pct):
            met[one.hazard_class] = one
    said = []
    for reached in made.classes:
        label = f"{reached.hazard_class} {reached.category}" if reached.category else reached.hazard_class
        limit = met.get(label)
        if limit is None:
            said.append(f"{label} ({reached.h_code})")
        else:
            # A class that is found by test only has no limit in law; one is assumed.
            start = "assumed, a test decides, from" if limit.source.source_id == "practice" else "from"
            said.append(f"{label} ({reached.h_code}, {start} {limit.limit_pct:.3g} %)")
    if said:
        yield Hit(f"At {strength} the solution is {', '.join(said)}.",
                  cites=tuple(dict.fromkeys(one.source for one in made.compared if one.met)))
    elif made.compared:
        nearest = max(made.compared, key=lambda one: one.actual_pct / one.limit_pct)
        basis = f" counted as {nearest.basis}" if nearest.basis else ""
        yield Hit(f"At {strength} the solution reaches no class: the nearest limit is {nearest.limit_pct:.3g} %{basis} for "
                  f"{nearest.hazard_class}.",
                  "The reagent it is made from is another matter: see its own label.", cites=(nearest.source,))


RULE = Rule(
    id="class-at-made-strength",
    group="hazard",
    title="The class is that of the strength made",
    severity="note",
    applies_to="solutions whose solutes have a classification",
    citation=(cite("clp-annex-i", "Annex I, parts 3 and 4"),),
    rationale=("A dilute solution labelled as the concentrate trains people to ignore the label; the reverse hurts "
               "them."),
    remedy="Label the bottle with these classes, not with those of the reagent bottle.",
    gather=gather,
    check=check,
    examples=(
        Example("500 mL of 1 M sodium hydroxide", "fired",
                "At 3.84 % w/w sodium hydroxide the solution is Skin Corr. 1B (H314, from 2 %), Eye Dam. 1 (H318, from 2 %)."),
        Example("1 L of 0.1 M acetic acid from glacial acetic acid", "fired",
                "At 0.60 % w/w acetic acid the solution reaches no class: the nearest limit is 10 % for Eye Irrit. 2."),
        Example("make some acid", "not_applicable"),
    ),
)
