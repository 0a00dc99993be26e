"""Densities of pure liquids at 20 degC, for what is measured by volume."""

from functools import lru_cache

from rules.tables.density import Density
from rules.tables.load import cite, rows


@lru_cache(maxsize=1)
def _liquids() -> dict[str, Density]:
    read = rows("liquids", key=("substance",), filled=("density_g_per_mL", "kind"),
                numeric={"density_g_per_mL": (0.5, 4.0), "temperature_degC": (20, 20)},
                choices={"kind": frozenset({"evaluated", "single-source", "disputed"})})
    return {r["substance"]: Density(float(r["density_g_per_mL"]), cite(r["source_id"], r["locator"])) for r in read}


def liquid_density(slug: str) -> Density | None:
    """Density of the pure liquid at 20 degC; None when not held."""
    return _liquids().get(slug)
