"""Water, densities, solubilities and bottled reagents against published values and an independent program."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from thermo.electrochem import Laliberte_density

from rules.tables.concentrated import density_for, reagents, usual
from rules.tables.density import fraction_from_molarity, solution_density, water_density
from rules.tables.heats import heat_of_solution
from rules.tables.solubility import Miscible, Solubility, ksp, solubility
from rules.tables.substances import substance


@pytest.mark.parametrize(
    ("temperature", "published"),
    # Tanaka et al., Metrologia 38 (2001) 301, Table 1: density of air-free water, kg/m3.
    [(4.0, 999.9749), (15.0, 999.1026), (20.0, 998.2067), (25.0, 997.0470), (40.0, 992.2152)],
)
def test_water_density(temperature: float, published: float) -> None:
    assert 1000 * water_density(temperature) == pytest.approx(published, abs=2e-3)


@pytest.mark.parametrize("temperature", [-0.1, 40.1, 100.0])
def test_water_density_is_refused_outside_its_range(temperature: float) -> None:
    with pytest.raises(ValueError, match="0 to 40"):
        water_density(temperature)


@pytest.mark.parametrize(
    ("slug", "cas"),
    [("sodium-chloride", "7647-14-5"), ("sodium-hydroxide", "1310-73-2"), ("hydrochloric-acid", "7647-01-0"),
     ("sulfuric-acid", "7664-93-9"), ("nitric-acid", "7697-37-2"), ("potassium-chloride", "7447-40-7"),
     ("copper-ii-sulfate", "7758-98-7"), ("sodium-carbonate", "497-19-8"), ("ammonia", "7664-41-7"),
     ("calcium-chloride", "10043-52-4"), ("phosphoric-acid", "7664-38-2"), ("magnesium-sulfate", "7487-88-9")],
)
@pytest.mark.parametrize("fraction", [0.01, 0.05, 0.10])
def test_solution_density_agrees_with_an_independent_program(slug: str, cas: str, fraction: float) -> None:
    ours = solution_density(slug, fraction, 25.0)
    assert ours is not None
    theirs = Laliberte_density(298.15, [fraction], [cas]) / 1000
    assert ours.value_g_per_mL == pytest.approx(theirs, rel=2e-4)


@pytest.mark.parametrize(
    ("slug", "percent", "published"),
    [
        # CRC Handbook, 98th ed., section 5, Concentrative Properties of Aqueous Solutions, 20 degC, g/mL.
        ("sodium-chloride", 10.0, 1.0707), ("sodium-hydroxide", 10.0, 1.1089), ("hydrochloric-acid", 20.0, 1.0980),
        ("sulfuric-acid", 20.0, 1.1394), ("nitric-acid", 20.0, 1.1150), ("ammonia", 10.0, 0.9575),
        ("potassium-chloride", 10.0, 1.0633), ("acetic-acid", 20.0, 1.0250),
    ],
)
def test_solution_density_against_the_handbook(slug: str, percent: float, published: float) -> None:
    density = solution_density(slug, percent / 100, 20.0)
    assert density is not None
    assert density.value_g_per_mL == pytest.approx(published, rel=2e-3)


def test_density_is_not_given_outside_the_fitted_range() -> None:
    assert solution_density("sodium-chloride", 0.9) is None
    assert solution_density("sodium-chloride", -0.01) is None
    assert solution_density("sodium-chloride", 0.1, 60.0) is None
    assert solution_density("no-such-substance", 0.1) is None
    assert fraction_from_molarity("sodium-chloride", 12.0, 58.44) is None


def test_half_molar_sodium_hydroxide_lies_just_under_two_percent() -> None:
    found = fraction_from_molarity("sodium-hydroxide", 0.5, 39.997)
    assert found is not None
    assert 100 * found[0] == pytest.approx(1.96, abs=0.005)


@given(st.sampled_from(["sodium-chloride", "hydrochloric-acid", "ammonia", "sulfuric-acid"]), st.floats(0.001, 0.2))
def test_molarity_and_fraction_come_back_to_each_other(slug: str, fraction: float) -> None:
    mass = substance(slug).molar_mass
    density = solution_density(slug, fraction)
    assert mass is not None
    assert density is not None
    found = fraction_from_molarity(slug, 1000 * fraction * density.value_g_per_mL / mass, mass)
    assert found is not None
    assert found[0] == pytest.approx(fraction, rel=1e-9)
    assert found[1].value_g_per_mL == pytest.approx(density.value_g_per_mL, rel=1e-9)


def grams(slug: str, temperature: float) -> float:
    found = solubility(slug, temperature)
    assert isinstance(found, Solubility)
    return found.g_anhydrous_per_100g_water


def test_solubility_at_and_between_tabulated_temperatures() -> None:
    # CRC Handbook, 98th ed., section 5: NaCl 26.41 % by mass at 20 degC is 35.89 g per 100 g of water.
    assert grams("sodium-chloride", 20.0) == pytest.approx(100 * 26.41 / (100 - 26.41), rel=1e-3)
    low, high = grams("potassium-nitrate", 20.0), grams("potassium-nitrate", 25.0)
    assert low < high
    assert grams("potassium-nitrate", 22.5) == pytest.approx((low + high) / 2)


def test_solubility_of_a_hydrate_is_counted_without_its_water() -> None:
    found = solubility("copper-ii-sulfate", 20.0)
    assert isinstance(found, Solubility)
    assert found.solid_phase == "pentahydrate"
    assert found.g_anhydrous_per_100g_water == pytest.approx(20.05, rel=0.01)


def test_a_table_in_grams_of_hydrate_is_converted() -> None:
    # 54 g of KNaC4H4O6.4H2O (282.22) hold 40.21 g of the salt (210.16) and 13.79 g of water.
    found = solubility("potassium-sodium-tartrate", 20.0)
    assert isinstance(found, Solubility)
    assert found.g_anhydrous_per_100g_water == pytest.approx(100 * 40.21 / 113.79, rel=1e-3)


def test_solubility_is_never_extrapolated() -> None:
    # Calcium hydroxide is tabulated from 0 to 80 degC.
    assert grams("calcium-hydroxide", 81.5) == grams("calcium-hydroxide", 80.0)
    assert solubility("calcium-hydroxide", 83.0) is None
    assert solubility("no-such-substance", 20.0) is None
    assert isinstance(solubility("ethanol", 20.0), Miscible)


def test_limewater_is_about_a_fiftieth_molar() -> None:
    mass = substance("calcium-hydroxide").molar_mass
    assert mass is not None
    assert 10 * grams("calcium-hydroxide", 20.0) / mass == pytest.approx(0.023, abs=0.002)


def test_solubility_product_by_formula() -> None:
    # OpenStax Chemistry 2e, Appendix J: AgCl 1.6e-10.
    found = ksp("AgCl")
    assert found is not None
    assert found.pKsp == pytest.approx(9.8, abs=0.1)
    assert ksp("NaCl") is None


def test_concentrated_acid_has_the_strength_of_the_trade() -> None:
    acid = usual("hydrochloric-acid")
    assert acid is not None
    # OpenStax Chemistry 2e, Appendix F: concentrated hydrochloric acid, 36 %, 1.18 g/mL, about 12 mol/L.
    mol_per_litre = 10 * acid.mass_percent * acid.density_g_per_mL / 36.46
    assert mol_per_litre == pytest.approx(12.0, abs=0.2)
    assert reagents("hydrochloric-acid")[0] is acid
    assert usual("sodium-chloride") is None


def test_density_of_a_bottle_then_of_the_equation_then_nothing() -> None:
    bottle, fitted = density_for("sulfuric-acid", 96), density_for("hydrochloric-acid", 31)
    assert bottle is not None
    assert fitted is not None
    assert bottle.value_g_per_mL == pytest.approx(1.84)
    # CRC Handbook, 98th ed., section 5: 31 % hydrochloric acid has 1.154 g/mL at 20 degC.
    assert fitted.value_g_per_mL == pytest.approx(1.154, rel=2e-3)
    assert density_for("sodium-chloride", 80) is None


def test_heats_of_solution() -> None:
    # V. B. Parker, NSRDS-NBS 2 (1965): NaOH -44.51, NaCl 3.88 kJ/mol at infinite dilution.
    soda, salt = heat_of_solution("sodium-hydroxide", "pure"), heat_of_solution("sodium-chloride", "pure")
    assert soda is not None
    assert salt is not None
    assert soda.kJ_per_mol == pytest.approx(-44.51)
    assert salt.kJ_per_mol == pytest.approx(3.88)
    strong, bottle = heat_of_solution("sulfuric-acid", "solution"), heat_of_solution("hydrochloric-acid", "solution")
    assert strong is not None
    assert strong.kJ_per_mol < -70
    # The heat of dissolving the gas is not given off again by its solution.
    assert bottle is None or bottle.kJ_per_mol > -30
