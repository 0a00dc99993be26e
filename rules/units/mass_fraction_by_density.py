"""Where % w/w is asked for in a volume, shows the mass by density beside the mass a % w/v reading would give."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures, say
from rules.signs import only_where
from rules.tables.load import cite


@only_where("unit % w/w")
def gather(plan: DraftPlan) -> list[Ingredient] | None:
    if plan.total_mL is None:
        return None
    return [
        i
        for i in plan.ingredients
        if i.component.strength is not None and i.component.strength.unit == "% w/w" and i.kind != "stock"
    ] or None


def check(plan: DraftPlan, found: list[Ingredient]) -> Iterable[Hit]:
    for item in found:
        density, percent, volume = plan.solution.density, item.target_mass_fraction_pct, plan.total_mL
        if density is None or percent is None or volume is None or item.solute_mass_g is None:
            continue
        wrong = percent / 100 * volume
        if abs(item.solute_mass_g / wrong - 1) > 0.01:
            yield Hit(
                f"{say(volume, 'mL')} of {percent:g} % w/w weighs {say(volume * density, 'g')} ({figures(density, 4)} g/mL), so it holds "
                f"{say(item.solute_mass_g, 'g')}; read as % w/v it would get only {say(wrong, 'g')}.",
                cites=(plan.solution.density_cite,) if plan.solution.density_cite else (),
            )


RULE = Rule(
    id="mass-fraction-by-density",
    group="units",
    title="Mass and volume fractions agree within 1 %",
    severity="caution",
    applies_to="% w/w asked for in a volume",
    citation=(cite("laliberte-2009", "density coefficients"),),
    rationale="Forgetting the density of a strong solution is the commonest published slip with percentages.",
    remedy="Weigh by the mass given here, or make it by mass on a balance.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "600 mL of 20 % w/w NaOH",
            "fired",
            "600 mL of 20 % w/w weighs 731 g (1.219 g/mL), so it holds 146 g; read as % w/v it would get only 120 g.",
        ),
        Example("600 mL of 20 % w/v NaOH", "not_applicable"),
    ),
)
