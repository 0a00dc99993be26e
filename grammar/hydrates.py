"""Water of crystallisation in words and in every notation of the dot: "pentahydrate", "5-water", "x 5 H2O", "½H2O"."""

import re
from decimal import Decimal

WATER_PATTERN = r"(?:\d+\.\d+|(?:\d )?\d+/\d+|\d{1,2}|[xXnN])?\s?[Hh]2[Oo0](?![A-Za-z0-9])"
_COUNTS = ["mono", "di", "tri", "tetra", "penta", "hexa", "hepta", "octa", "nona", "deca", "undeca", "dodeca"]
PREFIXES = {name: str(n) for n, name in enumerate(_COUNTS, 1)}
PREFIXES |= {"hemi": "0.5", "sesqui": "1.5", "octadeca": "18", "hexadeca": "16", "icosa": "20", "deka": "10"}
PREFIXES |= {"hemipenta": "2.5", "hemitri": "1.5", "hemihepta": "3.5"}
PREFIXES |= {"sept": "7", "septa": "7", "sexa": "6", "nonahydra": "9", "tetradeca": "14", "pentadeca": "15"}


def water_count(number: str) -> str | None:
    """ "5", "1/2" and "2 1/2" as the water count they stand for."""
    whole, _, part = number.rpartition(" ")
    top, _, below = part.partition("/")
    if not below:
        return top
    return str(Decimal(whole or 0) + Decimal(top) / Decimal(below)) if int(below) else None


def hydrate_water(words: str) -> str | None:
    """The water named by words: "pentahydrate", "5-hydrate", "6 water", "hydrated 6", "anhydrous", "5H2O"."""
    low = words.lower().strip(" -.,+*").replace("-", " ")
    if low.startswith(("anh", "dried", "water free", "non hydrated", "unhydrated")):
        return "0"
    if low.startswith("variable") or low == "hydrated":
        return "x"
    number = re.search(r"\d+\.\d+|(?:\d )?\d+/\d+|\d+", low.replace("h2o", "").replace("h20", ""))
    if number:
        if number[0].startswith("0") and not re.fullmatch(r"0\.\d+", number[0]):
            return None
        return water_count(number[0])
    if low.endswith(("h2o", "h20")):
        return "x" if low[:1] in "xn" else "1"
    prefix = low.replace(" ", "").removesuffix("s").removesuffix("hydrate").removesuffix("hydrated")
    return PREFIXES.get(prefix)


HYDRATE_WORD_PATTERN = (
    r"-?(?i:(?:"
    + "|".join(sorted(PREFIXES, key=len, reverse=True))
    + r")[\s-]?hydrated?|\d{1,2}(?:\.\d)?[\s-]?(?:hydrate|water|aq)"
    r"|hydrated\s\d{1,2}(?![\w.,]|\s?(?:[mu]?[lL]|[mu]?M|m?g|%|[cd]m3)\b)|hydrated(?!\s(?:lime|alumina))"
    r"|anhydrous|anhyd\.?|anhydr\.|anh\."
    r"|variable\shydrate|water[\s-]free)(?![A-Za-z0-9])"
)
