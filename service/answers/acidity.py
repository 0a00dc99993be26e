"""The pH of a solution of one acid, base or salt of a buffer system: by concentrations, as textbooks count, and as a meter
reads it, with Davies activities."""

from grammar.request import Misread
from rules.buffer import (
    MOST_IONIC_STRENGTH,
    STANDARD_K,
    WATER,
    ZERO_K,
    Weak,
    cites_of,
    ph_of,
    pka_at,
    pkas_at,
    proton_balance,
)
from rules.plan import Amount, DraftPlan
from rules.tables.load import Cite, cite
from rules.tables.pka import constants, system_of
from service.answers.terms import Answer, Refused, Result

#: Acids and bases that give all their protons or hydroxide: the inert charge of one mole (common knowledge, OpenStax 14.3).
STRONG = {
    "hydrochloric-acid": -1, "nitric-acid": -1, "hydrobromic-acid": -1, "hydriodic-acid": -1, "perchloric-acid": -1,
    "sodium-hydroxide": 1, "potassium-hydroxide": 1, "lithium-hydroxide": 1, "barium-hydroxide": 2,
    "calcium-hydroxide": 2, "strontium-hydroxide": 2,
}  # fmt: skip
STRONG_CITE = cite("openstax-chem2e", "Section 14.3, strong acids and bases")
#: Stronger than this, and a concentration says little about the pH (common practice, no source).
MOST_mol_L = 1.0
DEGREES = STANDARD_K - ZERO_K


def ph(plan: DraftPlan) -> Result:
    """The pH at 25 degC; what is neither acid nor base nor of a buffer system held is not worked out."""
    item = plan.main
    if item is None or len(plan.ingredients) != 1 or item.target_mol_L is None:
        return _unknown("The pH does not follow from this.", "Ask about one solute with a strength in mol/L.")
    name, strength = item.substance.name, item.target_mol_L
    if strength > MOST_mol_L:
        return _unknown(f"Above {MOST_mol_L:g} mol/L a pH says little and is not worked out here.", "Measure it.")
    found = _parts(item.substance.slug, strength)
    if found is None:
        remedy = "Measure it with a meter calibrated on two standards."
        return _unknown(f"No acid constant is held for {name}, so its pH is not worked out.", remedy)
    parts, charge, cites = found
    ideal = proton_balance(parts, charge, pka_at(WATER, DEGREES, 0))
    value = Amount(ideal, "pH", f"pH {ideal:.2f}")
    meter = ph_of(parts, charge, DEGREES)
    ionic = strength * max(1, abs(charge) / strength)
    text = f"{value.display} by concentrations at 25 degC, for {strength:.3g} mol/L {name}."
    if ionic <= MOST_IONIC_STRENGTH:
        text += f" A meter reads about {meter:.2f}, because it feels activities (Davies)."
    text += " A real solution takes up carbon dioxide and holds traces: measure it where it matters."
    return Answer(value, text, cites=cites)


def _unknown(why: str, remedy: str) -> Refused:
    return Refused(Misread("ph-not-known", why, remedy))


def _parts(slug: str, mol_L: float) -> tuple[list[Weak], float, list[Cite]] | None:
    if slug in STRONG:
        return [], STRONG[slug] * mol_L, [STRONG_CITE]
    if slug == "sulfuric-acid":
        second = constants(slug)
        pka = tuple(pka_at(c, DEGREES, -1) for c in second)
        return [Weak(mol_L, -1, pka)], 0.0, [STRONG_CITE, *(c.cite for c in second)]
    held = system_of(slug)
    if held is None:
        return None
    system, salt = held
    part = Weak(salt.units * mol_L, system.charge, pkas_at(system, DEGREES))
    return (
        [part],
        salt.charge * mol_L,
        list(dict.fromkeys(c for n in range(len(system.constants)) for c in cites_of(system, n))),
    )
