"""Which form of the substance (anhydrous or which hydrate) is settled before any mass is given."""

from collections.abc import Iterable, Iterator

from grammar.request import Component
from rules.plan import DraftPlan, Open
from rules.reading import components, question
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.load import cite
from rules.tables.substances import by_name


@only_where("open", "forms")
def gather(plan: DraftPlan) -> Open | tuple[()] | None:
    if plan.opens and (found := plan.open_about("form")):
        return found
    return () if any(len(item.substance.sold_forms) > 1 for item in plan.ingredients) else None


def check(plan: DraftPlan, found: Open | tuple[()]) -> Iterable[Hit]:
    if not isinstance(found, Open):
        return
    masses = [mass for option in found.options for mass in _molar_masses(components(plan), option.request.components)]
    spread = (
        f" For the same amount of substance the heaviest weighs {figures(max(masses) / min(masses))} times the lightest."
        if masses
        else ""
    )
    hit = question(found)
    yield hit._replace(message=hit.message + spread)


def _molar_masses(before: tuple[Component, ...], after: tuple[Component, ...]) -> Iterator[float]:
    """Molar mass, g/mol, of the form that an answer settles."""
    for old, new in zip(before, after, strict=False):
        if old.solute != new.solute and new.solute.water is not None:
            for match in by_name(new.solute.name):
                form = match.substance.with_water(new.solute.water)
                if form is not None and form.molar_mass:
                    yield form.molar_mass


RULE = Rule(
    id="form-not-stated",
    group="identity",
    title="The form of the substance is settled",
    severity="ask",
    applies_to="substances sold in more than one form",
    citation=(cite("practice", "common practice: a name that fits several hydrates is asked back"),),
    rationale="Forms of one salt differ in mass by up to half or more; the wrong one gives the wrong strength with no sign of it.",
    remedy="Read the formula on the bottle and name that form.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "500 mL of 0.1 M copper sulfate",
            "fired",
            "Which copper(II) sulfate is it? It is sold in 2 forms, and their masses differ. (anhydrous "
            "copper(II) sulfate; copper(II) sulfate pentahydrate) For the same amount of substance the "
            "heaviest weighs 1.56 times the lightest.",
        ),
        Example("500 mL of 0.1 M copper sulfate pentahydrate", "passed"),
        Example("500 mL of 0.1 M sodium chloride", "not_applicable"),
    ),
)
