"""What a question about the plan is answered with: the plan's own facts, rules and sources, and nothing else.

Each topic is a small function from the judged plan to an ``Answer``; a fact that is not held is said not to be held.
"""

from collections.abc import Callable

from rules.plan import Amount
from rules.tables.elements import element
from rules.tables.solubility import Miscible, Solubility
from service.answers.terms import Considered
from service.conversations.safety import disposal, hazards, keeping, label, protection, storage
from service.conversations.told import Answer, fired, name_of, tell
from service.planner.figures import show
from service.planner.matching import form_name
from service.planner.vessels import vessel_words


def held(judged: Considered) -> Answer:
    """Why the plan is held."""
    found = fired(judged, severity="hold")
    if not found:
        return Answer(f"It is not held: the outcome is '{judged.outcome}'.")
    return tell(found, "It can be made, but somebody who may allow it must look at it first.")


def refused(judged: Considered) -> Answer:
    """Why it was refused."""
    problem = judged.plan.problem
    if problem is not None:
        return Answer(f"{problem.message} {problem.remedy}")
    found = fired(judged, severity="stop")
    return tell(found) if found else Answer(f"It is not refused: the outcome is '{judged.outcome}'.")


def asked(judged: Considered) -> Answer:
    """Why something is asked."""
    found = fired(judged, severity="ask")
    if found:
        return tell(found)
    if judged.plan.opens:
        return Answer("The answer would change the amounts or the safety.")
    return Answer("Nothing is open.")


def balance(judged: Considered) -> Answer:
    """Which balance, and its smallest trustworthy weighing."""
    weighed = [m for m in judged.plan.measures if m.balance is not None and m.using]
    found = fired(judged, "balance")
    if not weighed:
        return tell(found, "Nothing is weighed in this plan." if judged.plan.measures else "No mass is settled yet.")
    said = []
    for m in weighed:
        assert m.balance is not None
        said.append(
            f"{m.what}: {m.using}, for {m.amount.display}; it carries up to {m.balance.capacity_g:g} g "
            f"and its repeatability is {m.balance.repeatability_g:g} g."
        )
    return tell(found, " ".join(said))


def flask(judged: Considered) -> Answer:
    """In what it is made up."""
    plan = judged.plan
    if not plan.batches:
        return tell(
            fired(judged, "vessel"),
            "No vessel is settled yet." if not plan.measures else "The plan is by mass, so no flask is needed.",
        )
    glasses = [b.vessel.glass for b in plan.batches]
    said = [
        f"{vessel_words(glass)}, tolerance {glass.tolerance_mL:g} mL"
        + (f" ({glass.standard})" if glass.standard else "")
        + "."
        for glass in dict.fromkeys(glasses)
    ]
    count = f"{len(glasses)} fillings: " if len(glasses) > 1 else ""
    return tell(fired(judged, "vessel"), count + " ".join(said), tuple(g.cite for g in dict.fromkeys(glasses)))


def route(judged: Considered) -> Answer:
    """Why this way."""
    way = judged.plan.route
    if way is None:
        return Answer("No route is settled yet.")
    others = " ".join(f"Also considered: {o.summary}." for o in way.alternatives)
    return Answer(f"{way.why} {others}".strip())


def stronger(judged: Considered) -> Answer:
    """How strong it can be made."""
    item = judged.plan.main
    if item is None:
        return Answer("No substance is settled yet.")
    cites = item.solubility.cites if isinstance(item.solubility, Solubility) else ()
    now = f" Asked for: {show(item.target_mol_L, 'mol/L', 3)}." if item.target_mol_L else ""
    if item.kind in ("stock", "concentrated") and item.stock_mol_L:
        return Answer(
            f"By diluting, never stronger than what is in the bottle, {show(item.stock_mol_L, 'mol/L', 3)}.{now}", cites
        )
    if isinstance(item.solubility, Miscible):
        return Answer(f"It mixes with water in all proportions ({item.solubility.note}).{now}", (item.solubility.cite,))
    if item.ceiling_mol_L is None or not isinstance(item.solubility, Solubility):
        return Answer(
            f"No solubility is held for {item.substance.name} at this temperature, so no limit is given.{now}"
        )
    at = f"{item.solubility.temperature_degC:g} degC"
    ceiling = item.ceiling_mol_L
    return Answer(
        f"Up to about {show(ceiling, 'mol/L', 2)}, where the solution is saturated at {at} "
        f"({item.solubility.g_anhydrous_per_100g_water:.3g} g without water of crystallisation in 100 g of water).{now}",
        cites,
        Amount(ceiling, "mol/L", show(ceiling, "mol/L", 2)),
    )


def accuracy(judged: Considered) -> Answer:
    """How well the strength is known."""
    budget, item = judged.plan.budget, judged.plan.main
    found = fired(judged, "measurement", "purity")
    if budget is None:
        return tell(found, "No uncertainty is worked out for this plan.")
    causes = ", ".join(f"{line.source} {round(100 * line.share)} %" for line in budget.lines[:3] if line.share >= 0.005)
    value = (
        f" ({show(budget.k * budget.u_rel * item.target_mol_L, 'mol/L', 2)})"
        if item is not None and item.target_mol_L
        else ""
    )
    return tell(
        found,
        f"To {100 * budget.k * budget.u_rel:.2g} %{value}, expanded with k = {budget.k:g}; the variance comes from {causes}.",
    )


def molar_mass(judged: Considered) -> Answer:
    """The molar mass of each form that is measured."""
    items = [i for i in judged.plan.ingredients if i.form.molar_mass]
    if not items:
        return Answer(f"No single molar mass is held for {name_of(judged.plan)}: its form or formula is not settled.")
    said = [
        f"{form_name(i.substance, i.form)}, {i.form.formula}: {i.form.molar_mass:.3f} g/mol"
        + (f" (u = {i.form.u_molar_mass:.1g})" if i.form.u_molar_mass else "")
        for i in items
    ]
    weights = element("H")
    cites = (items[0].form.cite, *((weights.cite,) if weights else ()))
    mass = items[0].form.molar_mass
    assert mass is not None
    return Answer("; ".join(said) + ".", cites, Amount(mass, "g/mol", f"{mass:.2f} g/mol"))


def density(judged: Considered) -> Answer:
    """The density of the made solution."""
    made = judged.plan.solution
    if made.density is None or made.density_assumed:
        return Answer(f"No density is held for this solution of {name_of(judged.plan)}.")
    value = Amount(made.density, "g/mL", f"{made.density:.4f} g/mL")
    return Answer(
        f"{value.display} at {judged.plan.temperature_degC:g} degC.",
        (made.density_cite,) if made.density_cite else (),
        value,
    )


def heat(judged: Considered) -> Answer:
    """How warm it gets."""
    rise = judged.plan.solution.temperature_rise
    found = fired(judged, "order_and_heat")
    if rise is None:
        return tell(found, f"No heat of solution is held for {name_of(judged.plan)}.")
    return tell(
        found,
        f"It {'warms' if rise >= 0 else 'cools'} by about {abs(rise):.1f} degC on dissolving, if no heat is lost.",
    )


def order(judged: Considered) -> Answer:
    """What goes into what."""
    found = [s for s in judged.plan.steps if s.action in ("acid-to-water", "water-first", "dissolve", "dissolve-warm")]
    first = next((s for s in found if s.action == "acid-to-water"), found[0] if found else None)
    told_by = fired(judged, "order_and_heat")
    if first is None:
        return tell(told_by, "No order is laid down for this plan.")
    return tell(told_by, f"{first.text} {first.caution or ''}".strip())


def fume_cupboard(judged: Considered) -> Answer:
    """Whether a rule calls for a fume cupboard."""
    found = fired(judged, "volatility")
    return tell(found, "" if found else "No rule here calls for one in this plan; the safety data sheet and local rules decide.")


TOPICS: dict[str, Callable[[Considered], Answer]] = {
    "held": held,
    "refused": refused,
    "asked": asked,
    "keeping": keeping,
    "storage": storage,
    "waste": disposal,
    "drain": disposal,
    "protection": protection,
    "hazards": hazards,
    "fume cupboard": fume_cupboard,
    "label": label,
    "balance": balance,
    "flask": flask,
    "route": route,
    "stronger": stronger,
    "accuracy": accuracy,
    "molar mass": molar_mass,
    "density": density,
    "heat": heat,
    "order": order,
}
