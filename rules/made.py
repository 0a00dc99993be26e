"""The made solution against its limits, and what is handled on the way: look-ups the hazard rules share."""

from functools import lru_cache

from rules.classify import Compared, MadeClass, Part, classify
from rules.plan import DraftPlan, Ingredient
from rules.policies import Policy
from rules.saying import figures
from rules.tables.hazards import HazardEntry, hazard_entry
from rules.tables.substances import Substance, by_cas, by_formula, by_name

# Where no density of a stock is known, its share by mass is taken per gram of water: a little high for salts and acids.
_WATER_G_PER_L = 1000.0
CATEGORY_ONE = frozenset({"Carc. 1A", "Carc. 1B", "Muta. 1A", "Muta. 1B", "Repr. 1A", "Repr. 1B"})


def entry_of(item: Ingredient) -> HazardEntry | None:
    """The hazard entry of the form that is measured."""
    return hazard_entry(item.substance.slug, item.form.label)


def pct(value: float) -> str:
    """A share by mass as printed: "1.96 %"; small shares keep two figures."""
    return f"{figures(value, 3 if value >= 1 else 2)} %"


def share(plan: DraftPlan, item: Ingredient) -> float | None:
    """Percent by mass of the solute without water of crystallisation in the made solution; None where not worked out."""
    if len(plan.ingredients) == 1 and plan.solution.mass_fraction_pct is not None:
        return plan.solution.mass_fraction_pct
    mass = item.substance.molar_mass
    grams = item.moles * mass if item.moles is not None and mass else item.solute_mass_g
    total = plan.total_g or (plan.total_mL * (plan.solution.density or 1.0) if plan.total_mL else None)
    return 100 * grams / total if grams is not None and total else None


def reached(plan: DraftPlan, item: Ingredient, labels: frozenset[str] | None = None) -> dict[str, Compared]:
    """The classes the made solution reaches because of ``item``, each with the lowest limit that is met."""
    entry = entry_of(item)
    found: dict[str, Compared] = {}
    if entry is None or plan.hazards is None:
        return found
    for one in plan.hazards.compared:
        if one.met and one.entry == entry.entry and (labels is None or one.hazard_class in labels) \
                and (one.hazard_class not in found or one.limit_pct < found[one.hazard_class].limit_pct):
            found[one.hazard_class] = one
    return found


def limits_said(found: dict[str, Compared]) -> str:
    """ "Carc. 1A from 0.10 %, Repr. 1B from 0.30 %", with what the percent counts where that is a metal."""
    return ", ".join(f"{label} from {one.limit_pct:g} %{f' counted as {one.basis}' if one.basis else ''}"
                     for label, one in sorted(found.items()))


def all_known(plan: DraftPlan) -> bool:
    """Whether every solute has a classification, so that a class not found may count as passed."""
    return plan.hazards is not None and not plan.hazards.unknown


def made(plan: DraftPlan, hazard_class: str) -> list[MadeClass] | None:
    """The classes of the made solution that begin so; empty when it surely has none, None when that is not known."""
    if plan.hazards is None:
        return None
    found = [one for one in plan.hazards.classes if one.hazard_class.startswith(hazard_class)]
    return found if found or all_known(plan) else None


def handled(item: Ingredient, policy: Policy) -> tuple[tuple[str, str], ...]:
    """(class and category, H code) of what is weighed or poured: the solid as listed, a reagent at its own strength."""
    entry = entry_of(item)
    if entry is None:
        return ()
    strength = item.stock_mass_pct
    if item.kind in ("stock", "concentrated") and strength is None and item.stock_g_L is not None:
        strength = 100 * item.stock_g_L / (_WATER_G_PER_L + item.stock_g_L)
    if item.kind in ("solid", "liquid") or strength is None:
        return _listed(entry)
    return _poured(entry, item.substance.slug, round(strength, 2), policy)


@lru_cache(maxsize=2048)
def _listed(entry: HazardEntry) -> tuple[tuple[str, str], ...]:
    return tuple((one.label, one.h_code) for one in entry.classes)


@lru_cache(maxsize=1024)
def _poured(entry: HazardEntry, slug: str, strength_pct: float, policy: Policy) -> tuple[tuple[str, str], ...]:
    classes = classify([Part(entry, slug, min(100.0, strength_pct))], policy).classes
    return tuple((f"{one.hazard_class} {one.category}".strip(), one.h_code) for one in classes)


def asked_for(plan: DraftPlan) -> list[Substance]:
    """Every substance the request may mean, settled or not: what is dangerous is refused before any question."""
    found = [item.substance for item in plan.ingredients] + [kind for _, kind in plan.combined]
    parts = getattr(plan.request, "components", ())
    if len(plan.ingredients) < len(parts):
        for part in parts:
            named = part.solute
            matches = by_cas(named.cas) if named.cas else by_formula(named.formula) if named.formula else by_name(named.name)
            found += [match.substance for match in matches]
    return list({kind.slug: kind for kind in found}.values())
