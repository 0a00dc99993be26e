"""Refuses a strength above that of the strongest solution of the reagent that is sold."""

from collections.abc import Iterable

from rules.plan import DraftPlan, Ingredient
from rules.rule import Example, Hit, Rule
from rules.saying import figures
from rules.signs import only_where
from rules.tables.concentrated import Reagent, reagents
from rules.tables.load import cite

Held = list[tuple[Ingredient, tuple[Reagent, ...]]]


@only_where("poured")
def gather(plan: DraftPlan) -> Held | None:
    return [
        (item, held)
        for item in plan.ingredients
        if item.form.state in ("solution", "gas") and item.kind != "solid" and (held := reagents(item.substance.slug))
    ] or None


def check(_plan: DraftPlan, found: Held) -> Iterable[Hit]:
    for item, held in found:
        mass, asked = item.substance.molar_mass, item.target_mol_L
        if asked is not None and mass:
            strongest = max(held, key=lambda r: (r.high or r.mass_percent) * r.density_g_per_mL)
            most = 10 * (strongest.high or strongest.mass_percent) * strongest.density_g_per_mL / mass
            if asked > most:
                yield _hit(item, strongest, f"{figures(asked)} mol/L", f"about {figures(most)} mol/L")
        elif item.target_mass_fraction_pct is not None:
            strongest = max(held, key=lambda r: r.high or r.mass_percent)
            if item.target_mass_fraction_pct > (strongest.high or strongest.mass_percent):
                yield _hit(
                    item,
                    strongest,
                    f"{item.target_mass_fraction_pct:g} %",
                    f"{strongest.high or strongest.mass_percent:g} %",
                )


def _hit(item: Ingredient, strongest: Reagent, asked: str, most: str) -> Hit:
    return Hit(
        f"{asked} is stronger than the strongest {item.substance.name} sold ({strongest.grade}), which holds {most}.",
        cites=(strongest.cite,),
    )


RULE = Rule(
    id="beyond-concentrated-reagent",
    group="solubility",
    title="The strength is below that of the concentrated reagent",
    severity="stop",
    applies_to="acids, ammonia and others supplied as solutions",
    citation=(cite("acid-strength-chart", "composition of concentrated reagents"),),
    rationale="A solution cannot be made stronger than what it is poured from.",
    remedy="Ask for a strength below that of the bottle.",
    gather=gather,
    check=check,
    examples=(
        Example(
            "25 M HCl 100 mL",
            "fired",
            "25.0 mol/L is stronger than the strongest hydrochloric acid sold (concentrated, 37 %), which "
            "holds about 12.4 mol/L.",
        ),
        Example("1 M HCl 100 mL", "passed"),
        Example("1 M NaCl 100 mL", "not_applicable"),
    ),
)
