"""Keeping, wearing and throwing away: bottle and shelf life, waste stream, protection."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.groups import groups_of
from rules.tables.load import Cite, cite, number, rows

_ROUTES = {"H30": "(oral)", "H31": "(dermal)", "H33": "(inhalation)"}


@dataclass(frozen=True, slots=True)
class Storage:
    """How the made solution is kept. ``shelf_life_days`` None: not known. ``basis``: what the life rests on."""

    container: str
    closure: str
    condition: str
    shelf_life_days: int | None
    basis: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Waste:
    """Where the solution goes when done with. ``drain_limit``: "none", or under what condition the drain is right."""

    stream: str
    drain_limit: str
    advice: str
    cite: Cite


@lru_cache(maxsize=1)
def _stored() -> dict[str, tuple[tuple[float, float, Storage], ...]]:
    found: dict[str, list[tuple[float, float, Storage]]] = {}
    strength = (0.0, 60.0)
    for r in rows("storage", key=("substance", "strength_low_mol_L"), filled=("container",),
                  numeric={"strength_low_mol_L": strength, "strength_high_mol_L": strength,
                           "shelf_life_days": (0, 4000)}):
        days = number(r["shelf_life_days"])
        kept = Storage(r["container"], r["closure"], r["condition"], None if days is None else int(days),
                       r["shelf_basis"], cite(r["source_id"], r["locator"]))
        high = number(r["strength_high_mol_L"])
        found.setdefault(r["substance"], []).append(
            (number(r["strength_low_mol_L"]) or 0.0, float("inf") if high is None else high, kept))
    return {slug: tuple(kept) for slug, kept in found.items()}


def storage(slug: str, mol_L: float | None) -> Storage | None:
    """How a solution of that strength (mol/L) is kept. None when not held.

    Of several ranges that hold the strength the narrowest wins, then the shortest life; of unknown strength, the shortest life.
    """
    held = [row for row in _stored().get(slug, ()) if mol_L is None or row[0] <= mol_L <= row[1]]
    days = [kept.shelf_life_days if kept.shelf_life_days is not None else 0 for _, _, kept in held]
    width = [0.0 if mol_L is None else high - low for low, high, _ in held]
    order = sorted(range(len(held)), key=lambda n: (width[n], days[n]))
    return held[order[0]][2] if held else None


@lru_cache(maxsize=1)
def _streams() -> dict[str, Waste]:
    return {r["substance"]: Waste(r["stream"], r["drain_limit"], r["advice"], cite(r["source_id"], r["locator"]))
            for r in rows("waste", key=("substance",), filled=("stream", "advice"))}


@lru_cache(maxsize=2048)
def waste(slug: str) -> Waste:
    """The waste stream of a substance, else of the first listed group it is in, else one that keeps it from the drain."""
    table = _streams()
    if slug in table:
        return table[slug]
    groups = groups_of(slug)
    return next((table[key] for key in table if key.startswith("group:") and key[6:] in groups), table["*"])


@lru_cache(maxsize=1)
def _protection() -> dict[tuple[str, str], str]:
    return {(r["hazard_class"], r["category"]): r["ppe"]
            for r in rows("ppe", key=("hazard_class", "category"), filled=("ppe",))}


def ppe(classes: Iterable[Sequence[object]], slugs: Iterable[str] = ()) -> tuple[str, ...]:
    """What to wear and where to work for those hazard classes (class, category, H code, ...) and substances."""
    table = _protection()
    worn = [table["*", ""]]
    for hazard_class, category, h_code, *_ in classes:
        name = str(hazard_class)
        if name == "Acute Tox.":
            name = f"{name} {_ROUTES[str(h_code)[:3]]}"
        if name == "EUH":
            name = str(h_code)
        line = table.get((name, str(category))) or table.get((name, ""))
        if line:
            worn.append(line)
    for slug in slugs:
        worn += [line for (name, _), line in table.items() if name.startswith("special:")
                 and (name[8:] == slug or name[8:] in {group.removesuffix("-salt") for group in groups_of(slug)})]
    return tuple(dict.fromkeys(part.strip() for line in worn for part in line.split(";")))
