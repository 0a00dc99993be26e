"""Which substances must not meet: reactive groups, clashes between them, and pairs that throw down a solid."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, rows

SEVERITIES = frozenset({"note", "caution", "ask", "hold", "stop"})


@dataclass(frozen=True, slots=True)
class Clash:
    """Two solutes that react: what happens, how grave it is, and whether anybody may allow it."""

    a: str
    b: str
    group_a: str
    group_b: str
    consequence: str
    severity: str
    approvable: bool
    cite: Cite


@dataclass(frozen=True, slots=True)
class Precipitate:
    """Two solutes that throw down ``product`` when both are strong enough.

    ``solid`` is its formula as the table of solubility products has it, empty where none is held; ``a`` brings the cation.
    """

    a: str
    b: str
    product: str
    solid: str
    severity: str
    cite: Cite


@lru_cache(maxsize=1)
def _groups() -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for r in rows("groups", key=("substance", "group")):
        found.setdefault(r["substance"], set()).add(r["group"])
    return {slug: frozenset(groups) for slug, groups in found.items()}


@lru_cache(maxsize=1)
def _members() -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for slug, groups in _groups().items():
        for group in groups:
            found.setdefault(group, []).append(slug)
    return {group: tuple(sorted(slugs)) for group, slugs in found.items()}


def members(group: str) -> tuple[str, ...]:
    """The substances of a reactive group, sorted; empty when there is no such group."""
    return _members().get(group, ())


def group_names() -> tuple[str, ...]:
    """The reactive groups there are, sorted."""
    return tuple(sorted(_members()))


def groups_of(slug: str) -> frozenset[str]:
    """The reactive groups a substance belongs to; empty when it is in none."""
    return _groups().get(slug, frozenset())


_Reaction = tuple[str, str, bool, Cite]
_Order = {"stop": 0, "hold": 1, "ask": 2, "caution": 3, "note": 4}


@lru_cache(maxsize=1)
def _reactions() -> dict[tuple[str, str], _Reaction]:
    found: dict[tuple[str, str], _Reaction] = {}
    for r in rows("incompatible_groups", key=("group_a", "group_b"), filled=("consequence", "severity"),
                  choices={"severity": SEVERITIES, "approvable": frozenset({"yes", "no"})}):
        found[r["group_a"], r["group_b"]] = (r["consequence"], r["severity"], r["approvable"] == "yes",
                                             cite(r["source_id"], r["locator"]))
    return found


def clashes(slugs: Sequence[str]) -> tuple[Clash, ...]:
    """Every reaction between two of the substances, the gravest first; the worst consequence of each pair of groups."""
    found = []
    table = _reactions()
    for at, a in enumerate(slugs):
        for b in slugs[at + 1:]:
            for one, other in ((a, b), (b, a)):
                for group_a in sorted(groups_of(one)):
                    for group_b in sorted(groups_of(other)):
                        if (group_a, group_b) in table and (group_a != group_b or one == a):
                            found.append(Clash(one, other, group_a, group_b, *table[group_a, group_b]))
    return tuple(sorted(found, key=lambda clash: _Order[clash.severity]))


@lru_cache(maxsize=1)
def _solids() -> dict[tuple[str, str], tuple[str, str, str, Cite]]:
    return {(r["group_a"], r["group_b"]): (r["product"], r["solid"], r["severity"], cite(r["source_id"], r["locator"]))
            for r in rows("insoluble_pairs", key=("group_a", "group_b"), filled=("product",),
                          choices={"severity": SEVERITIES})}


def insoluble(slugs: Sequence[str]) -> tuple[Precipitate, ...]:
    """Every solid two of the substances throw down, the gravest first."""
    found = []
    for at, a in enumerate(slugs):
        for b in slugs[at + 1:]:
            for one, other in ((a, b), (b, a)):
                for group_a in sorted(groups_of(one)):
                    for group_b in sorted(groups_of(other)):
                        if (group_a, group_b) in _solids() and (group_a != group_b or one == a):
                            found.append(Precipitate(one, other, *_solids()[group_a, group_b]))
    return tuple(sorted(found, key=lambda one: _Order[one.severity]))
