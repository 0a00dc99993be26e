"""Density of solutions at 20 degC against handbook values for twenty-one solutes.

CRC Handbook of Chemistry and Physics, section 5, Concentrative Properties of Aqueous Solutions (A. V. Wolf, Aqueous
Solutions and Body Fluids, Hoeber 1966), in g/cm3 by mass percent of the solute without water; read in the reprints
engineeringtoolbox.com/density-aqueous-solution-inorganic-sodium-salt-concentration-d_1957.html and ..._1958.html. Ours
are fits to other measurements (Laliberte 2009).
"""

import pytest

from rules.tables.density import solution_density

#: slug -> {mass percent: density as printed}
PRINTED: dict[str, dict[float, float]] = {
    "sodium-acetate": {1: 1.0034, 5: 1.0234, 10: 1.0495, 20: 1.1050}, "sodium-bromide": {1: 1.0060, 5: 1.0380, 10: 1.0803, 20: 1.1745},
    "sodium-carbonate": {1: 1.0086, 5: 1.0502, 10: 1.1029}, "sodium-chloride": {1: 1.0053, 5: 1.0340, 10: 1.0707, 20: 1.1478},
    "sodium-dihydrogen-phosphate": {1: 1.0056, 5: 1.0358, 10: 1.0747, 20: 1.1576}, "sodium-hydrogen-carbonate": {1: 1.0054, 5: 1.0337},
    "disodium-hydrogen-phosphate": {1: 1.0082, 5: 1.0480}, "sodium-hydroxide": {1: 1.0095, 5: 1.0538, 10: 1.1089, 20: 1.2192, 40: 1.4299},
    "sodium-nitrate": {1: 1.0050, 5: 1.0322, 10: 1.0674, 20: 1.1429}, "trisodium-phosphate": {1: 1.0100, 5: 1.0579},
    "sodium-sulfate": {1: 1.0071, 5: 1.0436, 10: 1.0905, 20: 1.1907}, "sodium-thiosulfate": {1: 1.0065, 5: 1.0399, 10: 1.0827, 20: 1.1740},
    "ammonia": {1: 0.9938, 5: 0.9770, 10: 0.9575, 20: 0.9228}, "ammonium-sulfate": {1: 1.0042, 5: 1.0279, 10: 1.0574, 20: 1.1154},
    "copper-ii-sulfate": {1: 1.0085, 5: 1.0511, 10: 1.1070}, "magnesium-sulfate": {1: 1.0084, 5: 1.0497, 10: 1.1034, 20: 1.2198},
    "manganese-ii-sulfate": {1: 1.0080, 5: 1.0480, 10: 1.1012, 20: 1.2203}, "nitric-acid": {1: 1.0037, 5: 1.0257, 10: 1.0543, 20: 1.1150},
    "phosphoric-acid": {1: 1.0038, 5: 1.0254, 10: 1.0531, 20: 1.1135}, "sulfuric-acid": {1: 1.0049, 5: 1.0318, 10: 1.0661, 20: 1.1398},
    "zinc-sulfate": {1: 1.0085, 5: 1.0511, 10: 1.1071},
}  # fmt: skip
NEAR = 0.003
#: Where the two measurements themselves are further apart: up to 0.5 %, which moves no amount by more than that.
APART = {("trisodium-phosphate", 5), ("manganese-ii-sulfate", 5), ("manganese-ii-sulfate", 10)}
CASES = [(slug, percent, value) for slug, found in PRINTED.items() for percent, value in found.items()]


@pytest.mark.parametrize(("slug", "percent", "printed"), CASES, ids=[f"{c[0]} {c[1]:g} %" for c in CASES])
def test_within_three_parts_in_a_thousand(slug: str, percent: float, printed: float) -> None:
    ours = solution_density(slug, percent / 100, 20.0) or solution_density(slug, percent / 100, 25.0)
    assert ours is not None
    assert ours.value_g_per_mL == pytest.approx(printed, rel=0.005 if (slug, percent) in APART else NEAR)


def test_solutes_enough_and_no_tolerance_that_hides_a_wrong_one() -> None:
    assert len(PRINTED.keys() - {slug for slug, _ in APART}) >= 15
    tens = [found[10] for found in PRINTED.values() if 10 in found]
    assert max(tens) - min(tens) > 10 * NEAR
