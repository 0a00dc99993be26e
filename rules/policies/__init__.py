"""The law a plan is held to: mixture limits, explosives precursors, what is asked about first, what is refused.

Shipped: eu, uk, us, and ``strictest``, the union of the three with the lowest limit of each kind.
"""

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache

from rules.house import House, digest
from rules.tables.load import POLICIES, Cite, cite, number, rows

NAMES = ("eu", "uk", "us", "strictest")
DEFAULT = "strictest"
_TITLES = {
    "eu": "European Union: Regulation (EC) 1272/2008 and Regulation (EU) 2019/1148",
    "uk": "United Kingdom: the mixture rules of Regulation (EC) 1272/2008 as retained, and the Poisons Act 1972",
    "us": "United States: 29 CFR 1910.1200; no federal list of precursors is held here",
    "strictest": "the strictest of the European, United Kingdom and United States limits (the default)",
}
# Great Britain kept the mixture rules of the European regulation.
_MIXTURE_RULES = {"eu": ("eu",), "uk": ("eu",), "us": ("us",), "strictest": ("eu", "us")}
_PRECURSOR_LISTS = {"eu": ("eu",), "uk": ("uk",), "us": ("us",), "strictest": ("eu", "uk", "us")}
_METHODS = frozenset({"additive", "weighted", "single", "ate", "ph", "test"})
_PERCENT = (0.0, 100.0)
LOCAL = cite("local-policy", "the policy of this house")


@dataclass(frozen=True, slots=True)
class Cutoff:
    """From ``limit_pct`` / ``weight`` % by mass on, an ingredient of one class gives the mixture the result class."""

    rule: str
    hazard_class: str
    category: str
    result_class: str
    result_category: str
    limit_pct: float | None
    weight: float
    m_factor: bool
    method: str
    note: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class AteRange:
    """One category of acute toxicity by one route: its upper bound and the value a bare category stands for."""

    route: str
    category: str
    high: float
    point: float
    unit: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class PrecursorLimit:
    """An explosives precursor. ``limit_pct`` % by mass, above which it is restricted (None: at any strength)."""

    slug: str
    limit_pct: float | None
    listed: str
    requirement: str
    law: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class AskFirst:
    """A substance nobody makes up without asking: ``action`` hold or refuse.

    ``two_person``: two people must allow it. Common practice, no source: what is fatal by every route, or needs an
    antidote or gel at hand.
    """

    slug: str
    action: str
    approvable: bool
    two_person: bool
    reason: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class RefusedTerm:
    """Words that end a request: ``kind`` explosive, chemical-weapon, drug, poison-misuse, or hold."""

    term: str
    kind: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Policy:
    """One body of limits: of the law, and of the house. Compared by identity: each is made once.

    ``version``: number and digest of the local policy, such as "3+4f1c20ab"; 0 is what is shipped.
    """

    name: str
    title: str
    cutoffs: tuple[Cutoff, ...]
    ate_ranges: tuple[AteRange, ...]
    precursors: dict[str, tuple[PrecursorLimit, ...]]
    ask_first: dict[str, AskFirst]
    refused_terms: dict[str, tuple[tuple[tuple[str, ...], RefusedTerm], ...]]
    house: House = field(default_factory=House)
    version: str = "0"

    def precursor_limits(self, slug: str) -> tuple[PrecursorLimit, ...]:
        """The listings of a substance as explosives precursor, the lowest limit first; empty when not listed."""
        return self.precursors.get(slug, ())

    def refused(self, text: str) -> RefusedTerm | None:
        """The first term in a text that ends the request, matched as whole words in any case, or None."""
        spoken = _words(text)
        for at, word in enumerate(spoken):
            for parts, term in self.refused_terms.get(word, ()):
                if tuple(spoken[at:at + len(parts)]) == parts:
                    return term
        return None


_WORD = re.compile(r"[a-z0-9]+")


def _words(text: str) -> list[str]:
    return _WORD.findall(text.lower().replace("sulph", "sulf"))


@lru_cache(maxsize=8)
def policy(name: str = DEFAULT) -> Policy:
    """The policy of that name (``NAMES``). Raises ``KeyError`` for another."""
    if name not in NAMES:
        raise KeyError(f"no policy '{name}'; there are {', '.join(NAMES)}")
    return Policy(name, _TITLES[name], _cutoffs(name), _ate_ranges(name), _precursors(name), _ask_first(),
                  _refused_terms(), House(), f"0+{digest(name, House())}")


def with_house(pack: Policy, house: House, number: int) -> Policy:
    """The policy of a pack with what a house sets, as version ``number``. Lower precursor limits come before those of the law."""
    precursors = dict(pack.precursors)
    for slug, pct in sorted(house.precursor_pct, key=lambda one: -one[1]):  # of two for one substance the lower comes first
        listed = precursors[slug]
        precursors[slug] = (replace(listed[0], limit_pct=pct, law="local policy", cite=LOCAL), *listed)
    return replace(pack, precursors=precursors, house=house, version=f"{number}+{digest(pack.name, house)}")


def _cutoffs(name: str) -> tuple[Cutoff, ...]:
    read = rows("mixture_cutoffs",
                key=("policy", "rule", "hazard_class", "category", "result_class", "result_category"),
                filled=("method",), numeric={"limit_pct": _PERCENT, "high_pct": _PERCENT, "weight": (1, 100)},
                choices={"method": _METHODS}, folder=POLICIES)
    return tuple(
        Cutoff(r["rule"], r["hazard_class"], r["category"], r["result_class"], r["result_category"],
               number(r["limit_pct"]), float(r["weight"] or 1), r["m_factor"] == "yes", r["method"], r["note"],
               cite(r["source_id"], r["locator"]))
        for r in read if r["policy"] in _MIXTURE_RULES[name])


def _ate_ranges(name: str) -> tuple[AteRange, ...]:
    read = rows("ate_ranges", key=("policy", "route", "category"), filled=("ate_high", "point_estimate"),
                numeric={"ate_high": (0, 1e5), "point_estimate": (0, 1e5)}, folder=POLICIES)
    return tuple(
        AteRange(r["route"], r["category"], float(r["ate_high"]), float(r["point_estimate"]), r["unit"],
                 cite(r["source_id"], r["locator"]))
        for r in read if r["policy"] == _MIXTURE_RULES[name][0])


def _precursors(name: str) -> dict[str, tuple[PrecursorLimit, ...]]:
    found: dict[str, list[PrecursorLimit]] = {}
    for r in rows("precursors", key=("policy", "substance", "list"), filled=("requirement",),
                  numeric={"limit_pct_w_w": _PERCENT}, choices={"list": frozenset({"restricted", "reportable"})},
                  folder=POLICIES):
        if r["policy"] in _PRECURSOR_LISTS[name]:
            found.setdefault(r["substance"], []).append(
                PrecursorLimit(r["substance"], number(r["limit_pct_w_w"]), r["list"], r["requirement"], r["policy"],
                               cite(r["source_id"], r["locator"])))
    # Lowest limit first; a bare duty to report comes after a restriction.
    return {slug: tuple(sorted(listed, key=lambda p: (p.listed != "restricted", p.limit_pct or 0.0)))
            for slug, listed in found.items()}


@lru_cache(maxsize=1)
def _ask_first() -> dict[str, AskFirst]:
    return {r["substance"]: AskFirst(r["substance"], r["action"], r["approvable"] == "yes",
                                     r["two_person"] == "yes", r["reason"], cite(r["source_id"], r["locator"]))
            for r in rows("ask_first", key=("substance",), filled=("reason",), folder=POLICIES,
                          choices={"action": frozenset({"hold", "refuse"}), "approvable": frozenset({"yes", "no"}),
                                   "two_person": frozenset({"yes", "no"})})}


@lru_cache(maxsize=1)
def _refused_terms() -> dict[str, tuple[tuple[tuple[str, ...], RefusedTerm], ...]]:
    found: dict[str, list[tuple[tuple[str, ...], RefusedTerm]]] = {}
    for r in rows("refused_terms", key=("term",), filled=("kind", "reason"), cited=False, folder=POLICIES):
        parts = tuple(_words(r["term"]))
        found.setdefault(parts[0], []).append((parts, RefusedTerm(r["term"], r["kind"], r["reason"])))
    return {word: tuple(sorted(terms, key=lambda t: -len(t[0]))) for word, terms in found.items()}
