"""Published mixtures asked for by name: saline, phosphate-buffered saline, Fehling's solution, Lugol's iodine."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, TableError, cite, number, rows
from rules.tables.names import key_of, keys_to_try

_UNITS = frozenset({"g", "mL", "mol", "mmol"})


@dataclass(frozen=True, slots=True)
class MixtureComponent:
    """One thing that goes in. ``amount`` in ``unit`` per ``Mixture.per``; None is "as much as the note says".

    ``slug`` may be "water", and is empty for things that are no substance of the tables; ``form``: a label or empty.
    """

    slug: str
    form: str
    amount: float | None
    unit: str
    note: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Mixture:
    """A published mixture: components in the order they are added, amounts for ``per`` ("1 L", "as mixed")."""

    key: str
    name: str
    names: tuple[str, ...]
    per: str
    components: tuple[MixtureComponent, ...]


@lru_cache(maxsize=1)
def _mixtures() -> dict[str, Mixture]:
    parts: dict[str, list[dict[str, str]]] = {}
    for r in rows("mixtures", key=("mixture", "order"), filled=("name", "per"), choices={"unit": _UNITS},
                  numeric={"amount": (0.0, 5000.0), "order": (1, 30)}):
        parts.setdefault(r["mixture"], []).append(r)
    found = {}
    for key, held in parts.items():
        first = held[0]
        if any((r["name"], r["per"]) != (first["name"], first["per"]) for r in held):
            raise TableError("mixtures.csv", 0, "per", f"{key} is given two names or two volumes", "Keep one.")
        ordered = sorted(held, key=lambda r: int(r["order"]))
        components = tuple(
            MixtureComponent(r["component"], r["form"], number(r["amount"]), r["unit"], r["note"],
                             cite(r["source_id"], r["locator"]))
            for r in ordered)
        names = tuple(name.strip() for name in first["names"].split(";") if name.strip())
        found[key] = Mixture(key, first["name"], names, first["per"], components)
    return found


@lru_cache(maxsize=1)
def _by_name() -> dict[str, tuple[Mixture, ...]]:
    found: dict[str, list[Mixture]] = {}
    for mixture in _mixtures().values():
        for name in (mixture.name, *mixture.names):
            held = found.setdefault(key_of(name), [])
            if mixture not in held:
                held.append(mixture)
    return {key: tuple(held) for key, held in found.items()}


def all_mixtures() -> tuple[Mixture, ...]:
    """Every published mixture held, in table order."""
    return tuple(_mixtures().values())


def mixtures(words: str) -> tuple[Mixture, ...]:
    """Every mixture those words may mean; empty when none. Spelling is compared as for substances."""
    return next((_by_name()[key] for key in keys_to_try(words) if key in _by_name()), ())
