"""Densities of pure liquids against handbook values typed apart from the table."""

import pytest

from rules.tables.liquids import liquid_density
from service.pipeline import answer


@pytest.mark.parametrize(("slug", "printed"), [
    # CRC Handbook, 98th ed., section 3, Physical Constants of Organic Compounds, column den/g cm-3, at 20 degC.
    ("acetone", 0.7900), ("methanol", 0.7914), ("toluene", 0.8668), ("glycerol", 1.2613), ("ethyl-acetate", 0.9003),
    ("ethylene-glycol", 1.1135), ("cyclohexane", 0.7785), ("chloroform", 1.4890), ("propionic-acid", 0.9930),
])  # fmt: skip
def test_within_half_a_percent(slug: str, printed: float) -> None:
    held = liquid_density(slug)
    assert held is not None
    assert held.value_g_per_mL == pytest.approx(printed, rel=0.005)


def test_a_liquid_by_volume_is_classified_at_its_percent_by_mass() -> None:
    plan = answer("100 mL of 50 % v/v acetone").document["plan"]
    # 39.6 g in 100 mL; the water it leaves room for is 50 g, and a little more with the shrinking.
    assert 40 < plan["solution"]["mass_fraction"]["value"] < 45
    assert {"Flam. Liq.", "Eye Irrit.", "STOT SE"} <= {c["class"] for c in plan["hazards"]["classes"]}


def test_what_is_not_held_is_said_so() -> None:
    assert liquid_density("sodium-chloride") is None
