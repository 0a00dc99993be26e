"""The parts of a named mixture at the strength asked for, and what its recipe obliges to.

A part whose form the recipe does not state, and which is sold in several, is asked for; another form in the bottle than
the recipe's is recomputed mole for mole. Amounts of the table are used as they stand, unrounded.
"""

import re
from dataclasses import replace
from decimal import Decimal

from grammar.request import Component, Named, Prepare, Quantity, Source
from rules.blends import MARKS, Recipe
from rules.plan import DraftPlan, Open, Option
from rules.tables.concentrated import usual
from rules.tables.load import source
from rules.tables.mixtures import Mixture, MixtureComponent
from rules.tables.substances import Form, Substance, substance
from service.planner.matching import form_name

WATER = "water"
_TO_PH = re.compile(r"\bto pH (\d+(?:\.\d+)?)")
_AS_STOCK = re.compile(r"(?:of|as) ([\d.]+) mol/L")
_PER = re.compile(r"(\d+) (mL|L)$")
_STRENGTH = re.compile(r"(\d+ %)")


def contents(mixture: Mixture) -> str:
    """The parts of a mixture in words, per ``mixture.per``: "sodium chloride 8 g, ... in 1 L"."""
    if any(part.note.startswith(("REFUSE", "COMMERCIAL")) for part in mixture.components):
        return "no amounts held"
    parts = [
        f"{WATER if p.slug == WATER else substance(p.slug).name} {p.amount:g} {p.unit}"
        for p in mixture.components
        if p.amount is not None
    ]
    return (", ".join(parts) or "no amounts held") + ("" if mixture.per == "as mixed" else f" in {mixture.per}")


def names_ph(mixture: Mixture, ph: Decimal) -> bool:
    """Whether the mixture is known by that pH ("pH standard, pH 4.01")."""
    told = (
        re.search(r"pH (\d+(?:\.\d+)?)", text)
        for text in (mixture.name, *(f"pH {n.split()[1]}" for n in mixture.names if n.startswith("ph ")))
    )
    return any(t is not None and Decimal(t[1]) == ph for t in told)


def recipe_of(mixture: Mixture, scale: float) -> Recipe:
    """What the plan says of the recipe: notes without their marks, marks, sources."""
    notes: list[str] = []
    marks: list[tuple[str, str]] = []
    for part in mixture.components:
        found: list[str] = []
        for clause in filter(None, (c.strip() for c in part.note.split(";"))):
            text, clause_marks = _marked(clause)
            found += clause_marks
            marks += [(mark, text) for mark in clause_marks]
            where = "" if part.slug == WATER or part is mixture.components[0] else f"{substance(part.slug).name}: "
            notes.append(where + text)
    cites = tuple(dict.fromkeys(part.cite for part in mixture.components))
    without = tuple(substance(p.slug).name for p in mixture.components if p.amount is None and not _needs_no_amount(p))
    saturated = any("saturated" in p.note or "saturated" in mixture.name for p in mixture.components)
    return Recipe(mixture.key, mixture.name, mixture.per, scale, tuple(notes), tuple(marks), cites, saturated,
                  mixture.per == "as mixed", without, (), tuple(p.slug for p in mixture.components if p.slug != WATER))  # fmt: skip


def _marked(clause: str) -> tuple[str, list[str]]:
    marks = []
    while (head := clause.split(":", 1)[0]) in MARKS and ":" in clause:
        marks.append(head)
        clause = clause.split(":", 1)[1].strip()
    return clause, marks


def _needs_no_amount(part: MixtureComponent) -> bool:
    """Water, a solvent to volume, and what sets the pH have no amount of their own."""
    return part.slug == WATER or "to volume" in part.note or _TO_PH.search(part.note) is not None


def parts_of(plan: DraftPlan, request: Prepare, index: int, mixture: Mixture, scale: float) -> Prepare | Open | None:
    """Component ``index`` replaced by the parts of the mixture, ``scale`` times as strong as published.

    An ``Open`` where a form must be asked for; None where the recipe gives no amounts or must not be made.
    """
    recipe = recipe_of(mixture, scale)
    plan.recipe = recipe
    if recipe.mark("REFUSE") or recipe.mark("COMMERCIAL") or recipe.as_mixed or recipe.without_amounts:
        return None
    if recipe.saturated and scale != 1:
        return Open(
            "strength", f"{mixture.name} is saturated: it has one strength only.", remedy="Leave the multiple out."
        )
    found = _PER.match(mixture.per)
    assert found is not None
    litres = float(found[1]) / (1000 if found[2] == "mL" else 1)
    parts, solvent, other = [], request.solvent, []
    for part in mixture.components:
        if part.amount is None:
            if "to volume" in part.note and part.slug != WATER:
                strong = _STRENGTH.search(part.note)
                solvent = f"{strong[1]} {substance(part.slug).name}" if strong else substance(part.slug).name
            continue
        if part.slug == WATER:
            continue
        form = _form(request, substance(part.slug), part.form)
        if isinstance(form, Open):
            return form
        parts.append(_component(plan, request, part, form, part.amount * scale / litres))
        other += _other_forms(substance(part.slug), part, form, part.amount * scale / litres)
    plan.recipe = replace(recipe, other_forms=tuple(other))
    origin = recipe.cites[0]
    by_heart = origin.source_id in ("memory", "practice")
    place = source(origin.source_id).reference + ("" if by_heart or not origin.locator else f" ({origin.locator})")
    plan.assumptions.append(
        f"'{_asked(request, index)}' is taken as {mixture.name}: {contents(mixture)}; source: {place}."
    )
    plan.computed_strengths = True
    plan.product_name = mixture.name if scale == 1 else f"{mixture.name}, made {scale:g} times as strong"
    ph = next((m[1] for n in recipe.notes if (m := _TO_PH.search(n))), None)
    typed = request.ph
    if typed is not None and ph is None and names_ph(mixture, typed):
        typed = None  # The recipe has this pH as it stands: nothing is adjusted.
    if scale > 1 and ph is not None:
        plan.assumptions.append(
            f"pH {ph} is that of the working strength: it is read on a diluted sample, not set in the concentrate."
        )
        ph = None
    made = replace(
        request,
        components=(*request.components[:index], *parts, *request.components[index + 1 :]),
        solvent=solvent,
        ph=typed if typed is not None or ph is None else Decimal(ph),
    )
    return made


def _asked(request: Prepare, index: int) -> str:
    named = request.components[index].solute
    return named.as_typed or named.name


def _form(request: Prepare, kind: Substance, label: str) -> Form | Open:
    """The form the recipe counts: as stated, the only one, the usual one, or asked for."""
    stated = kind.form(label) if label else None
    if stated is not None:
        return stated
    sold = kind.sold_forms or kind.forms
    if len(sold) == 1:
        return sold[0]
    chosen = next((f for f in sold if f"form:{f.key}" in request.confirmed), None)
    usual_form = next((f for f in sold if f.unstated), None)
    if chosen or usual_form:
        return chosen or usual_form or sold[0]
    options = tuple(
        Option(
            f.key.replace("/", "-"),
            form_name(kind, f),
            replace(request, confirmed=(*request.confirmed, f"form:{f.key}")),
        )
        for f in sold
    )
    return Open(
        "form", f"Which {kind.name} is it? The recipe counts moles, and the masses of its forms differ.", options
    )


def named_form(kind: Substance, form: Form) -> Named:
    """The name that means exactly this form."""
    water = form.water if form.label not in ("pure", "solution") else None
    return Named(name=kind.name, water=water, as_typed=form_name(kind, form))


def _component(plan: DraftPlan, request: Prepare, part: MixtureComponent, form: Form, per_litre: float) -> Component:
    """One part at ``per_litre`` of its unit; a volume of bottled reagent becomes % v/v, or mol/L where the bottle is known."""
    kind = substance(part.slug)
    weighed = next((f for f in kind.sold_forms if f"form:{f.key}" in request.confirmed and f is not form), None)
    bottle_of = Source(named=Named(water=weighed.water)) if weighed is not None else None
    stock = _AS_STOCK.search(part.note)
    if stock is not None:
        bottle_of = Source(kind="stock", strength=Quantity(Decimal(stock[1]), "mol/L"))
        _say_solid(plan, kind, form, part, per_litre)
    if part.unit == "mL":
        bottle = usual(kind.slug)
        if form.state == "solution" and bottle is not None and kind.molar_mass:
            per_litre *= bottle.mass_percent * bottle.density_g_per_mL / 100 / kind.molar_mass
            return Component(named_form(kind, form), _quantity(per_litre, "mol/L"), source=bottle_of)
        return Component(named_form(kind, form), _quantity(per_litre / 10, "% v/v"), source=bottle_of)
    unit = {"g": "g/L", "mol": "mol/L", "mmol": "mol/L"}[part.unit]
    return Component(
        named_form(kind, form), _quantity(per_litre / (1000 if part.unit == "mmol" else 1), unit), source=bottle_of
    )


def _say_solid(plan: DraftPlan, kind: Substance, form: Form, part: MixtureComponent, per_litre: float) -> None:
    moles = per_litre / (1000 if part.unit == "mmol" else 1)
    solid = (
        f"; {moles * form.molar_mass:.4g} g/L of the solid is the same"
        if form.molar_mass and form.state == "solid"
        else ""
    )
    plan.assumptions.append(f"The recipe adds the {kind.name} from a stock made before{solid}.")


def _quantity(value: float, unit: str) -> Quantity:
    return Quantity(Decimal(f"{value:.7g}"), unit)


def _other_forms(kind: Substance, part: MixtureComponent, form: Form, per_litre: float) -> list[str]:
    """What the same moles weigh in the other forms sold, per litre made."""
    if part.unit != "g" or not form.molar_mass:
        return []
    return [
        f"{per_litre:.4g} g/L of {form_name(kind, form)} is {per_litre * f.molar_mass / form.molar_mass:.4g} g/L of {form_name(kind, f)}"
        for f in kind.sold_forms
        if f.key != form.key and f.molar_mass
    ]
