"""The hazard class of the solution as made, at its own strength, with every limit it was compared with.

Specific concentration limits first, then the generic cut-offs, the sums for skin, eye and water life, and the acute
toxicity estimate of the mixture (Regulation (EC) 1272/2008, Annex I, parts 3 and 4; 29 CFR 1910.1200, App. A). A
strength within 5 % of a limit takes the stricter class and says so: weighing, purity and density are no better known.
A stronger solution is never classed milder.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

from rules.policies import Policy
from rules.tables.hazards import HazardEntry, p_codes_for, pictograms_shown, statement
from rules.tables.load import Cite
from rules.tables.substances import substance
from rules.thresholds import SoluteThresholds, Threshold, thresholds

# Share of a limit from which the stricter class is taken.
BOUNDARY = 0.95


class Part(NamedTuple):
    """One solute of the mixture: its entry, slug, % by mass of the substance without water, and (for notes 1 and 3)
    the mass fraction of the counted metal in the substance; None has it worked out from the formula."""

    entry: HazardEntry | None
    slug: str
    mass_fraction_pct: float
    metal_fraction: float | None = None


class MadeClass(NamedTuple):
    """A class the solution has, and why. ``near``: taken because the strength lies within 5 % under the limit."""

    hazard_class: str
    category: str
    h_code: str
    because: str
    near: bool = False


class Compared(NamedTuple):
    """One limit the solution was held against: percent by mass needed, percent there, and whether it is met."""

    entry: str
    hazard_class: str
    limit_pct: float
    actual_pct: float
    met: bool
    source: Cite
    near: bool = False
    basis: str = ""


@dataclass(frozen=True, slots=True)
class MadeHazards:
    """The hazards of the made solution. ``unknown``: slugs with no classification held, never to be read as harmless.

    ``untested``: classes of a solute that are found by test only and were not carried to the solution.
    """

    policy: str
    classes: tuple[MadeClass, ...]
    compared: tuple[Compared, ...]
    unknown: tuple[str, ...]
    untested: tuple[str, ...]
    signal_word: str
    pictograms: tuple[str, ...]
    h: tuple[str, ...]
    p: tuple[str, ...]


class _Reached(NamedTuple):
    threshold: Threshold
    ratio: float
    actual_pct: float
    name: str


AnyPart: TypeAlias = Part | tuple[HazardEntry | None, str, float] | tuple[HazardEntry | None, str, float, float | None]


def classify(parts: Sequence[AnyPart], policy: Policy) -> MadeHazards:
    """Classify a solution of those solutes in water. Percentages are of the whole solution, by mass."""
    unknown: list[str] = []
    untested: list[str] = []
    compared: list[Compared] = []
    shares: dict[tuple[str, int, str, str, str], list[_Reached]] = {}
    missing_pct = 0.0
    known: list[tuple[Part, SoluteThresholds]] = []
    for given in parts:
        part = given if isinstance(given, Part) else Part(*given)
        entry, slug = part.entry, part.slug
        if slug != "water" and (entry is None or (entry.status in ("unclassed", "none") and not entry.classes)):
            unknown.append(slug)
            missing_pct += part.mass_fraction_pct
        if entry is not None:
            held = thresholds(entry, slug, policy)
            untested.extend(f"{label} of {substance(slug).name}" for label in held.untested)
            known.append((part, held))
    # Annex I, 3.1.3.6.2.3: more than 10 % of unknown toxicity shrinks the share that is known.
    diluted = (100.0 - missing_pct) / 100.0 if missing_pct > 10.0 else 1.0
    for part, held in known:
        _compare(part, held, diluted, len(known) == 1, shares, compared)
    classes = _worst(shares)
    if any(made.hazard_class in ("Skin Sens.", "Resp. Sens.") for made in classes):
        # The name of a sensitiser is printed apart only where the solution is not classed for it.
        classes = [made for made in classes if made.h_code != "EUH208"]
    classes.sort(key=lambda made: (made.h_code.startswith("EUH"), made.h_code))
    return MadeHazards(policy.name, tuple(classes), tuple(compared), tuple(dict.fromkeys(unknown)),
                       tuple(dict.fromkeys(untested)), *_dress(tuple(made[:3] for made in classes)))


def _compare(part: Part, held: SoluteThresholds, diluted: float, alone: bool,
             shares: dict[tuple[str, int, str, str, str], list[_Reached]], compared: list[Compared]) -> None:
    whole = part.mass_fraction_pct
    metal = whole * (held.metal_fraction if part.metal_fraction is None else part.metal_fraction)
    entry = part.entry.entry if part.entry else ""
    basis = part.entry.metal if part.entry else ""
    for one in held.decisive if alone else held.thresholds:
        actual = metal if one.on_metal else whole
        if actual < one.cutoff_pct:
            continue
        limit = one.limit_pct if diluted == 1.0 or not one.ladder.startswith("acute") else one.limit_pct * diluted
        ratio = actual / limit
        if not alone or ratio >= BOUNDARY:
            key = (one.ladder, one.rank, one.hazard_class, one.category, one.h_code)
            shares.setdefault(key, []).append(_Reached(one, ratio, actual, part.slug))
        if alone or one in held.decisive:
            compared.append(Compared(entry, one.label, limit, actual, ratio >= BOUNDARY, one.cite,
                                     BOUNDARY <= ratio < 1.0, basis if one.on_metal else ""))


def _worst(shares: dict[tuple[str, int, str, str, str], list[_Reached]]) -> list[MadeClass]:
    """The worst class reached of each kind of harm; single limits by the largest share, sums by the total."""
    best: dict[str, tuple[int, list[tuple[float, list[_Reached]]]]] = {}
    for (ladder, rank, *_), reached in shares.items():
        held = best.get(ladder)
        if held and held[0] < rank:
            continue
        ratio = reached[0].ratio if len(reached) == 1 else _share(reached)
        if ratio < BOUNDARY:
            continue
        if held is None or rank < held[0]:
            best[ladder] = (rank, [(ratio, reached)])
        else:
            held[1].append((ratio, reached))
    return [_made(ratio, reached) for _, classes in best.values() for ratio, reached in classes]


def _share(reached: list[_Reached]) -> float:
    """The summed shares of the limit where they add up, or the largest single one if that is more."""
    return max(sum(one.ratio for one in reached if one.threshold.additive), max(one.ratio for one in reached))


def _made(ratio: float, reached: list[_Reached]) -> MadeClass:
    largest = max(reached, key=lambda one: one.ratio)
    one = largest.threshold
    if ratio > largest.ratio:
        named = " and ".join(substance(slug).name for slug in dict.fromkeys(one.name for one in reached))
        why = f"{named} together reach {ratio:.2f} times the limit"
    else:
        kind = "specific limit" if one.specific else "generic limit"
        metal = " counted as the metal or chromate" if one.on_metal else ""
        against = (f"assumed from {one.limit_pct:.3g} % (a test decides)" if one.assumed
                   else f"against the {kind} of {one.limit_pct:.3g} %")
        why = f"{substance(largest.name).name} at {largest.actual_pct:.3g} % w/w{metal}{',' if one.assumed else ''} {against}"
    near = ratio < 1.0
    if near:
        why += "; within 5 % of the limit, so the stricter class is taken"
    return MadeClass(one.hazard_class, one.category, one.h_code, why, near)


class _Dress(NamedTuple):
    signal_word: str
    pictograms: tuple[str, ...]
    h: tuple[str, ...]
    p: tuple[str, ...]


@lru_cache(maxsize=1024)
def _dress(classes: tuple[tuple[str, str, str], ...]) -> _Dress:
    """Statements, signal word, pictograms and precautions of a set of (class, category, H code)."""
    codes = {h_code for _, _, h_code in classes}
    dropped = set()
    if "H314" in codes:
        dropped |= {"H318", "H319", "H315"}
    if "H318" in codes:
        dropped.add("H319")
    if "H410" in codes:
        dropped.add("H400")
    shown = [one for one in classes if one[2] not in dropped]
    words = [statement(h_code, hazard_class, category) for hazard_class, category, h_code in shown]
    signals = {word.signal_word for word in words}
    signal = "Danger" if "Danger" in signals else "Warning" if "Warning" in signals else ""
    h = tuple(dict.fromkeys(h_code for _, _, h_code in shown))
    p = {code for hazard_class, category, h_code in shown for code in p_codes_for(hazard_class, category, h_code)}
    return _Dress(signal, pictograms_shown((w.pictogram for w in words if w.pictogram), h), h, tuple(sorted(p)))
