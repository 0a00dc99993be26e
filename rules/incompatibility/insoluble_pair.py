"""No two solutes of one solution throw each other down as a solid."""

from collections.abc import Iterable
from typing import cast

from rules.dissolving import keeps_in_solution
from rules.handled import called
from rules.ion_product import CLEAR_FACTOR, ion_product
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule, Severity
from rules.saying import power, sentence
from rules.signs import only_where
from rules.tables.groups import Precipitate, insoluble
from rules.tables.load import cite
from rules.tables.pka import system_of


@only_where("several")
def gather(plan: DraftPlan) -> list[Precipitate] | None:
    typed = [(i.substance.slug, i.substance) for i in plan.ingredients] + plan.combined
    if len(typed) < 2:
        return None
    return [solid for at, (words, one) in enumerate(typed) for other_words, other in typed[at + 1:] if words != other_words
            for solid in insoluble((one.slug, other.slug))[:1] if not _one_buffer(plan, one.slug, other.slug)]


def _one_buffer(plan: DraftPlan, a: str, b: str) -> bool:
    """Two forms of one buffer whose pH is set stand in equilibrium: neither throws the other down (borax and boric acid)."""
    one, other = system_of(a), system_of(b)
    return plan.ph_setting is not None and one is not None and other is not None and one[0] is other[0]


def check(plan: DraftPlan, found: list[Precipitate]) -> Iterable[Hit]:
    for one in found:
        if keeps_in_solution(plan, one.a, one.b):
            yield Hit(f"{sentence(called(one.a))} and {called(one.b)} throw down {one.product} by themselves; the published recipe keeps "
                      "them in solution with its other parts.", "Add the parts in the order of the recipe; start again if it clouds.",
                      severity="caution", cites=(one.cite,))
            continue
        known = ion_product(plan, one)
        if known is not None and known.times < 1 / CLEAR_FACTOR:
            continue
        beyond = known is not None and known.times > CLEAR_FACTOR and one.severity == "hold"
        numbers = (f": the ions' product is {power(known.times * known.ksp)}, and {known.solid} falls out from "
                   f"{power(known.ksp)} on") if known is not None else ""
        yield Hit(f"{sentence(called(one.a))} and {called(one.b)} throw down {one.product}, so the clear solution holds less of both "
                  f"than was put in{numbers}.", severity="stop" if beyond else cast(Severity, one.severity),
                  cites=(one.cite, *((known.cite,) if known is not None else ())))


RULE = Rule(
    id="insoluble-pair",
    group="incompatibility",
    title="The solutes stay in solution together",
    severity="hold",
    applies_to="two or more solutes in one solution",
    citation=(cite("openstax-chem2e", "Section 4.2, solubility table"),),
    rationale="A precipitate takes both solutes out of the solution, and the strength on the label is false.",
    remedy="Make two bottles, change one of the salts, or ask what the mixture is for.",
    gather=gather,
    check=check,
    examples=(
        Example("mix silver nitrate with sodium chloride", "fired",
                "Silver nitrate and sodium chloride throw down silver chloride, so the clear solution holds less of "
                "both than was put in."),
        Example("100 mL of 0.1 M silver nitrate and 0.1 M sodium chloride", "fired",
                "Silver nitrate and sodium chloride throw down silver chloride, so the clear solution holds less of both than was "
                "put in: the ions' product is 1.0 x 10^-2, and AgCl falls out from 1.8 x 10^-10 on."),
        Example("1 L of 0.002 M calcium chloride dihydrate and 0.001 M magnesium sulfate heptahydrate", "passed"),
        Example("mix sodium chloride with potassium chloride", "passed"),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
