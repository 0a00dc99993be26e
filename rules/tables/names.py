"""One spelling for the many ways of writing a chemical name, so that two people's spellings meet.

Only differences that cannot change the substance are removed: case, spaces, hyphens and quotes, sulph/sulf and the
like, the way an oxidation state is written. "Nitrate" and "nitrite" stay as far apart as they are.
"""

import re
import unicodedata
from functools import lru_cache

_ROMAN = {"i": "1", "ii": "2", "iii": "3", "iv": "4", "v": "5", "vi": "6", "vii": "7"}
_LATIN = {
    "cuprous": "copper#1", "cupric": "copper#2", "ferrous": "iron#2", "ferric": "iron#3", "stannous": "tin#2",
    "stannic": "tin#4", "mercurous": "mercury#1", "mercuric": "mercury#2", "plumbous": "lead#2", "plumbic": "lead#4",
    "cobaltous": "cobalt#2", "cobaltic": "cobalt#3", "manganous": "manganese#2", "manganic": "manganese#3",
    "nickelous": "nickel#2", "chromous": "chromium#2", "cerous": "cerium#3", "ceric": "cerium#4",
    "argentous": "silver#1", "auric": "gold#3", "titanous": "titanium#3", "thallous": "thallium#1",
}
_SYMBOL = {
    "ag": "silver", "as": "arsenic", "au": "gold", "bi": "bismuth", "ce": "cerium", "co": "cobalt", "cr": "chromium",
    "cu": "copper", "fe": "iron", "hg": "mercury", "mn": "manganese", "ni": "nickel", "pb": "lead", "sb": "antimony",
    "sn": "tin", "ti": "titanium", "tl": "thallium", "v": "vanadium", "zn": "zinc",
}
_SPELLING = (("sulph", "sulf"), ("aluminum", "aluminium"), ("cesium", "caesium"), ("caaesium", "caesium"),
             ("orthophosph", "phosph"), ("glycerine", "glycerin"))
_GREEK = str.maketrans({"α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "ω": "omega", "’": None,
                        "´": None, "′": None})
# Oxidation states written after acids and anions whose trivial name says the same ("sulfuric(VI) acid", "nitrate(V)"),
# and the older additive names with every oxygen counted ("trioxonitrate(V)"). IUPAC Red Book 2005, IR-5 and IR-8.
_STATED = (
    ("disulfate#4", "metabisulfite"), ("sulfate#6", "sulfate"), ("sulfate#4", "sulfite"), ("nitrate#5", "nitrate"),
    ("nitrate#3", "nitrite"), ("chlorate#1", "hypochlorite"), ("chlorate#3", "chlorite"), ("chlorate#5", "chlorate"),
    ("chlorate#7", "perchlorate"), ("bromate#5", "bromate"), ("iodate#5", "iodate"), ("iodate#7", "periodate"),
    ("manganate#7", "permanganate"), ("dichromate#6", "dichromate"), ("chromate#6", "chromate"),
    ("phosphate#5", "phosphate"), ("carbonate#4", "carbonate"), ("vanadate#5", "vanadate"), ("molybdate#6", "molybdate"),
    ("tungstate#6", "tungstate"), ("silicate#4", "silicate"), ("borate#3", "borate"), ("sulfuric#6acid", "sulfuricacid"),
    ("sulfuric#4acid", "sulfurousacid"), ("nitric#5acid", "nitricacid"), ("nitric#3acid", "nitrousacid"),
    ("phosphoric#5acid", "phosphoricacid"), ("chloric#7acid", "perchloricacid"), ("carbonic#4acid", "carbonicacid"),
)
_ACID_OF = (("sulfateacid", "sulfuricacid"), ("sulfiteacid", "sulfurousacid"), ("nitrateacid", "nitricacid"),
            ("nitriteacid", "nitrousacid"), ("phosphateacid", "phosphoricacid"), ("carbonateacid", "carbonicacid"))
_OXYGENS = re.compile(r"(?:di|tri|tetra|hepta)oxo(?=(?:sulf|nitr|carbon|phosph|manganate|dichrom|chrom|chlor|iod|brom)[a-z]*#)")
_OTHER = re.compile(r"[^a-z0-9()+]+")
_STATE = re.compile(r"\(\s*(i{1,3}|iv|vi{0,2}|[1-7])\s*\+?\s*\)|(?<=\s)(i{1,3}|iv|vi{0,2})(?=\s|$)|(?<=\s)([1-7])\+")
_BRACKETS = re.compile(r"[()+]+")

_ENDINGS = frozenset({"solution", "solutions", "soln", "aqueous", "aq", "crystals", "crystal", "powder", "powdered",
                      "pellets", "granules", "flakes", "solid", "reagent"})


def key_of(words: str) -> str:
    """The spelling names are compared by: ``Copper (II) sulphate`` and ``cupric sulfate`` give the same key."""
    text = words.lower()
    if not text.isascii():
        text = unicodedata.normalize("NFKD", words.casefold())
        text = "".join(c for c in text.translate(_GREEK) if not unicodedata.combining(c))
    if not text.isalnum():
        text = _OTHER.sub(" ", text.replace("'", "").replace("`", ""))
    for spelling, ours in _SPELLING:
        if spelling in text:
            text = text.replace(spelling, ours)
    if "(" in text or "+" in text or " i" in text or " v" in text:
        text = _BRACKETS.sub(" ", _STATE.sub(_state, text))
    return _joined(text.split())


def _state(found: re.Match[str]) -> str:
    written = found[1] or found[2] or found[3]
    return f" #{_ROMAN.get(written, written)} "


def _joined(parts: list[str]) -> str:
    for at, part in enumerate(parts):
        if part in _LATIN:
            parts[at] = _LATIN[part]
        elif part in _SYMBOL and at + 1 < len(parts) and parts[at + 1][0] == "#":
            parts[at] = _SYMBOL[part]
    return "".join(parts)


def _plainly(key: str) -> str:
    """A key with the states dropped that its trivial name says already; "sulfate(IV)" becomes sulfite, never sulfate."""
    bare = _OXYGENS.sub("", key)
    for stated, plain in _STATED:
        bare = bare.replace(stated, plain)
    for salt, acid in _ACID_OF if bare != key else ():
        bare = bare.replace(salt, acid)
    return bare


@lru_cache(maxsize=4096)
def keys_to_try(words: str) -> tuple[str, ...]:
    """The keys to look a typed name up by, best first: as written, without "solution" and the like, in the singular.

    "salt" is dropped only after two other words: "copper salt" is not copper.
    """
    tried = [key_of(words)]
    parts = words.lower().split()
    while len(parts) > 1 and (parts[-1].strip(".,") in _ENDINGS or (parts[-1] in ("salt", "salts") and len(parts) > 2)):
        parts = parts[:-1]
        tried.append(key_of(" ".join(parts)))
    while len(parts) > 1 and parts[0] in ("aqueous", "aq.", "powdered"):
        parts = parts[1:]
        tried.append(key_of(" ".join(parts)))
    tried += [plain for key in tried if "#" in key and (plain := _plainly(key)) != key]
    tried += [key[:-1] for key in tried if key.endswith("s") and not key.endswith("ss")]
    return tuple(dict.fromkeys(key for key in tried if key))
