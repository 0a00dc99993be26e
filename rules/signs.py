"""Signs: what can be told of a draft at a glance, so that the many rules about other things need not be asked at all.

A rule says with ``only_where`` the signs it finds nothing without; where a draft shows none of them, ``judge`` reports the
rule as not applicable. The signs:

- of a substance in its form: its traits ("deliquescent"), its reactive groups ("group strong-acid"), "forms" (sold in
  several), "variable water", "element", "oxidation state" (the name has one), "no molar mass";
- of an ingredient: "poured" (no solid), "stock", "reagent", "bottle strength", "assay", "source", "CAS",
  "counted as" (an element or ion), "unit % w/w" for every strength, "handled Skin Corr." (a class of what is measured);
- of the plan: "open" (a question or a problem), "several" (substances), "combine", "exact", "container", "bottle",
  "set aside", "portions", "pH", "solvent" (not water), "solvent volume", "batches", "dilutions", "mL measured",
  "made Skin Corr." (a class of the solution).
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Any, TypeVar

from grammar.request import Component, Prepare
from rules.made import handled
from rules.plan import DraftPlan, Ingredient
from rules.tables.behaviour import behaviours
from rules.tables.groups import groups_of

Gather = TypeVar("Gather", bound=Callable[..., Any])


def only_where(*signs: str) -> Callable[[Gather], Gather]:
    """Say that a ``gather`` finds nothing in a draft that shows none of the signs."""

    def marked(gather: Gather) -> Gather:
        gather.only_where = frozenset(signs)  # type: ignore[attr-defined]
        return gather

    return marked


def signs_of(plan: DraftPlan) -> set[str]:
    """Every sign the draft shows."""
    found: set[str] = set()
    for item in plan.ingredients:
        _ingredient(plan, item, found)
    request = plan.request
    if isinstance(request, Prepare):
        _request(request, found)
    else:
        found.add("combine")
    if plan.opens or plan.problem is not None:
        found.add("open")
    if len(plan.ingredients) + len(plan.combined) > 1:
        found.add("several")
    if len(plan.batches) > 1:
        found.add("batches")
    if plan.route is not None and plan.route.dilutions:
        found.add("dilutions")
    for line in plan.measures:
        if line.amount.unit == "mL":
            found.add("mL measured")
    if plan.hazards is not None:
        for made in plan.hazards.classes:
            found.add(f"made {made.hazard_class}")
    return found


@lru_cache(maxsize=4096)
def _listed(slug: str, label: str) -> frozenset[str]:
    """What the tables say of that form: its traits and groups."""
    return frozenset((*behaviours(slug, label), *(f"group {name}" for name in groups_of(slug))))


@lru_cache(maxsize=4096)
def _classes(handled_as: tuple[tuple[str, str], ...]) -> frozenset[str]:
    return frozenset(f"handled {label.rstrip('0123456789ABC ')}" for label, _ in handled_as)


def _ingredient(plan: DraftPlan, item: Ingredient, found: set[str]) -> None:
    kind, form, component = item.substance, item.form, item.component
    found |= _listed(kind.slug, form.label)
    found |= _classes(handled(item, plan.policy))
    if len(kind.forms) > 1 and len(kind.sold_forms) > 1:
        found.add("forms")
    if form.water == "x":
        found.add("variable water")
    if kind.family == "element":
        found.add("element")
    if "(" in kind.name:
        found.add("oxidation state")
    if kind.molar_mass is None:
        found.add("no molar mass")
    if item.kind != "solid":
        found.add("poured")
        if item.kind == "stock":
            found.add("stock")
    if item.reagent is not None:
        found.add("reagent")
    if item.stock_mass_pct is not None:
        found.add("bottle strength")
    if item.purity_stated:
        found.add("assay")
    _component(component, found)


def _component(component: Component, found: set[str]) -> None:
    source, strength = component.source, component.strength
    if strength is not None:
        found.add(f"unit {strength.unit}")
        if strength.of:
            found.add("counted as")
    if component.solute.cas:
        found.add("CAS")
    if source is not None:
        found.add("source")
        if source.strength is not None:
            found.add(f"unit {source.strength.unit}")
        if source.named is not None and source.named.cas:
            found.add("CAS")


def _request(request: Prepare, found: set[str]) -> None:
    for component in request.components:
        _component(component, found)
    if request.purpose in ("accurate", "standard"):
        found.add("exact")
    if request.container is not None:
        found.add("container")
    if request.bottle is not None:
        found.add("bottle")
    if request.set_aside:
        found.add("set aside")
    if request.portions is not None:
        found.add("portions")
    if request.ph is not None:
        found.add("pH")
    if request.solvent and "water" not in request.solvent:
        found.add("solvent")
    if request.solvent_volume:
        found.add("solvent volume")
