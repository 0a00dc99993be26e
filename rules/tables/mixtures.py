"""Published mixtures asked for by name: saline, phosphate-buffered saline, Fehling's solution, Lugol's iodine."""

import re
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, TableError, cite, number, rows
from rules.tables.names import keys_to_try

_UNITS = frozenset({"g", "mL", "mol", "mmol"})
_FOLD = re.compile(r"(?:^|\s)(\d+(?:\.\d+)?)\s?[x×](?=\s|$)", re.IGNORECASE)
_FOLD_OF_KEY = re.compile(r"-(\d+)x$")


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

    @property
    def fold(self) -> float | None:
        """How many times the working strength it is ("pbs-10x" is 10), or None where the name says nothing."""
        found = _FOLD_OF_KEY.search(self.key)
        return float(found[1]) if found else None


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


@dataclass(frozen=True, slots=True)
class _Index:
    """Mixtures by every name as written, and by the name without its fold ("10x PBS" under "pbs")."""

    names: dict[str, tuple[Mixture, ...]]
    families: dict[str, tuple[Mixture, ...]]


@lru_cache(maxsize=1)
def _index() -> _Index:
    names: dict[str, list[Mixture]] = {}
    families: dict[str, list[Mixture]] = {}
    for mixture in _mixtures().values():
        written = (mixture.name, *mixture.names)
        for name in dict.fromkeys((*written, *(name.replace("'s ", " ") for name in written))):  # "Lugol iodine"
            _add(names, name, mixture)
            if mixture.fold is not None:
                _add(families, split_fold(name)[0], mixture)
    return _Index({k: tuple(v) for k, v in names.items()}, {k: tuple(v) for k, v in families.items()})


def _add(index: dict[str, list[Mixture]], name: str, mixture: Mixture) -> None:
    for key in keys_to_try(name)[:2]:
        held = index.setdefault(key, [])
        if mixture not in held:
            held.append(mixture)


def split_fold(words: str) -> tuple[str, float | None]:
    """A name without its fold, and the fold: "PBS 10x" -> ("PBS", 10)."""
    found = _FOLD.search(words)
    if found is None:
        return words, None
    return (words[: found.start()] + " " + words[found.end() :]).strip(" ,"), float(found[1])


def all_mixtures() -> tuple[Mixture, ...]:
    """Every published mixture held, in table order."""
    return tuple(_mixtures().values())


def mixtures(words: str) -> tuple[Mixture, ...]:
    """Every mixture those words may mean; empty when none. Spelling is compared as for substances."""
    names = _index().names
    return next((names[key] for key in keys_to_try(words) if key in names), ())


def family(words: str) -> tuple[Mixture, ...]:
    """Every strength held of a mixture sold or kept as a concentrate, by its bare name ("SSC", "TAE")."""
    families = _index().families
    return next((families[key] for key in keys_to_try(words) if key in families), ())
