"""What is in the bottle: strength with its doubt, difference, whether the request holds, hazards and keeping at that strength."""

from datetime import date, timedelta
from typing import Any

from rules.classify import MadeHazards, Part, classify
from rules.handled import names, told
from rules.house import at_most
from rules.plan import Amount, Budget, BudgetLine, DraftPlan, Ingredient
from rules.tables.behaviour import behaviours
from rules.tables.density import water_density
from rules.tables.handling import Storage, storage
from rules.tables.hazards import hazard_entry, metal_fraction
from service.hazard_reply import hazards_document
from service.planner.figures import amount, round_figures
from service.planner.matching import form_name
from service.planner.solution import dry_grams
from service.planner.uncertainty import COVERAGE
from service.planner.vessels import vessel_words
from service.records.strength import Doubt, Filling, Strength, nominal_strength, room, shown
from service.records.used import Used
from service.ware_reply import amount_document

Document = dict[str, Any]

#: From this far off nominal on, what the rules checked is no longer what was made (common practice, no source).
FAR_OFF = 0.10
CURES = {
    "assay": "Enter the assay from the certificate of the lot, or standardise the solution.",
    "certificate": "Take a lot whose certificate states its assay more closely, or standardise the solution.",
    "weighing": "Weigh on a finer balance, or make a larger amount.",
    "delivery": "Measure with a one-mark pipette or a burette, or make a larger amount.",
    "stock": "Standardise the stock, or take one whose strength is better known.",
    "vessel": "Make it up in a class A flask, or in a larger one.",
    "meniscus": "Make it up in a larger flask with a narrow neck.",
    "temperature": "Bring the solution to 20 degC before the mark and record its temperature.",
    "molar mass": "Nothing at the bench lessens this.",
    "repeatability": "Titrate again: more runs that agree lessen it.",
    "burette": "Take larger titres, or weigh the titrant.",
    "standard": "Take a primary standard with a certified assay.",
}


def describe(
    plan: DraftPlan, fillings: list[Filling], used: list[Used], found: list[Strength], stored: Document
) -> Document:
    """The ``made`` part of a record; ``stored`` is the product as the plan's reply has it."""
    main = plan.main
    assert main is not None
    made: Document = {
        "name": name_of(plan),
        "substance": main.substance.name,
        "formula": main.form.formula,
    }
    if plan.product_name:
        made["substance"] = stored.get("substance", main.substance.name)
    if plan.solvent_by_mass and plan.total_g:
        made["mass"] = amount_document(amount(sum(u.amount for u in used if u.unit == "g"), "g"))
    elif fillings:
        made["volume"] = amount_document(amount(sum(f.volume_mL for f in fillings), "mL"))
        made["made_in"] = " + ".join(vessel_words(f.glass) for f in fillings)
    if found and found[0].item is main:
        made |= strength_part(found[0].made, found[0].nominal, found[0].ratio, found[0].budget, figures(main))
        made["basis"] = "measured"
        made["largest_cause"] = cause(found[0].doubts)
        keeps = keeps_request(plan, found[0].item, found[0].ratio, found[0].made.display)
        if keeps:
            made["keeps_request"] = keeps
    trait = behaviours(main.substance.slug, main.form.label).get("not-primary-standard")
    from_true = any(u.source for u in used) and all(u.source.true for u in used if u.source is not None)
    if trait is not None and len(plan.ingredients) == 1 and not from_true:
        made["nominal_until_standardised"] = told(trait)
    if len(plan.ingredients) > 1:
        made["components"] = [_component(item, found) for item in plan.ingredients]
    return made


def name_of(plan: DraftPlan) -> str:
    """The full name of what is made: its own, or that of each solute in the form it is taken in."""
    return plan.product_name or names(form_name(i.substance, i.form) for i in plan.ingredients)


def figures(item: Ingredient) -> int:
    """Significant figures a strength is shown with: four, or as many as were typed."""
    typed = item.component.strength
    return max(4, typed.figures if typed else 0)


def strength_part(made: Amount, nominal: Amount, ratio: float, budget: Budget, count: int = 4) -> Document:
    """Strength, nominal, difference and uncertainty; U is in the unit of the strength and reads in the unit shown."""
    percent = 100 * (ratio - 1)
    number, _, unit = made.display.partition(" ")
    expanded = COVERAGE * budget.u_rel
    return {
        "nominal": amount_document(nominal),
        "concentration": amount_document(made),
        "difference": {
            "percent": percent,
            "display": f"{percent:+.2f} %" if abs(percent) < 10 else f"{percent:+.{count - 3}f} %",
        },
        "uncertainty": {
            "u_rel": budget.u_rel,
            "U": {
                "value": made.value * expanded,
                "unit": made.unit,
                "display": f"{round_figures(float(number) * expanded, 2)} {unit}",
            },
            "k": COVERAGE,
            "budget": [{"source": b.source, "u_rel": b.u_rel, "share": b.share} for b in budget.lines],
        },
    }


def cause(doubts: tuple[Doubt, ...]) -> Document:
    """The largest cause of doubt, its share of the variance, and what would lessen it."""
    variance = sum(d.u_rel**2 for d in doubts)
    largest = max(doubts, key=lambda d: d.u_rel)
    return {"source": largest.words, "share": largest.u_rel**2 / variance, "cure": CURES[largest.kind]}


def keeps_request(plan: DraftPlan, item: Ingredient, ratio: float, display: str) -> Document | None:
    """Whether the figures that were asked for still hold at that ratio of made to nominal."""
    limit = room(plan, item)
    if limit is None:
        return None
    rel, why = limit
    holds = abs(ratio - 1) <= rel * (1 + 1e-9)
    typed = item.component.strength
    assert typed is not None
    percent = f"{abs(100 * (ratio - 1)):.2g} % {'above' if ratio > 1 else 'below'} what was asked for"
    allowed = f"+/-{round_figures(100 * rel, 2)} %"
    text = (
        f"{display} is {percent}, within the {allowed} that {typed.value} {typed.unit} allows ({why})." if holds
        else f"{display} is {percent}; {typed.value} {typed.unit} allows {allowed}. Label it as made, or make it again."
    )  # fmt: skip
    return {"holds": holds, "room_pct": 100 * rel, "text": text}


def _component(item: Ingredient, found: list[Strength]) -> Document:
    part: Document = {"name": form_name(item.substance, item.form), "formula": item.form.formula}
    one = next((s for s in found if s.item is item), None)
    return part if one is None else part | strength_part(one.made, one.nominal, one.ratio, one.budget, figures(item))


def standardised(plan: DraftPlan, made: Document, standing: Document) -> float:
    """Put the strength found by titration in place of the one worked out; the ratio of found to nominal.

    ``standing`` is an accepted standardisation of it, whose ``mean`` is mol/L.
    """
    item = plan.main
    assert item is not None
    nominal, asked = mol_per_litre(plan, item), nominal_strength(plan, item)
    assert nominal and asked is not None
    ratio: float = standing["mean"]["value"] / nominal
    budget = Budget(standing["uncertainty"]["u_rel"], COVERAGE,
                    tuple(BudgetLine(**line) for line in standing["uncertainty"]["budget"]))  # fmt: skip
    made.pop("nominal_until_standardised", None)
    strength = shown(item, plan, asked.value * ratio, asked.unit, ratio)
    made |= strength_part(strength, asked, ratio, budget, figures(item))
    made["basis"] = "standardised"
    made["largest_cause"] = standing["largest_cause"]
    keeps = keeps_request(plan, item, ratio, strength.display)
    if keeps:
        made["keeps_request"] = keeps
    return ratio


def hazards_at(plan: DraftPlan, ratios: dict[int, float]) -> MadeHazards | None:
    """The class at the strength made: ``ratios`` of made to nominal by place of the ingredient, 1 where not known."""
    total = plan.total_g or (plan.total_mL or 0.0) * (plan.solution.density or water_density(plan.temperature_degC))
    parts = []
    for place, item in enumerate(plan.ingredients):
        grams = dry_grams(item)
        if grams is None or not total:
            return None
        entry = hazard_entry(item.substance.slug, item.form.label)
        share = min(100.0, 100 * grams / total * ratios.get(place, 1.0))
        parts.append(
            Part(entry, item.substance.slug, share, metal_fraction(entry, item.substance.slug) if entry else 1.0)
        )
    return classify(parts, plan.policy)


def keeping(plan: DraftPlan, made: Document, ratio: float) -> Storage | None:
    """How it is kept at the strength made; adds ``hazards``, ``storage`` and ``waste`` to ``made``."""
    main = plan.main
    assert main is not None
    hazards = hazards_at(plan, dict.fromkeys(range(len(plan.ingredients)), ratio))
    if hazards is not None:
        spoken = {i.substance.slug: i.substance.name for i in plan.ingredients}
        made["hazards"] = hazards_document(hazards, plan.policy, spoken)
    kept = plan.storage
    if main.target_mol_L is not None and not plan.recipe:
        kept = at_most(storage(main.substance.slug, main.target_mol_L * ratio), plan.policy.house) or plan.storage
    if kept is not None:
        made["storage"] = {"container": kept.container, "closure": kept.closure, "condition": kept.condition}
    if plan.waste:
        made["waste"] = [{"stream": w.stream, "advice": w.advice} for w in plan.waste]
    return kept


def use_by(made_on: date, kept: Storage | None, sources: list[tuple[str, str | None]]) -> Document:
    """The last day: that of the solution itself, and never later than that of anything it was made from."""
    ends: list[tuple[str, str]] = []
    if kept is not None and kept.shelf_life_days is not None:
        day = (made_on + timedelta(days=kept.shelf_life_days)).isoformat()
        ends.append((day, f"keeps {kept.shelf_life_days} days ({kept.basis.replace('-', ' ')})"))
    ends += [(day, f"no later than {name}, which it was made from") for name, day in sources if day]
    if not ends:
        return {"basis": "not known: no shelf life is held for it"}
    day, why = min(ends)
    return {"date": day, "basis": why}


def mol_per_litre(plan: DraftPlan, item: Ingredient) -> float | None:
    """The nominal strength in mol/L, worked out from the moles where it was asked in another unit."""
    if item.target_mol_L is not None:
        return item.target_mol_L
    if item.moles is not None and plan.total_mL:
        return 1000 * item.moles / plan.total_mL
    return None
