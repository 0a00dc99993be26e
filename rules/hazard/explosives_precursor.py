"""Explosives precursors above the listed strength are made only with permission."""

from collections.abc import Iterable

from rules.made import pct, share
from rules.plan import DraftPlan, Ingredient
from rules.policies import PrecursorLimit
from rules.rule import Example, Hit, Rule, Unchecked
from rules.saying import figures, sentence
from rules.tables.load import cite

KEEP = "Lock it away, write down what is used, and report losses and suspicious requests."
Found = list[tuple[Ingredient, PrecursorLimit, float | None]]


def gather(plan: DraftPlan) -> Found | Unchecked | None:
    found: Found = []
    for item in plan.ingredients:
        listed = plan.policy.precursor_limits(item.substance.slug)
        if not listed:
            continue
        part = share(plan, item)
        if part is None and listed[0].limit_pct is not None and not plan.opens:
            return Unchecked(f"The share by mass of {item.substance.name} is not worked out, so it is not compared with the "
                             f"precursor limit of {listed[0].limit_pct:g} %.")
        found.append((item, listed[0], part))
    return found or None


def check(_plan: DraftPlan, found: Found) -> Iterable[Hit]:
    for item, limit, part in found:
        name = item.substance.name
        if limit.limit_pct is None:
            yield Hit(f"{sentence(name)} is a listed explosives precursor ({limit.law.upper()}, {limit.listed}): {limit.requirement}.",
                      KEEP, severity="hold" if limit.listed == "restricted" else "note", cites=(limit.cite,))
        elif part is not None and part > limit.limit_pct:
            yield Hit(f"{figures(part, 2 if part < 10 else 3)} % w/w {name} is above the explosives precursor limit of "
                      f"{limit.limit_pct:g} % ({limit.law.upper()}).", cites=(limit.cite,))
        elif item.kind in ("solid", "liquid", "concentrated") and (strength := item.stock_mass_pct or 100.0) > limit.limit_pct:
            made = f"The made solution ({pct(part)} w/w) is under the limit, but the" if part is not None else "The"
            yield Hit(f"{made} {name} it is made from ({strength:g} % w/w) is above the explosives precursor limit of "
                      f"{limit.limit_pct:g} % ({limit.law.upper()}).", KEEP, severity="caution", cites=(limit.cite,))


RULE = Rule(
    id="explosives-precursor",
    group="hazard",
    title="No explosives precursor above its limit",
    severity="hold",
    applies_to="substances on the explosives precursor lists",
    citation=(cite("eu-2019-1148", "Annexes I and II"),),
    rationale=("Above the limit the law asks who has it, what for and where it is kept; the made bottle counts "
               "like the bought one."),
    remedy=("The safety officer allows it: trained users only, locked up, use recorded, losses reported. Or "
            "make it weaker than the limit."),
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 1 M nitric acid from 70 % density 1.42", "fired",
                "6.1 % w/w nitric acid is above the explosives precursor limit of 3 % (EU)."),
        Example("1 L of 0.1 M nitric acid from 70 % density 1.42", "fired",
                "The made solution (0.63 % w/w) is under the limit, but the nitric acid it is made from (70 % w/w) is "
                "above the explosives precursor limit of 3 % (EU)."),
        Example("1 L of 0.1 M potassium nitrate", "fired",
                "Potassium nitrate is a listed explosives precursor (EU, reportable): report suspicious requests, "
                "significant losses and thefts."),
        Example("500 mL of 0.1 M hydrochloric acid from 1 M stock", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
