"""The parts of a reply that only recipes, buffers and series have."""

from typing import Any

from rules.blends import PhSetting, Recipe, SeriesMade
from rules.plan import Amount, DraftPlan
from rules.tables.load import Cite, source
from service.planner.figures import amount
from service.planner.vessels import vessel_words

Document = dict[str, Any]


def add_blends(plan: DraftPlan, found: Document) -> None:
    """Add what applies to the plan document: the product's own name, ``recipe``, ``ph``, ``series``."""
    product = found["product"]
    if plan.product_name:
        product["name"] = plan.product_name
    if plan.computed_strengths:
        # The strength of the first part is not that of the whole; a saturated solution has no weighed strength.
        product.pop("concentration", None)
        if plan.ph_setting is not None and plan.recipe is None:
            product["concentration"] = _amount(amount(plan.ph_setting.total_mol_L, "mol/L"))
    if plan.recipe is not None:
        found["recipe"] = _recipe(plan.recipe)
    if plan.ph_setting is not None:
        found["ph"] = _ph(plan.ph_setting)
    if plan.series is not None:
        found["series"] = _series(plan.series)


def _cites(cites: tuple[Cite, ...]) -> list[Document]:
    return [{"source_id": c.source_id, "locator": c.locator, "reference": source(c.source_id).reference} for c in cites]


def _recipe(recipe: Recipe) -> Document:
    found: Document = {
        "name": recipe.name,
        "per": recipe.per,
        "scale": recipe.scale,
        "notes": list(recipe.notes),
        "citations": _cites(recipe.cites),
    }
    if recipe.other_forms:
        found["other_forms"] = list(recipe.other_forms)
    return found


def _amount(value: Amount) -> Document:
    return {"value": value.value, "unit": value.unit, "display": value.display}


def _ph(setting: PhSetting) -> Document:
    found: Document = {
        "ph": setting.ph,
        "temperature": {
            "value": setting.temperature_degC,
            "unit": "degC",
            "display": f"{setting.temperature_degC:g} degC",
        },
        "pka": setting.pka,
        "working_pka": setting.working_pka,
        "ionic_strength": _amount(amount(setting.ionic_strength, "mol/L", 3)),
        "ph_before": setting.ph_before,
        "ph_diluted_tenfold": setting.ph_diluted,
        "ph_per_degC": setting.ph_per_K,
        "citations": _cites(setting.cites),
    }
    if setting.titrant:
        found["titrant"] = setting.titrant
        found["titrant_per_litre"] = {
            "value": setting.titrant_mol_L,
            "unit": "mol/L",
            "display": f"about {setting.titrant_mol_L:.2g} mol for each litre",
        }
    if setting.other_way:
        found["other_way"] = setting.other_way
    return found


def _series(made: SeriesMade) -> Document:
    found: Document = {
        "stock": made.stock,
        "stock_needed": _amount(amount(made.stock_needed_mL, "mL", 3)),
        "blank": made.blank,
        "levels": [
            {
                "level": level.label,
                "strength": level.strength,
                "take": _amount(amount(level.take_mL, "mL")),
                "using": level.using,
                "taken_from": level.taken_from,
                "flask": vessel_words(level.flask),
            }
            for level in made.levels
        ],
    }
    return found
