"""Named standard mixtures: from "500 mL of PBS" to a request that lists the parts at the strength asked for.

The recipe is published and cited; nothing of it is rounded. A recipe whose parts come in several forms states its
form; another form in the bottle is recomputed, mole for mole. What the recipe's notes oblige to stands in
``plan.recipe`` and is judged by the rules of the blending group.
"""

import math
from dataclasses import replace
from decimal import Decimal

from grammar.request import Component, Misread, Named, Prepare, Quantity
from rules.plan import DraftPlan, Open, Option
from rules.tables.load import cite
from rules.tables.mixtures import Mixture, family, mixtures, split_fold
from rules.tables.names import key_of
from rules.tables.pka import named_system
from rules.tables.substances import Form, Substance
from service.planner.basis import basis_formula
from service.planner.matching import matches
from service.planner.recipes import contents, names_ph, parts_of, recipe_of
from service.planner.resolve import Resolved

Settled = Prepare | Open | Misread | None


def is_fold(quantity: Quantity | None) -> bool:
    """Whether a strength is a multiple of the working strength ("10x")."""
    return quantity is not None and quantity.unit == "X"


def settle_mixtures(plan: DraftPlan, request: Prepare) -> Settled:
    """The request with every named mixture replaced by its parts; a question or a misreading where that needs one.

    None where the recipe must not or cannot be worked out: ``plan.recipe`` then says why, and a rule refuses it.
    """
    for index, component in enumerate(request.components):
        found = _candidates(component, request.ph)
        if not found:
            continue
        settled = _settle(plan, request, index, found)
        if not isinstance(settled, Prepare):
            return settled
        request = settled
    return request


def _words(component: Component) -> str:
    named = component.solute
    return "" if named.formula or named.cas or named.water else named.name


def _is_its_ph(found: tuple[Mixture, ...], ph: Decimal | None) -> bool:
    """Whether a recipe exists and the pH asked for, if any, is the one in its name."""
    return bool(found) and (ph is None or any(names_ph(m, ph) for m in found))


def _candidates(component: Component, ph: Decimal | None) -> tuple[Mixture, ...]:
    """The mixtures a component may mean; empty where it is a substance with a strength, or no mixture at all."""
    words = _words(component)
    if not words or component.mass is not None:
        return ()
    strength = component.strength
    if ph is not None and strength is None and key_of(words) in ("buffer", "standard", "phstandard"):
        return mixtures(f"ph {ph} buffer")
    if named_system(words) is not None and (strength is not None or not _is_its_ph(mixtures(words), ph)):
        return ()
    if strength is not None and strength.unit == "%":
        return mixtures(f"{strength.value.normalize():f}% {words}")
    if strength is not None and not is_fold(strength):
        poured = component.source is not None and component.source.strength is not None
        return (
            ()
            if poured or basis_formula(words) is not None or matches(component.solute)
            else mixtures(words) or family(words)
        )
    bare, _ = split_fold(words)
    if is_fold(strength) or bare != words:
        return family(bare) or mixtures(bare)
    return mixtures(words) or family(bare)


def _settle(plan: DraftPlan, request: Prepare, index: int, found: tuple[Mixture, ...]) -> Settled:
    component = request.components[index]
    strength, words = component.strength, _words(component)
    if strength is not None and strength.unit not in ("X", "%"):
        return Open(
            "unit-unsupported",
            f"{words} is a mixture, so {strength.value} {strength.unit} of it says too little: of which part?",
            remedy="Ask for it as a multiple of its working strength ('1x', '10x'), or list its parts with their strengths.",
        )
    if component.source is not None and is_fold(component.source.strength):
        plan.recipe = recipe_of(found[0], 1.0)
        whole = component if strength is not None else replace(component, strength=Quantity(Decimal(1), "X"))
        return replace(request, components=(*request.components[:index], whole, *request.components[index + 1 :]))
    chosen = next((m for m in found if f"recipe:{m.key}" in request.confirmed), None)
    wanted = float(strength.value) if strength is not None and is_fold(strength) else split_fold(words)[1]
    if wanted is not None and wanted <= 0:
        return Misread(
            "strength-not-positive", f"A strength of {wanted:g}x makes no solution.", "Give a multiple above zero."
        )
    if chosen is None and wanted is None and {m.fold for m in found}.isdisjoint((None, 1.0)):
        return _ask_fold(request, index, found, words)
    if chosen is None and wanted is not None and found[0].fold is not None:
        chosen = next((m for m in found if m.fold == wanted), None) or min(
            found, key=lambda m: abs(math.log(wanted / (m.fold or 1.0)))
        )
    if chosen is None:
        if len(found) > 1:
            return _ask(request, found, f"Several recipes carry the name '{words}'. Which one is wanted?")
        held = matches(component.solute)
        if (
            strength is None
            and not _said_made_up(component)
            and any(key_of(m.substance.name) == key_of(words) for m in held)
        ):
            return _ask(request, found, f"'{words}' names a substance and a made-up solution. Which is wanted?")
        chosen = found[0]
        ask = recipe_of(chosen, 1.0).mark("ASK")
        if ask is not None:
            return _ask(request, found, f"{chosen.name}: {ask}. Is this composition wanted?")
    scale = 1.0 if wanted is None else wanted / (chosen.fold or 1.0)
    return parts_of(plan, request, index, chosen, scale)


def _said_made_up(component: Component) -> bool:
    """Whether the words as typed say that a made-up solution is meant ("biuret reagent", "starch indicator")."""
    typed = component.solute.as_typed.lower().split()
    return len(typed) > 1 and typed[-1].strip(".,") in ("reagent", "indicator", "buffer")


def _ask_fold(request: Prepare, index: int, found: tuple[Mixture, ...], words: str) -> Open:
    component = request.components[index]
    folds = sorted({1.0, *(m.fold or 1.0 for m in found)})
    options = []
    for fold in folds:
        whole = replace(component, strength=Quantity(Decimal(f"{fold:g}"), "X"))
        parts = (*request.components[:index], whole, *request.components[index + 1 :])
        options.append(Option(f"{fold:g}x", f"{fold:g}x {words}", replace(request, components=parts)))
    return Open("which-recipe", f"{words} is kept as a concentrate. Which strength is wanted?", tuple(options))


def _ask(request: Prepare, found: tuple[Mixture, ...], text: str) -> Open:
    options = [
        Option(m.key, f"{m.name} ({contents(m)})", replace(request, confirmed=(*request.confirmed, f"recipe:{m.key}")))
        for m in found
    ]
    remedy = "Or list the parts with their strengths, or give a strength for a plain solution."
    return Open("which-recipe", text, tuple(options), remedy=remedy)


def mixture_stock(named: Named) -> Resolved | None:
    """A made-up mixture or buffer, diluted by ratio ("1x TAE from 50x", "0.05 M phosphate buffer from 1 M")."""
    bare, _ = split_fold(named.name)
    found = family(bare) or mixtures(bare)
    system = named_system(bare)
    if not found and system is None:
        return None
    unknown = cite("practice", "a solution made or bought elsewhere: its composition stands on its label")
    slug = f"mixture-{found[0].key}" if found else f"mixture-{key_of(bare)}"
    form = Form(f"{slug}/solution", slug, "solution", "0", "", "", "solution", True, False, None, None, unknown)
    kind = Substance(slug, bare, "", "mixture", (form,), None, None, unknown)
    shift = "; its pH shifts on dilution and is read again" if system is not None else ""
    said = f"Only the ratio of the two strengths counts. What the {bare} stock holds must stand on its label{shift}."
    return Resolved(kind, form, form, said)
