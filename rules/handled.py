"""What is handled and what it is put into: look-ups over a draft plan that the safety rules share."""

from collections.abc import Iterable

from grammar.request import Container, Prepare
from rules.plan import DraftPlan, Ingredient
from rules.saying import say
from rules.tables.behaviour import Behaviour, behaviours
from rules.tables.groups import groups_of
from rules.tables.substances import Substance, by_name, substance

Trait = tuple[Ingredient, Behaviour]
GLASSWARE = frozenset({"volumetric-flask", "conical-flask", "beaker", "measuring-cylinder", "round-bottomed-flask",
                       "burette", "test-tube"})


def with_trait(plan: DraftPlan, trait: str) -> list[Trait] | None:
    """The ingredients that behave so, each with the table row that says it; None when there is none."""
    found: list[Trait] = []
    for item in plan.ingredients:
        known = behaviours(item.substance.slug, item.form.label)
        if trait in known:
            found.append((item, known[trait]))
    return found or None


def in_group(plan: DraftPlan, *groups: str) -> list[Ingredient] | None:
    """The ingredients that belong to any of the reactive groups; None when there is none."""
    return [item for item in plan.ingredients if not groups_of(item.substance.slug).isdisjoint(groups)] or None


def attacks_glass(plan: DraftPlan) -> list[Ingredient]:
    """The ingredients that free hydrogen fluoride: the acid, acid fluorides, and any fluoride beside another acid."""
    found = in_group(plan, "fluoride")
    if found is None:
        return []
    beside = {item.substance.slug for item in plan.ingredients if "acid" in groups_of(item.substance.slug)}
    return [item for item in found if _frees_hydrogen_fluoride(item) or beside - {item.substance.slug}]


def _frees_hydrogen_fluoride(item: Ingredient) -> bool:
    return "acid" in groups_of(item.substance.slug) or "HF" in item.substance.formula


def met(plan: DraftPlan) -> list[Substance]:
    """Every substance the request brings together: the solutes, what is to be mixed, and a solvent other than water."""
    found = [item.substance for item in plan.ingredients] + [kind for _, kind in plan.combined]
    other = solvent(plan)
    return found if other is None else [*found, other]


def solvent(plan: DraftPlan) -> Substance | None:
    """The solvent that was named, when it is a known substance other than water."""
    words = plan.request.solvent if isinstance(plan.request, Prepare) else None
    if not words or "water" in words:
        return None
    found = by_name(words)
    return found[0].substance if len(found) == 1 else None


def vessels_asked(plan: DraftPlan) -> list[Container]:
    """The vessels and bottles somebody named."""
    request = plan.request
    if not isinstance(request, Prepare) or (request.container is None and request.bottle is None):
        return []
    return [asked for asked in (request.container, request.bottle) if asked is not None]


def bottle_asked(plan: DraftPlan) -> Container | None:
    """The bottle the solution is to be kept in, when one was named."""
    return next((asked for asked in reversed(vessels_asked(plan)) if asked.kind == "bottle"), None)


def names(found: Iterable[Substance | str]) -> str:
    """Names in a row: "a", "a and b", "a, b and c"; each once, "" for none."""
    each = list(dict.fromkeys(one if isinstance(one, str) else one.name for one in found))
    return f"{', '.join(each[:-1])} and {each[-1]}" if len(each) > 1 else "".join(each)


def called(slug: str) -> str:
    """The printed name of a substance by its key."""
    return substance(slug).name


def strength(item: Ingredient) -> str:
    """The strength of the finished solution in words, "" where it is not worked out: "0.500 mol/L", "5.00 % w/w"."""
    if item.target_mol_L is not None:
        return say(item.target_mol_L, "mol/L")
    return say(item.target_g_L, "g/L") if item.target_g_L is not None else ""


def told(trait: Behaviour) -> str:
    """What the table says of a trait, fit to stand after a colon or in brackets."""
    return trait.detail.replace(": ", "; ")
