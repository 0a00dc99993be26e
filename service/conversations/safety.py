"""Questions about keeping, waste, hazards, protection and the label, answered from the plan's own facts and rules."""

from rules.tables.handling import waste
from rules.tables.hazards import precaution, statement
from service.answers.terms import Considered
from service.conversations.told import Answer, fired, name_of, tell


def keeping(judged: Considered) -> Answer:
    """How long it keeps, and how it is kept."""
    kept = judged.plan.storage
    found = fired(judged, "stability", "light_and_air")
    if kept is None:
        return tell(found, f"No shelf life is held for a solution of {name_of(judged.plan)}.")
    how = ", ".join(filter(None, (kept.container, kept.closure, kept.condition)))
    days = kept.shelf_life_days
    if days is None:
        opening = f"No number of days is held ({kept.basis}). Keep it in {how}."
    elif days == 0:
        opening = f"It does not keep: make it on the day ({kept.basis}). {how}."
    else:
        opening = f"{days} day{'s' if days != 1 else ''} from the day it is made ({kept.basis}), in {how}."
    return tell(found, opening, (kept.cite,))


def storage(judged: Considered) -> Answer:
    """Where and in what it is kept."""
    kept = judged.plan.storage
    found = fired(judged, "container", "light_and_air")
    if kept is None:
        return tell(found, f"Nothing is held on how a solution of {name_of(judged.plan)} is stored.")
    how = ", ".join(filter(None, (kept.container, kept.closure, kept.condition)))
    return tell(found, f"In {how}.", (kept.cite,))


def disposal(judged: Considered) -> Answer:
    """Where the waste goes, and whether the drain is right."""
    plan = judged.plan
    streams = [(i.substance.name, waste(i.substance.slug)) for i in plan.ingredients]
    if not streams:
        return Answer("No waste stream is held before the substance is settled.")
    found, cites = fired(judged, "waste"), tuple(s.cite for _, s in streams)
    if found:
        return tell(found, cites=cites)
    parts = []
    for name, stream in streams:
        drain = (
            "Not to the drain."
            if stream.drain_limit.lower() in ("none", "", "no")
            else f"Drain only under this condition: {stream.drain_limit}."
        )
        parts.append(f"{name}: {stream.stream.replace('-', ' ')}; {stream.advice}. {drain}")
    return Answer(" ".join(parts), cites)


def protection(judged: Considered) -> Answer:
    """What to wear."""
    worn = judged.plan.ppe
    found = fired(judged, "volatility")
    if not worn:
        return tell(
            found, "No protection is listed before the plan is settled; read section 8 of the safety data sheet."
        )
    return tell(found, "; ".join(worn) + ".")


def hazards(judged: Considered) -> Answer:
    """The hazards at the strength made."""
    made = judged.plan.hazards
    found = [f for f in fired(judged, "hazard") if f.severity in ("caution", "hold", "stop")]
    if made is None:
        return tell(found, "The hazards of the solution are not worked out here.")
    said = "; ".join(f"{statement(code).text} ({code})" for code in made.h)
    opening = (
        f"{made.signal_word + ': ' if made.signal_word else ''}{said}."
        if said
        else "No class is reached at the strength made."
    )
    if made.unknown:
        names = " and ".join(i.substance.name for i in judged.plan.ingredients if i.substance.slug in made.unknown)
        opening = (
            opening if said else ""
        ) + f" {names}: no classification is held here; take the supplier's safety data sheet."
    return tell(found, opening.strip())


def label(judged: Considered) -> Answer:
    """What goes on the label."""
    plan, item = judged.plan, judged.plan.main
    if item is None or not plan.measures:
        return Answer("The label is written when the plan is settled.")
    typed = item.component.strength
    parts = [f"{item.substance.name} ({item.form.formula})" if item.form.formula else item.substance.name]
    if typed is not None:
        parts.append(f"{typed.value} {typed.unit}")
    made = plan.hazards
    if made is not None and made.signal_word:
        parts.append(made.signal_word)
    if made is not None:
        parts += [f"{code} {statement(code).text}" for code in made.h]
        parts += [f"{code} {precaution(code)}" for code in made.p]
    parts.append("date made, initials")
    if plan.storage is not None and plan.storage.shelf_life_days is not None:
        parts.append(f"use within {plan.storage.shelf_life_days} days")
    opening = "; ".join(parts) + "."
    if judged.outcome == "held":
        opening = "No label is issued while the plan is held. It will carry: " + opening
    return tell(fired(judged, "labelling"), opening)
