"""How far volumetric ware grows with temperature."""

from functools import lru_cache

from rules.tables.load import Cite, cite, rows


@lru_cache(maxsize=1)
def _coefficients() -> dict[str, tuple[float, Cite]]:
    read = rows("expansion", key=("material",), filled=("volumetric_per_K",), numeric={"volumetric_per_K": (1e-7, 1e-3)})
    return {r["material"]: (float(r["volumetric_per_K"]), cite(r["source_id"], r["locator"])) for r in read}


def glass_expansion(material: str = "borosilicate glass 3.3") -> tuple[float, Cite]:
    """Relative change of the volume held per K, and its source. Raises ``KeyError`` for glass not tabulated."""
    return _coefficients()[material]
