"""Hazard classification of the substances as listed in law, and the wording that goes with each class.

An entry joins the harmonised row (Regulation (EC) 1272/2008, Annex VI) with what suppliers add beside it; each class
carries its own citation. No entry, or an entry without classes, never means "not hazardous"; nor does a
published sheet that gives none.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from grammar.formula import composition
from rules.tables.load import Cite, TableError, cite, number, rows, source
from rules.tables.masses import atomic_weights, molar_mass
from rules.tables.substances import substance

STATUSES = ("harmonised", "group", "published", "supplier", "unclassed", "none")
_PERCENT = (0.0, 100.0)


@dataclass(frozen=True, slots=True)
class HazardClass:
    """One class of an entry. ``minimum``: Annex VI marks it as the least that applies (shown there by a star)."""

    hazard_class: str
    category: str
    h_code: str
    minimum: bool
    cite: Cite

    @property
    def label(self) -> str:
        """Class and category as printed: "Skin Corr. 1B"."""
        return f"{self.hazard_class} {self.category}".strip()


@dataclass(frozen=True, slots=True)
class Limit:
    """A specific concentration limit, % by mass; ``high_pct`` None is open upwards, ``low_pct`` None downwards."""

    hazard_class: str
    category: str
    h_code: str
    low_pct: float | None
    high_pct: float | None
    low_included: bool
    high_included: bool
    cite: Cite


@dataclass(frozen=True, slots=True, eq=False)
class HazardEntry:
    """What is listed for one substance (or one form of it). Compared by identity: each is made once.

    ``status``: harmonised; group (under a group entry); published (by a named body or supplier, whose text was read);
    supplier (as suppliers usually do, remembered); unclassed (a published text that was read gives no class); none.
    ``ate``: (route, value) with oral and dermal in mg/kg, gas in ppm, vapour and dust in mg/L. ``metal``: symbol (or
    "CrO4") that ``metal_fraction`` counts, when notes 1 or 3 put the limits on it.
    """

    entry: str
    status: str
    index_number: str
    notes: frozenset[str]
    supplemental: tuple[str, ...]
    classes: tuple[HazardClass, ...]
    limits: tuple[Limit, ...]
    ate: tuple[tuple[str, float], ...]
    m_acute: float
    m_chronic: float
    cite: Cite
    metal: str = ""

    @property
    def remembered(self) -> tuple[str, ...]:
        """The H codes that rest on memory: they add caution, and never that a class is absent."""
        return tuple(dict.fromkeys(c.h_code for c in self.classes if source(c.cite.source_id).kind == "memory"))


@dataclass(frozen=True, slots=True)
class Statement:
    """A hazard statement: its text, pictogram code and signal word (either may be empty)."""

    code: str
    text: str
    pictogram: str
    signal_word: str
    cite: Cite


@lru_cache(maxsize=1)
def _classes() -> dict[str, tuple[HazardClass, ...]]:
    found: dict[str, list[HazardClass]] = {}
    for r in rows("hazard_classes", key=("entry", "hazard_class", "category", "h_code"), filled=("hazard_class",),
                  choices={"minimum": frozenset({"yes"})}):
        one = HazardClass(r["hazard_class"], r["category"], r["h_code"], r["minimum"] == "yes",
                          cite(r["source_id"], r["locator"]))
        found.setdefault(r["entry"], []).append(one)
    return {entry: tuple(classes) for entry, classes in found.items()}


@lru_cache(maxsize=1)
def _limits() -> dict[str, tuple[Limit, ...]]:
    found: dict[str, list[Limit]] = {}
    yes_no = frozenset({"yes", "no"})
    for r in rows("hazard_limits", key=("entry", "hazard_class", "category", "h_code", "low_pct"),
                  numeric={"low_pct": _PERCENT, "high_pct": _PERCENT},
                  choices={"low_included": yes_no, "high_included": yes_no}):
        one = Limit(r["hazard_class"], r["category"], r["h_code"], number(r["low_pct"]), number(r["high_pct"]),
                    r["low_included"] == "yes", r["high_included"] == "yes", cite(r["source_id"], r["locator"]))
        found.setdefault(r["entry"], []).append(one)
    return {entry: tuple(limits) for entry, limits in found.items()}


@lru_cache(maxsize=1)
def _metal_basis() -> dict[str, str]:
    return {r["entry"]: r["element"] for r in rows("metal_basis", key=("entry",), filled=("element",))}


@lru_cache(maxsize=1)
def _rows() -> dict[tuple[str, str], list[dict[str, str]]]:
    found: dict[tuple[str, str], list[dict[str, str]]] = {}
    for r in rows("hazard_entries", key=("entry", "substance", "label"), filled=("substance", "status"),
                  numeric={"m_factor_acute": (1, 1e6), "m_factor_chronic": (1, 1e6)},
                  choices={"status": frozenset(STATUSES)}):
        _check(r)
        found.setdefault((r["substance"], r["label"]), []).append(r)
    for listed in found.values():
        listed.sort(key=lambda r: STATUSES.index(r["status"]))
    return found


def _check(row: dict[str, str]) -> None:
    """A published entry names a text that was read, and one of the two: classes, or none."""
    read, classed = source(row["source_id"]).kind not in ("memory", "practice"), bool(_classes().get(row["entry"]))
    if row["status"] in ("published", "unclassed") and (not read or classed != (row["status"] == "published")):
        raise TableError("hazard_entries.csv", 0, "status", f"{row['entry']} is {row['status']} without a text that was read, or "
                         "its classes say otherwise", "Name the source, or give the status its classes have.")


def _any_form(slug: str) -> list[dict[str, str]]:
    return [r for (listed, _), found in _rows().items() if listed == slug for r in found]


@lru_cache(maxsize=2048)
def hazard_entry(slug: str, label: str = "") -> HazardEntry | None:
    """What is listed for that form, else for the substance, else for all its forms together; None when nothing is."""
    listed = _rows().get((slug, label)) or _rows().get((slug, "")) or _any_form(slug)
    if not listed:
        return None
    first = listed[0]
    classes: dict[tuple[str, str, str], HazardClass] = {}
    limits: list[Limit] = []
    for r in listed:
        for one in _classes().get(r["entry"], ()):
            classes.setdefault((one.hazard_class, one.category, one.h_code), one)
        limits.extend(_limits().get(r["entry"], ()))
    entry = first["entry"]
    notes = frozenset(note for r in listed for note in r["notes"].split())
    supplemental = tuple(dict.fromkeys(code for r in listed for code in r["supplemental"].split()))
    return HazardEntry(entry, first["status"], first["index_number"], notes, supplemental, tuple(classes.values()),
                       tuple(limits), _ate(listed), *_factors(listed), cite(first["source_id"], first["locator"]),
                       _metal_basis().get(entry, ""))


def _factors(listed: list[dict[str, str]]) -> tuple[float, float]:
    acute = max((float(r["m_factor_acute"] or 1) for r in listed), default=1.0)
    chronic = max((float(r["m_factor_chronic"] or 1) for r in listed), default=1.0)
    return acute, chronic


def _ate(listed: list[dict[str, str]]) -> tuple[tuple[str, float], ...]:
    found: dict[str, float] = {}
    for r in listed:
        for part in filter(None, (p.strip() for p in r["ate"].split(";"))):
            route, value = part.split()
            found.setdefault(route, float(value))
    return tuple(found.items())


def metal_fraction(entry: HazardEntry, slug: str) -> float:
    """Mass of the counted metal (or chromate ion) per mass of the substance without water; 1 when none is counted."""
    if not entry.metal:
        return 1.0
    formula = substance(slug).formula
    mass, _ = molar_mass(formula)
    if entry.metal == "CrO4":
        return composition(formula)["Cr"] * molar_mass("CrO4")[0] / mass
    return composition(formula)[entry.metal] * atomic_weights()[entry.metal][0] / mass


@lru_cache(maxsize=1)
def _statements() -> dict[tuple[str, str, str], Statement]:
    found: dict[tuple[str, str, str], Statement] = {}
    for r in rows("h_statements", key=("code", "hazard_class", "category"), filled=("text",),
                  choices={"signal_word": frozenset({"Danger", "Warning"})}):
        made = Statement(r["code"], r["text"], r["pictogram"], r["signal_word"], cite(r["source_id"], r["locator"]))
        found[r["code"], r["hazard_class"], r["category"]] = made
        found.setdefault((r["code"], "", ""), made)
    return found


def statement(h_code: str, hazard_class: str = "", category: str = "") -> Statement:
    """The hazard statement of that code; class and category decide the signal word where one code serves several.

    Raises ``KeyError`` for a code the tables do not hold.
    """
    table = _statements()
    return table.get((h_code, hazard_class, category)) or table[h_code, "", ""]


@lru_cache(maxsize=1)
def _precautions() -> dict[str, str]:
    return {r["code"]: r["text"] for r in rows("p_statements", key=("code",), filled=("text",))}


def precaution(p_code: str) -> str:
    """The wording of a precautionary statement, joined codes ("P301+P316") included. Raises ``KeyError``."""
    table = _precautions()
    if p_code in table:
        return table[p_code]
    return " ".join(table[code] for code in p_code.split("+"))


@lru_cache(maxsize=1)
def _p_for_class() -> dict[tuple[str, str, str], tuple[str, ...]]:
    return {(r["hazard_class"], r["category"], r["h_code"]): tuple(r["p_codes"].split())
            for r in rows("p_for_class", key=("hazard_class", "category", "h_code"), filled=("p_codes",))}


@lru_cache(maxsize=512)
def p_codes_for(hazard_class: str, category: str, h_code: str = "") -> tuple[str, ...]:
    """The precautions that go with a class; empty when the tables list none."""
    table = _p_for_class()
    return table.get((hazard_class, category, h_code)) or table.get((hazard_class, category, ""), ())


@lru_cache(maxsize=1)
def _pictograms() -> dict[str, tuple[str, str]]:
    return {r["code"]: (r["name"], r["meaning"]) for r in rows("pictograms", key=("code",), filled=("name",))}


def pictogram(code: str) -> tuple[str, str]:
    """(name, meaning) of a pictogram code such as GHS05. Raises ``KeyError``."""
    return _pictograms()[code]


def pictograms_shown(codes: Iterable[str], h_codes: Iterable[str]) -> tuple[str, ...]:
    """The pictograms left after precedence (Regulation (EC) 1272/2008, Article 26), sorted.

    The skull replaces the exclamation mark for acute harm; corrosion replaces it for skin and eye irritation; the
    health-hazard sign for respiratory sensitisation replaces it for skin sensitisation and irritation.
    """
    shown, stated = set(codes), set(h_codes)
    exclaimed = {h for h in stated if h[:4] in ("H302", "H312", "H332", "H315", "H319", "H317", "H335", "H336")}
    if "GHS06" in shown:
        exclaimed -= {"H302", "H312", "H332"}
    if "GHS05" in shown and stated & {"H314", "H318"}:
        exclaimed -= {"H315", "H319"}
    if "H334" in stated:
        exclaimed -= {"H317", "H315", "H319"}
    if not exclaimed:
        shown.discard("GHS07")
    return tuple(sorted(shown))
