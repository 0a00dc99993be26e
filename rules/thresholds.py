"""From which strength on a solute gives a mixture each hazard class, under one policy.

A specific concentration limit of the entry comes before the generic cut-off for the same kind of harm (Regulation (EC)
1272/2008, Article 10). Every rule is brought to one shape, "this solute alone reaches this class at ``limit_pct``", so
that one solute is judged by comparison and several by the sum of their shares. Percentages are by mass.
"""

from dataclasses import dataclass
from functools import lru_cache

from rules.policies import Policy
from rules.tables.groups import groups_of
from rules.tables.hazards import HazardClass, HazardEntry, Limit, metal_fraction
from rules.tables.load import Cite, cite
from rules.tables.substances import substance

# From the worst to the mildest of each kind of harm.
LADDERS: dict[str, tuple[str, ...]] = {
    "skin": ("Skin Corr. 1", "Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C", "Skin Irrit. 2"),
    "eye": ("Eye Dam. 1", "Eye Irrit. 2"),
    "carc": ("Carc. 1A", "Carc. 1B", "Carc. 2"),
    "muta": ("Muta. 1A", "Muta. 1B", "Muta. 2"),
    "repr": ("Repr. 1A", "Repr. 1B", "Repr. 2"),
    "lact": ("Lact.",),
    "resp": ("Resp. Sens. 1", "Resp. Sens. 1A", "Resp. Sens. 1B"),
    "sens": ("Skin Sens. 1", "Skin Sens. 1A", "Skin Sens. 1B"),
    "stot-se": ("STOT SE 1", "STOT SE 2"),
    "stot-3": ("STOT SE 3",),
    "stot-re": ("STOT RE 1", "STOT RE 2"),
    "asp": ("Asp. Tox. 1",),
    "acute": ("Acute Tox. 1", "Acute Tox. 2", "Acute Tox. 3", "Acute Tox. 4"),
    "water-acute": ("Aquatic Acute 1",),
    "water-chronic": ("Aquatic Chronic 1", "Aquatic Chronic 2", "Aquatic Chronic 3", "Aquatic Chronic 4"),
    "ox-liq": ("Ox. Liq. 1", "Ox. Liq. 2", "Ox. Liq. 3"),
    "flam-liq": ("Flam. Liq. 1", "Flam. Liq. 2", "Flam. Liq. 3"),
    "euh": ("EUH",),
}
_PLACE = {label: (ladder, rank) for ladder, labels in LADDERS.items() for rank, label in enumerate(labels)}
_ADDITIVE = frozenset({"skin", "eye", "stot-3", "asp", "acute", "water-acute", "water-chronic"})
# Annex I, 1.1.2.2.2: below 1 % an ingredient need not be counted unless a limit says otherwise.
OPEN_LIMIT_PCT = 1.0
# Tested, not calculated: taken as reached from here on, so that a strong solution is never passed for want of a rule.
# Corrosion of metals is not among them: it is never inferred from a strength (Annex I, 2.16), only named as not tested.
TESTED_FROM_PCT = {"Flam. Liq. 1": 10.0, "Flam. Liq. 2": 10.0, "Flam. Liq. 3": 10.0}
_TESTED = cite("practice", "found by test, not by calculation; taken as reached from this strength on")
_SUPPLEMENTAL_FROM_PCT = {"EUH029": 0.1, "EUH031": 0.1, "EUH032": 0.1, "EUH066": 10.0, "EUH070": 1.0}
# Annex I, 3.2.3.3.4 warns of these; salts without a specific limit are left to the sums.
_NOT_ADDITIVE_GROUPS = frozenset({"acid", "strong-acid", "base", "strong-base", "aldehyde", "phenol", "surfactant"})
_CODES = {"Skin Corr.": "H314", "Skin Irrit.": "H315", "Eye Dam.": "H318", "Eye Irrit.": "H319",
          "Aquatic Acute 1": "H400", "Aquatic Chronic 1": "H410", "Aquatic Chronic 2": "H411",
          "Aquatic Chronic 3": "H412", "Aquatic Chronic 4": "H413"}
_WEAKER = {"STOT SE 2": "H371", "STOT RE 2": "H373"}
_ACUTE = {"oral": ("H300", "H300", "H301", "H302"), "dermal": ("H310", "H310", "H311", "H312"),
          "inhalation": ("H330", "H330", "H331", "H332")}


@dataclass(frozen=True, slots=True)
class Threshold:
    """The strength from which one solute alone gives the class.

    ``ladder`` names the kind of harm (acute toxicity: with its route) and ``rank`` the severity in it, 0 the worst;
    ``cutoff_pct``: not counted below. ``on_metal``: percentages are of the metal (or chromate) in the mixture.
    """

    ladder: str
    rank: int
    hazard_class: str
    category: str
    h_code: str
    limit_pct: float
    cutoff_pct: float
    additive: bool
    on_metal: bool
    specific: bool
    cite: Cite

    @property
    def assumed(self) -> bool:
        """Whether no law sets this limit: the class is found by test, and is taken as reached from here on."""
        return self.cite.source_id == "practice"

    @property
    def label(self) -> str:
        """Class and category as printed."""
        return f"{self.hazard_class} {self.category}" if self.category else self.hazard_class


@dataclass(frozen=True, slots=True)
class SoluteThresholds:
    """All thresholds of one solute, and those that decide when it is alone.

    ``untested``: its classes found by test only, not carried over to a solution.
    """

    thresholds: tuple[Threshold, ...]
    decisive: tuple[Threshold, ...]
    metal_fraction: float
    untested: tuple[str, ...]


@lru_cache(maxsize=4096)
def thresholds(entry: HazardEntry, slug: str, policy: Policy) -> SoluteThresholds:
    """Every class the solute can give a solution, with the lowest strength of each under the policy."""
    found: dict[tuple[str, str, str, bool], Threshold] = {}

    def keep(one: Threshold) -> None:
        key = (one.ladder, one.label, one.h_code, one.additive)
        if key not in found or one.limit_pct < found[key].limit_pct:
            found[key] = one

    specific: dict[str, list[Limit]] = {}
    for limit in entry.limits:
        place = _PLACE.get(f"{limit.hazard_class} {limit.category}".strip())
        if place:
            specific.setdefault(place[0], []).append(limit)
    for ladder, limits in specific.items():
        for one in _specific(entry, ladder, limits):
            keep(one)
    metal = "1" in entry.notes and bool(entry.metal)
    untested = []
    for listed in entry.classes:
        place = _PLACE.get(listed.label)
        if place is None:
            untested.append(f"{listed.label} ({listed.h_code})" if listed.h_code else listed.label)
        elif place[0] == "acute":
            for one in _acute(entry, listed, slug, policy):
                keep(one)
        elif place[0] in ("ox-liq", "flam-liq") and place[0] not in specific:
            start = TESTED_FROM_PCT.get(listed.label, OPEN_LIMIT_PCT)
            keep(Threshold(*place, listed.hazard_class, listed.category, listed.h_code, start, 0.0, False, False, False,
                           _TESTED))
        else:
            for one in _generic(entry, listed, slug, policy, metal, specific):
                keep(one)
    for code in entry.supplemental:
        if code in _SUPPLEMENTAL_FROM_PCT and "euh" not in specific:
            keep(Threshold("euh", 0, "EUH", "", code, _SUPPLEMENTAL_FROM_PCT[code], 0.0, False, False, False, _TESTED))
    ordered = tuple(sorted(found.values(), key=lambda t: (t.ladder, t.rank, t.limit_pct)))
    return SoluteThresholds(ordered, _decisive(ordered), metal_fraction(entry, slug), tuple(untested))


def _specific(entry: HazardEntry, ladder: str, limits: list[Limit]) -> list[Threshold]:
    """The entry's own limits. A milder class is reached at the latest where a worse one is."""
    on_metal = bool(entry.metal) and bool({"1", "3"} & entry.notes)
    made = []
    ranked = sorted(limits, key=lambda one: _PLACE[f"{one.hazard_class} {one.category}".strip()][1])
    lowest = 100.0
    for limit in ranked:
        low = OPEN_LIMIT_PCT if limit.low_pct is None else limit.low_pct
        lowest = min(lowest, low)
        rank = _PLACE[f"{limit.hazard_class} {limit.category}".strip()][1]
        made.append(Threshold(_named(ladder, limit.h_code), rank, limit.hazard_class, limit.category, limit.h_code,
                              lowest, 0.0, ladder in _ADDITIVE, on_metal, True, limit.cite))
    return made


def _generic(entry: HazardEntry, listed: HazardClass, slug: str, policy: Policy, metal: bool,
             specific: dict[str, list[Limit]]) -> list[Threshold]:
    """The policy's cut-offs for one class of the entry, left out where the entry has its own limits."""
    made = []
    for cutoff in policy.cutoffs:
        if (cutoff.hazard_class, cutoff.category) != (listed.hazard_class, listed.category) or cutoff.limit_pct is None:
            continue
        lone = "nonadditive" in cutoff.rule
        category = cutoff.result_category
        if category == "1" and cutoff.result_class == "Skin Corr." and listed.category != "1":
            if not lone:
                continue
            category = listed.category
        if lone and not _not_additive(slug):
            continue
        label = f"{cutoff.result_class} {category}".strip()
        code = _CODES.get(cutoff.result_class) or _CODES.get(label) or listed.h_code
        if cutoff.result_class == "EUH208":
            code, label = "EUH208", "EUH"
        elif label in _WEAKER and label != listed.label:
            code = _WEAKER[label]
        ladder, rank = _PLACE[label]
        generic = cutoff.limit_pct / cutoff.weight
        limit = _limit_beside(specific, ladder, label, generic)
        if limit is None:
            continue
        own = limit != generic
        if cutoff.m_factor:
            limit /= entry.m_acute if ladder == "water-acute" else entry.m_chronic
        shown = ("EUH", "") if label == "EUH" else (cutoff.result_class, category)
        on_metal = metal and ladder not in ("water-acute", "water-chronic")
        additive = ladder in _ADDITIVE and cutoff.method != "single"
        made.append(Threshold(_named(ladder, code), rank, *shown, code, limit, 0.0, additive, on_metal, own,
                              specific["skin"][0].cite if own and "skin" in specific else cutoff.cite))
    return made


def _named(ladder: str, h_code: str) -> str:
    """Respiratory irritation and narcosis are summed apart."""
    return f"{ladder}-{h_code}" if ladder == "stot-3" else ladder


def _limit_beside(specific: dict[str, list[Limit]], ladder: str, label: str, generic: float) -> float | None:
    """The generic limit as it stands beside the entry's own limits; None where those have said it already."""
    own = {f"{one.hazard_class} {one.category}".strip(): one for one in specific.get(ladder, [])}
    if label in own:
        return None
    if ladder == "skin" and own:
        return generic if label == "Skin Irrit. 2" else None
    if label == "Eye Dam. 1":
        # What is corrosive to skin harms the eye at the latest from the same strength on.
        corrosive = [one.low_pct or OPEN_LIMIT_PCT for one in specific.get("skin", ())
                     if one.hazard_class == "Skin Corr."]
        if own:
            return min(corrosive, default=own["Eye Irrit. 2"].high_pct or generic)
        return min([*corrosive, generic])
    return generic


def _acute(entry: HazardEntry, listed: HazardClass, slug: str, policy: Policy) -> list[Threshold]:
    """Annex I, 3.1.3.6: the mixture's ATE is 100 / sum(C / ATE), so alone C = 100 ATE / upper bound of the category."""
    route = {"0": "oral", "1": "dermal", "3": "inhalation"}[listed.h_code[2]]
    ranges = route if route != "inhalation" else _breathed(entry, slug)
    known = dict(entry.ate)
    estimate = known.get(ranges) or next(r.point for r in policy.ate_ranges
                                         if r.route == ranges and r.category == listed.category)
    cutoff = 1.0 if listed.category == "4" else 0.1
    made = []
    for one in policy.ate_ranges:
        if one.route == ranges:
            rank = int(one.category) - 1
            made.append(Threshold(f"acute-{ranges}", rank, "Acute Tox.", one.category, _ACUTE[route][rank],
                                  100.0 * estimate / one.high, cutoff, True, False, False, one.cite))
    return made


def _breathed(entry: HazardEntry, slug: str) -> str:
    listed = [route for route, _ in entry.ate if route.startswith("inhalation")]
    if listed:
        return listed[0]
    states = {form.state for form in substance(slug).forms}
    return "inhalation-dust" if states == {"solid"} else "inhalation-gas" if "gas" in states else "inhalation-vapour"


def _not_additive(slug: str) -> bool:
    return bool(groups_of(slug) & _NOT_ADDITIVE_GROUPS)


def _decisive(ordered: tuple[Threshold, ...]) -> tuple[Threshold, ...]:
    """Those that can decide for one solute alone: no worse class of the same harm begins at that strength or below."""
    lowest: dict[str, tuple[int, float]] = {}
    kept = []
    for one in ordered:
        rank, limit = lowest.get(one.ladder, (one.rank, float("inf")))
        if one.rank == rank or one.limit_pct < limit:
            kept.append(one)
        lowest[one.ladder] = (one.rank, min(limit, one.limit_pct))
    return tuple(one for one in kept if one.limit_pct <= 100.0)
