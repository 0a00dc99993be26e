"""Densities of solids against handbook values typed apart from the table."""

import pytest

from rules.tables.solids import solid_density


@pytest.mark.parametrize(("slug", "label", "printed"), [
    # Landmark values of the CRC Handbook and of textbooks, g/cm3.
    ("sodium-chloride", "pure", 2.17), ("potassium-chloride", "pure", 1.988), ("silver-nitrate", "pure", 4.35),
    ("copper-ii-sulfate", "pentahydrate", 2.286), ("potassium-permanganate", "pure", 2.70), ("sodium-carbonate", "anhydrous", 2.54),
    ("sodium-carbonate", "decahydrate", 1.46), ("potassium-dichromate", "pure", 2.68), ("sodium-hydroxide", "pure", 2.13),
])  # fmt: skip
def test_within_one_percent(slug: str, label: str, printed: float) -> None:
    held = solid_density(slug, label)
    assert held is not None
    assert held.value_g_per_mL == pytest.approx(printed, rel=0.01)


def test_a_form_without_a_value_has_none() -> None:
    assert solid_density("sucrose", "pure") is None
