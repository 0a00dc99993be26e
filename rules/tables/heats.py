"""Heat taken up (+) or given off (-) on dissolving, kJ per mole of solute."""

from dataclasses import dataclass
from functools import lru_cache

from rules.tables.concentrated import usual
from rules.tables.load import Cite, cite, rows

_LIQUID = ("pure", "liquid", "liquid, 100 %")
# From this strength on a bottle counts as the pure liquid.
_NEARLY_PURE_PCT = 95.0


@dataclass(frozen=True, slots=True)
class Heat:
    """Enthalpy of solution, kJ/mol. ``final``: the molality reached, or "infinite" for infinite dilution.

    ``kind``: measured, computed (from enthalpies of formation) or unverified (from memory).
    """

    kJ_per_mol: float
    final: str
    kind: str
    cite: Cite


@lru_cache(maxsize=1)
def _heats() -> dict[tuple[str, str], Heat]:
    return {(r["substance"], r["label"]): Heat(float(r["kJ_per_mol"]), r["final_molality_or_infinite"], r["kind"],
                                               cite(r["source_id"], r["locator"]))
            for r in rows("heats_of_solution", key=("substance", "label"), filled=("kJ_per_mol", "kind"),
                          numeric={"kJ_per_mol": (-500.0, 200.0)})}


def heat_of_solution(slug: str, label: str) -> Heat | None:
    """The heat of solution of that form; None when not held.

    A bottle of solution takes its own value (heat of dilution), or that of the pure liquid when it is nearly that.
    """
    table = _heats()
    held = table.get((slug, label))
    if held is None and label == "pure":
        held = next((table[slug, name] for name in _LIQUID if (slug, name) in table), None)
    if held is None and label == "solution":
        reagent = usual(slug)
        if reagent is not None and reagent.mass_percent >= _NEARLY_PURE_PCT:
            held = next((table[slug, name] for name in _LIQUID if (slug, name) in table), None)
    return held
