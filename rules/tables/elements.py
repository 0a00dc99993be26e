"""Elements by symbol or name, for strengths counted as an element ("100 mg/L as Cu", "1000 ppm iron")."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, rows

_ALSO = {"aluminum": "Al", "cesium": "Cs", "sulphur": "S", "phosphorous": "P"}


@dataclass(frozen=True, slots=True)
class Element:
    """One element: symbol, name and standard atomic weight in g/mol."""

    symbol: str
    name: str
    weight: float
    cite: Cite


@lru_cache(maxsize=1)
def _elements() -> dict[str, Element]:
    found: dict[str, Element] = {}
    for r in rows("elements", key=("symbol",), filled=("name", "standard_atomic_weight")):
        element = Element(
            r["symbol"], r["name"].lower(), float(r["standard_atomic_weight"]), cite(r["source_id"], r["locator"])
        )
        found[r["symbol"]] = element
        found[element.name] = element
    return found | {name: found[symbol] for name, symbol in _ALSO.items()}


def element(word: str) -> Element | None:
    """The element of that symbol (case as written, charges dropped: "Cu2+", "Fe3+") or name; None where it is none."""
    bare = word.strip().rstrip("0123456789+-−⁺⁻²³").strip()
    return _elements().get(bare) or _elements().get(bare.lower())
