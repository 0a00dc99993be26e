"""Densities of solids near room temperature."""

from functools import lru_cache

from rules.tables.density import Density
from rules.tables.load import cite, rows


@lru_cache(maxsize=1)
def _solids() -> dict[tuple[str, str], Density]:
    read = rows("solid_densities", key=("substance", "label"), filled=("label", "density_g_per_cm3"),
                numeric={"density_g_per_cm3": (0.5, 23.0)})
    return {(r["substance"], r["label"]): Density(float(r["density_g_per_cm3"]), cite(r["source_id"], r["locator"]))
            for r in read}


def solid_density(slug: str, label: str) -> Density | None:
    """Density of that form as a solid, g/cm3; None when not held."""
    return _solids().get((slug, label))
