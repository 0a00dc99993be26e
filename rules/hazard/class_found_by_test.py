"""Names the classes of a solute that only a test can carry over to the solution."""

from collections.abc import Iterable

from rules.handled import names
from rules.plan import DraftPlan
from rules.rule import Example, Hit, Rule
from rules.tables.load import cite

METALS = "Met. Corr."
#: From this strength on the solution is kept from metal although nobody tested it (common practice, no source).
CAREFUL_FROM_PCT = 1.0


def gather(plan: DraftPlan) -> tuple[str, ...] | None:
    return plan.hazards.untested or None if plan.hazards is not None else None


def check(plan: DraftPlan, found: tuple[str, ...]) -> Iterable[Hit]:
    metals = [one for one in found if one.startswith(METALS)]
    rest = [one for one in found if not one.startswith(METALS)]
    made = plan.solution.mass_fraction_pct
    if metals:
        strong = made is None or len(plan.ingredients) > 1 or made >= CAREFUL_FROM_PCT
        yield Hit(
            f"{names(metals)} is found by test, and no test of this solution is held: it is neither given the class nor cleared of it."
            + (f" At {CAREFUL_FROM_PCT:g} % or more it is treated as corrosive to metals." if strong else ""),
            "No metal vessel, cap or spatula; wipe spills off metal at once." if strong else "",
            severity="caution" if strong else None,
            cites=(cite("clp-annex-i", "Annex I, 2.16"),),
        )
    if rest:
        yield Hit(f"{names(rest)} was not carried over to the solution: these classes are found by test, not by percent.")


RULE = Rule(
    id="class-found-by-test",
    group="hazard",
    title="Every class could be worked out by percent",
    severity="note",
    applies_to="solutions with physical hazard classes",
    citation=(cite("clp-annex-i", "Annex I, part 2"),),
    rationale="Fire, explosion and corrosion of metals are tested on the mixture itself; dissolved in water they change.",
    remedy="Handle the reagent by its own label; ask the supplier when the solution is strong.",
    gather=gather,
    check=check,
    examples=(
        Example("1 L of 0.02 M potassium permanganate", "fired",
                "Ox. Sol. 2 (H272) of potassium permanganate was not carried over to the solution: these classes are found "
                "by test, not by percent."),
        Example("1 L of 1 M hydrochloric acid from 37 % density 1.18", "fired",
                "Met. Corr. 1 (H290) of hydrochloric acid is found by test, and no test of this solution is held: it is neither "
                "given the class nor cleared of it. At 1 % or more it is treated as corrosive to metals."),
        Example("1 L of 0.1 M sodium chloride", "not_applicable"),
    ),
)
