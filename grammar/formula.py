"""Chemical formulas: composition, water of crystallisation in every notation, and repair of common slips.

Raw text never reaches a formula library; ``read_formula`` accepts only what can be read in one way.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from grammar.hydrates import HYDRATE_WORD_PATTERN as HYDRATE_WORD_PATTERN
from grammar.hydrates import WATER_PATTERN as WATER_PATTERN
from grammar.hydrates import hydrate_water as hydrate_water
from grammar.hydrates import water_count


def _split(text: str) -> list[str]:
    return text.split()


ELEMENTS = frozenset(
    _split(
        "H He Li Be B C N O F Ne Na Mg Al Si P S Cl Ar K Ca Sc Ti V Cr Mn Fe Co Ni Cu Zn Ga Ge As Se Br "
        "Kr Rb Sr Y Zr Nb Mo Tc Ru Rh Pd Ag Cd In Sn Sb Te I Xe Cs Ba La Ce Pr Nd Pm Sm Eu Gd Tb Dy Ho "
        "Er Tm Yb Lu Hf Ta W Re Os Ir Pt Au Hg Tl Pb Bi Po At Rn Fr Ra Ac Th Pa U Np Pu Am Cm Bk Cf Es "
        "Fm Md No Lr Rf Db Sg Bh Hs Mt Ds Rg Cn Nh Fl Mc Lv Ts Og"
    )
)
_BY_LOWER = {e.lower(): e for e in ELEMENTS}

# Ions used to read a formula typed in the wrong case: a cation followed by an anion, nothing else.
_CATIONS = "NH4 Na Li K Ag H Ba Ca Mg Sr Cu Zn Fe Ni Co Pb Mn Cr Al Sn Hg Cd Cs Rb Bi Ce"
_ANIONS = (
    "HSO4 HSO3 HCO3 H2PO4 HPO4 S2O3 S2O8 S2O5 Cr2O7 CrO4 MnO4 ClO3 ClO4 ClO IO3 BrO3 C2O4 CH3COO C2H3O2 B4O7"
    " MoO4 VO3 SiO3 SO4 SO3 NO3 NO2 CO3 PO4 SCN CNS CN OH Cl Br I F S O"
)
_ION = re.compile(
    rf"(?:\((?P<bc>{'|'.join(_CATIONS.split())})\)(?P<bcn>\d+)|(?P<c>{'|'.join(_CATIONS.split())})(?P<cn>\d*))"
    rf"(?:\((?P<ba>{'|'.join(_ANIONS.split())})\)(?P<ban>\d+)|(?P<a>{'|'.join(_ANIONS.split())})(?P<an>\d*))",
    re.IGNORECASE,
)
_ION_CASE = {ion.lower(): ion for ion in (_CATIONS + " " + _ANIONS).split()}
# Letters only ("nacl") could be an ordinary word, so only these pairs are read in any case.
_LETTER_FORMULAS = {
    f"{c}{a}".lower(): f"{c}{a}"
    for c in _split("H Na K Li Ag NH4 Cs Rb")
    for a in ["Cl", "Br", "I", "F", "OH", "CN", "SCN"]
    if a + c != "OHH"
}
_LETTER_FORMULAS.update({x.lower(): x for x in ("CuO", "ZnO", "MgO", "CaO", "PbO", "NaClO", "NaOCl", "CuS", "ZnS")})

_TOKEN = re.compile(r"([A-Z][a-z]?)(\d*)|([(\[])|([)\]])(\d*)")
# With a separator the count may be a decimal ("CaSO4.0.5H2O"); without one it is whole digits, perhaps glued to
# the salt's own count. "CuSO4.5H2O" is thus never CuSO and 4.5 water.
_WATER_TAIL = re.compile(
    r"(?P<base>.+?)"
    r"(?:\s?(?P<sep>[.*+,-]|x(?=\s?\d|[Hh]2)|\s)\s?(?P<n>\d+\.\d+|(?:\d )?\d+/\d+|\d*|[xXnN])|(?P<glued>\d*))"
    r"\s?\(?[Hh]2[Oo0]\)?(?P<after>\d*)"
)
BODY_PATTERN = r"[A-Za-z(\[][A-Za-z0-9()\[\]]{0,60}"
_SEPARATOR = r"(?:\s?[.*+,]\s?|\s?x\s?(?=\d)|\s(?=\d))"
# A formula that begins with a bracket closes it before anything else: "(NaCl.2H2O)" is a formula in brackets.
CLOSED = r"(?!\([A-Za-z0-9]*(?:[^A-Za-z0-9()\[\]]|$))"
_NO_UNIT = CLOSED + r"(?!(?:[mun]?[MLN]|[mk]?g)\b)(?=[a-z]*[A-Z0-9(\[])"
HYDRATE_FORMULA_PATTERN = rf"{_NO_UNIT}{BODY_PATTERN}{_SEPARATOR}{WATER_PATTERN}"

# Ions with their charge ("Cl-", "Ca2+", "PO43-"), so that the charge is never read as a count.
ION_PATTERN = (
    r"(?:(?:H2PO4|HSO4|HCO3|CH3COO|NO3|NO2|MnO4|ClO4|ClO3|SCN|CN|OH|Cl|Br|I|F)\^?-|(?:NH4|Na|Li|Ag|K|H)\^?\+"
    r"|(?:HPO4|SO4|SO3|CO3|S2O3|C2O4|Cr2O7|CrO4|S)\^?2-|PO4\^?3-|(?:Ca|Mg|Ba|Sr|Cu|Zn|Fe|Ni|Co|Mn|Pb|Hg|Cd|Sn)\^?2\+"
    r"|(?:Fe|Al|Cr|Bi|Ce)\^?3\+)(?![\w+-])"
)


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula without its water, the water as typed ("5", "0.5", "x", or None), and what was repaired."""

    text: str
    water: str | None = None
    note: str | None = None


@lru_cache(maxsize=4096)
def composition(formula: str) -> dict[str, int]:
    """Count of each element in one formula unit, water included; ValueError when it is no formula.

    Reads brackets, square brackets and adducts joined by a dot. Half waters are refused (no whole count).
    The dict is shared by all callers: do not change it.
    """
    total: dict[str, int] = {}
    for part in formula.replace("·", ".").split("."):
        times = re.match(r"\d+", part)
        factor = int(times[0]) if times else 1
        for element, count in _plain(part[times.end() :] if times else part).items():
            total[element] = total.get(element, 0) + factor * count
    return total


def _plain(part: str) -> dict[str, int]:
    stack: list[tuple[str, dict[str, int]]] = [("", {})]
    position = 0
    while position < len(part):
        token = _TOKEN.match(part, position)
        if token is None:
            raise ValueError(f"no formula: {part!r}")
        position = token.end()
        if token[1]:
            symbol, digits = token[1], token[2]
            if symbol not in ELEMENTS:
                raise ValueError(f"no element {symbol!r} in {part!r}")
            if digits.startswith("0") or len(digits) > 3:
                raise ValueError(f"no count {digits!r} in {part!r}")
            stack[-1][1][symbol] = stack[-1][1].get(symbol, 0) + int(digits or 1)
        elif token[3]:
            stack.append((token[3], {}))
        else:
            opened, inner = stack.pop()
            if not stack or (opened, token[4]) not in (("(", ")"), ("[", "]")):
                raise ValueError(f"brackets do not match in {part!r}")
            digits = token[5]
            if digits.startswith("0") or len(digits) > 2:
                raise ValueError(f"no count {digits!r} in {part!r}")
            for element, count in inner.items():
                stack[-1][1][element] = stack[-1][1].get(element, 0) + count * int(digits or 1)
    if len(stack) != 1 or not stack[0][1]:
        raise ValueError(f"no formula: {part!r}")
    return stack[0][1]


def _is_formula(text: str) -> bool:
    try:
        return max(composition(text).values()) <= 60
    except ValueError:
        return False


def _zeros(text: str) -> str:
    """Put O where 0 was typed: a count cannot start with 0 ("H2S04"), and "Cr207" is no count."""
    text = re.sub(r"(?<=[A-Za-z)])0(?=\d|$|[)A-Z])", "O", text)
    return re.sub(r"(?<=[A-Za-z]\d)0(?=\d)", "O", text)


def _recase(text: str) -> str | None:
    """A salt formula typed in the wrong case ("kmno4", "CUSO4") in its right case, None when it is no such salt."""
    if text.isalpha():
        return _LETTER_FORMULAS.get(text.lower())
    pair = _ION.fullmatch(text)
    if pair is None:
        return None
    cation, anion = pair["bc"] or pair["c"], pair["ba"] or pair["a"]
    front = _ION_CASE[cation.lower()]
    back = _ION_CASE[anion.lower()]
    left = f"({front}){pair['bcn']}" if pair["bc"] else front + (pair["cn"] or "")
    right = f"({back}){pair['ban']}" if pair["ba"] else back + (pair["an"] or "")
    return left + right


@lru_cache(maxsize=4096)
def read_formula(text: str) -> Formula | None:
    """Read one typed formula, hydrate tail included; None when the text is no formula or has two readings."""
    if not text or len(text) > 80 or not any(c.isalpha() for c in text):
        return None
    if re.fullmatch(r"\([^()]*\)", text):
        text = text[1:-1]
    tail = _WATER_TAIL.fullmatch(text)
    if tail and not _self_contained(text):
        return _with_water(tail, text)
    base, note = _base(text)
    return Formula(base, None, note) if base else None


def _self_contained(text: str) -> bool:
    return text.upper() in ("H2O", "H20")


def _with_water(tail: re.Match[str], text: str) -> Formula | None:
    base_text, note = tail["base"], None
    if "H20" in text.upper():
        note = f"{text} read with O for 0"
    if tail["sep"] is None:
        if tail["after"] and text.endswith(f"){tail['after']}"):
            base_text, count = base_text + tail["glued"], tail["after"]
        elif tail["glued"] and not tail["after"]:
            return _lost_dot(base_text + tail["glued"], text)
        else:
            return None
    elif tail["after"]:
        return None
    else:
        count = "x" if tail["sep"] == "x" and not tail["n"] else tail["n"]
    base, base_note = _base(base_text)
    if base is None:
        return None
    water = count.lower().replace("n", "x") or "1"
    if "/" in water:
        read = water_count(water)
        if read is None:
            return None
        water = read
    return Formula(base, water, base_note or note)


def _lost_dot(digits_end: str, text: str) -> Formula | None:
    """ "Na2HPO412H2O": give the water as many of the glued digits as leave a whole salt; one reading or none."""
    run = re.search(r"\d+$", digits_end)
    assert run is not None
    stem, digits = digits_end[: run.start()], run[0]
    found: list[tuple[str, str]] = []
    for cut in range(len(digits)):
        kept, water = digits[:cut], digits[cut:]
        if water.startswith("0") or not 1 <= int(water) <= 24:
            continue
        salt = _recase(stem + kept) or (_base(stem + kept)[0] if cut else None)
        whole = _ION.fullmatch(salt or "")
        if salt and whole and kept != "1" and not re.search(r"[A-Za-z]\d1$", salt) and _charges_close(salt):
            found.append((salt, water))
    if len(found) != 1:
        return None
    return Formula(found[0][0], found[0][1], f"{text} read as {found[0][0]}.{found[0][1]}H2O")


_CHARGE: dict[str, tuple[int, ...]] = {
    "Na": (1,),
    "K": (1,),
    "Li": (1,),
    "Ag": (1,),
    "H": (1,),
    "NH4": (1,),
    "Cs": (1,),
    "Rb": (1,),
}
_CHARGE |= dict.fromkeys(_split("Ba Ca Mg Sr Zn Ni Cd Pb"), (2,)) | {
    "Al": (3,),
    "Bi": (3,),
    "Ce": (3, 4),
}
_CHARGE |= {"Cu": (1, 2), "Fe": (2, 3), "Co": (2, 3), "Mn": (2,), "Cr": (2, 3), "Sn": (2, 4), "Hg": (1, 2)}
_DOUBLE = _split("SO4 SO3 CO3 S2O3 S2O8 S2O5 CrO4 Cr2O7 HPO4 C2O4 B4O7 MoO4 SiO3 S O")


def _charges_close(salt: str) -> bool:
    pair = _ION.fullmatch(salt)
    assert pair is not None
    cation, anion = _ION_CASE[(pair["bc"] or pair["c"]).lower()], _ION_CASE[(pair["ba"] or pair["a"]).lower()]
    cations, anions = int(pair["bcn"] or pair["cn"] or 1), int(pair["ban"] or pair["an"] or 1)
    negative = 3 if anion == "PO4" else 2 if anion in _DOUBLE else 1
    return any(charge * cations == negative * anions for charge in _CHARGE[cation])


def _base(text: str) -> tuple[str | None, str | None]:
    """The formula itself in its right case, and what was repaired."""
    repaired = "H2O" if text.upper() == "H20" else _zeros(text)
    note = f"{text} read as {repaired}" if repaired != text else None
    body = repaired[1:-1] if repaired[:1] == "[" and repaired[-1:] == "]" and "]" not in repaired[1:-1] else repaired
    salt = _recase(body)
    if salt and salt != body and (body.isupper() or body.islower() or not _is_formula(body)):
        return salt, f"{text} read as {salt}"
    if salt == body and salt is not None:
        return salt, note
    if not _is_formula(body):
        return None, None
    if body.isalpha() and not _lettered(body):
        return None, None
    return body, note


def _lettered(text: str) -> bool:
    """Letters only: a formula such as NaCl or KSCN needs a small letter after a capital; PBS or KHP does not count."""
    return (bool(re.search(r"[A-Z][a-z]", text)) and (len(text) > 2 or text in ELEMENTS)) or text in ("CO", "NO")
