"""Acid constants with their temperature dependence, and the buffer systems made from them.

A constant is thermodynamic (ionic strength 0) or conditional (0.1 mol/L); ``rules.buffer`` turns the second kind into
the first. The best held row of a step is used: a paper or database before memory, with an enthalpy before without.
"""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, TableError, cite, number, rows
from rules.tables.names import key_of

#: Ending words of a buffer's name that carry nothing: "acetate buffer", "tris buffer solution".
_ENDINGS = ("buffered solution", "buffer solution", "buffers", "buffer", "solution")
CATIONS = ("sodium", "potassium")


@dataclass(frozen=True, slots=True)
class Constant:
    """One step of an acid at 25 degC: enthalpy kJ/mol (or slope per K), ionic strength (mol/L) it holds at."""

    acid: str
    step: int
    pka_25: float
    dH_kJ_per_mol: float | None
    dpka_dT_per_K: float | None
    ionic_strength: float
    textbook: bool
    cite: Cite


@dataclass(frozen=True, slots=True)
class Salt:
    """A chemical a buffer is made from: ``units`` of buffer in one formula, carried ``charge`` of ions that never react.

    The charge is that of its sodium or potassium (positive) or chloride (negative). ``titrated``: the usual start of
    the way with one substance and an acid or alkali.
    """

    substance: str
    units: int
    charge: int
    cation: str
    titrated: bool

    @property
    def charge_per_unit(self) -> float:
        """Charge of the inert ions that come with one buffer unit."""
        return self.charge / self.units


@dataclass(frozen=True, slots=True)
class System:
    """A buffer: its steps, the charge of the acid form of the first step held, and what it is made from."""

    key: str
    charge: int
    constants: tuple[Constant, ...]
    salts: tuple[Salt, ...]
    two_salts: bool


def _rank(row: dict[str, str]) -> tuple[bool, bool, bool, bool]:
    strength = row["ionic_strength"]
    return (strength == "textbook", strength not in ("0", "textbook"), row["source_id"] == "memory", not row["dH_kJ_per_mol"])


@lru_cache(maxsize=1)
def _constants() -> dict[str, tuple[Constant, ...]]:
    steps: dict[tuple[str, int], list[dict[str, str]]] = {}
    for r in rows("pka", filled=("substance", "step", "pka_25", "ionic_strength"),
                  numeric={"pka_25": (-2, 16), "dH_kJ_per_mol": (-80, 80), "dpka_dT_per_K": (-0.1, 0.1), "step": (1, 6)}):
        steps.setdefault((r["substance"], int(r["step"])), []).append(r)
    found: dict[str, list[Constant]] = {}
    for (acid, step), held in sorted(steps.items()):
        best = min(held, key=_rank)
        # A slope or enthalpy is taken from the next row that has one: the change with temperature hardly depends on ionic strength.
        warm = next((r for r in sorted(held, key=_rank) if r["dH_kJ_per_mol"]), None)
        sloped = next((r for r in sorted(held, key=_rank) if r["dpka_dT_per_K"]), None)
        strength = best["ionic_strength"]
        found.setdefault(acid, []).append(
            Constant(acid, step, float(best["pka_25"]), number(warm["dH_kJ_per_mol"]) if warm else None,
                     number(sloped["dpka_dT_per_K"]) if sloped else None,
                     0.0 if strength == "textbook" else float(strength), strength == "textbook",
                     cite(best["source_id"], best["locator"])))
    return {acid: tuple(held) for acid, held in found.items()}


def constants(acid: str) -> tuple[Constant, ...]:
    """Every held step of that acid, in order; empty when none is held."""
    return _constants().get(acid, ())


@dataclass(frozen=True, slots=True)
class _Systems:
    by_key: dict[str, System]
    by_name: dict[str, System]
    by_salt: dict[str, tuple[System, Salt]]


@lru_cache(maxsize=1)
def _systems() -> _Systems:
    salts: dict[str, list[Salt]] = {}
    for r in rows("buffer_salts", key=("system", "substance"), filled=("units", "charge"),
                  numeric={"units": (1, 4), "charge": (-3, 4)}, choices={"cation": frozenset(CATIONS), "titrate": frozenset({"yes"})}):
        salts.setdefault(r["system"], []).append(
            Salt(r["substance"], int(r["units"]), int(r["charge"]), r["cation"], r["titrate"] == "yes"))
    found = _Systems({}, {}, {})
    for r in rows("buffer_systems", key=("system",), filled=("acid", "charge", "route"), numeric={"charge": (-3, 4)},
                  choices={"route": frozenset({"two-salts", "titrate"})}):
        key, held = r["system"], constants(r["acid"])
        if not held or key not in salts:
            raise TableError("buffer_systems.csv", 0, "acid", f"{key} has no constant or no salt", "Add its rows.")
        system = System(key, int(r["charge"]), held, tuple(salts[key]), r["route"] == "two-salts")
        found.by_key[key] = system
        found.by_name.update({key_of(name): system for name in r["names"].split(";") if name.strip()})
        for salt in system.salts:
            found.by_salt.setdefault(salt.substance, (system, salt))
    return found


def system(key: str) -> System:
    """The buffer system with that key. Raises ``KeyError``."""
    return _systems().by_key[key]


def all_systems() -> tuple[System, ...]:
    """Every buffer system, in table order."""
    return tuple(_systems().by_key.values())


def system_of(substance: str) -> tuple[System, Salt] | None:
    """The buffer system a substance belongs to, and its part in it; None for anything else."""
    return _systems().by_salt.get(substance)


@lru_cache(maxsize=1024)
def named_system(words: str) -> tuple[System, str] | None:
    """The system a buffer's name means, and the cation it names: "sodium phosphate buffer" -> phosphate, "sodium".

    The cation is empty where none was said. None for words that name no buffer.
    """
    text = " ".join(words.lower().split())
    for ending in _ENDINGS:
        if text.endswith(" " + ending):
            text = text[: -len(ending)].strip()
    found = _systems().by_name.get(key_of(text))
    if found is not None:
        return found, ""
    first, _, rest = text.partition(" ")
    cation = first if first in CATIONS else ""
    found = _systems().by_name.get(key_of(rest)) if cation and rest else None
    return (found, cation) if found is not None else None
