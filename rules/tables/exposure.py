"""Limits of what may be in the air breathed at work, of one jurisdiction; those in force at the place of work come first."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.load import Cite, cite, number, rows

_AIR = (0.0, 2000.0)


@dataclass(frozen=True, slots=True)
class ExposureLimit:
    """Averages over eight hours and over 15 minutes and a ceiling, each in ``unit`` (ppm or mg/m3); None where not set.

    ``skin``: it also enters through the skin. ``counted_as``: the element the figure counts ("V"), or empty.
    """

    eight_hour: float | None
    short_term: float | None
    ceiling: float | None
    unit: str
    skin: bool
    counted_as: str
    cite: Cite

    @property
    def said(self) -> str:
        """In words: "2 ppm over eight hours, 4 ppm over 15 minutes"."""
        basis = f" as {self.counted_as}" if self.counted_as else ""
        parts = [f"{value:g} {self.unit}{basis} {when}"
                 for value, when in ((self.eight_hour, "over eight hours"), (self.short_term, "over 15 minutes"),
                                     (self.ceiling, "at any time")) if value is not None]
        return ", ".join(parts) + ("; it also enters through the skin" if self.skin else "")


@lru_cache(maxsize=1)
def _limits() -> dict[str, ExposureLimit]:
    return {r["substance"]: ExposureLimit(number(r["eight_hour"]), number(r["short_term"]), number(r["ceiling"]), r["unit"],
                                          r["skin"] == "yes", r["counted_as"], cite(r["source_id"], r["locator"]))
            for r in rows("exposure_limits", key=("substance",), filled=("unit", "skin"),
                          numeric={"eight_hour": _AIR, "short_term": _AIR, "ceiling": _AIR},
                          choices={"unit": frozenset({"ppm", "mg/m3"}), "skin": frozenset({"yes", "no"})})}


def exposure_limit(slug: str) -> ExposureLimit | None:
    """The limit listed for that substance; None when none is held, which never means that there is none."""
    return _limits().get(slug)
