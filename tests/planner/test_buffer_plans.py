"""Buffers by pH: composition by hand, moles conserved, questions and refusals."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed import part, prepare

from rules.buffer import balance_at, ph_of, weak
from rules.tables.pka import System, all_systems, named_system, system, system_of
from rules.tables.substances import substance
from service.bench import default_bench
from service.pipeline import Judged, consider

BENCH = default_bench()
ACETATE = ("form:sodium-acetate/trihydrate",)
SODIUM_PHOSPHATE = ("form:disodium-hydrogen-phosphate/heptahydrate", "form:sodium-dihydrogen-phosphate/monohydrate")


def made(total: str, strength: str, name: str, ph: str, **kwargs: object) -> Judged:
    return consider(prepare(total, part(strength, name), ph=ph, **kwargs), BENCH)  # type: ignore[arg-type]


def fired(judged: Judged) -> set[str]:
    return {f.rule for f in judged.findings if f.result == "fired"}


def moles(judged: Judged) -> dict[str, float]:
    return {i.substance.slug: i.moles or 0.0 for i in judged.plan.ingredients}


def test_acetate_by_hand() -> None:
    """pKa 4.757; at I = 0.0576 Davies takes 0.0902 off: 4.667. Ratio 10^0.133 = 1.359: 57.6 mmol acetate, 42.4 mmol acid.

    57.59 mmol x 136.08 g/mol = 7.836 g trihydrate; 42.41 mmol / 17.45 mol/L = 2.43 mL glacial acid.
    """
    found = made("1 L", "0.1 mol/L", "acetate buffer", "4.8", confirmed=ACETATE)
    salt, acid = found.plan.ingredients
    assert salt.mass_g == pytest.approx(7.836, abs=0.01)
    assert acid.volume_mL == pytest.approx(2.43, abs=0.01)
    assert sum(moles(found).values()) == pytest.approx(0.1, rel=1e-4)


def test_phosphate_by_hand() -> None:
    """0.1 mol/L, pH 7.0: pKa' 7.198 - 3 x 0.5116 x g(0.222), g = 0.3203 - 0.0666, is 6.809.

    Base to acid is 10^0.191 = 1.553: 60.8 and 39.2 mmol.
    """
    found = made("1 L", "0.1 mol/L", "sodium phosphate buffer", "7.0", confirmed=SODIUM_PHOSPHATE)
    root = math.sqrt(0.2216)
    lowering = 0.5116 * (root / (1 + root) - 0.3 * 0.2216)
    ratio = 10 ** (7.0 - (7.198 - 3 * lowering))
    assert moles(found)["disodium-hydrogen-phosphate"] == pytest.approx(0.1 * ratio / (1 + ratio), rel=0.01)
    assert sum(moles(found).values()) == pytest.approx(0.1, rel=1e-4)


def test_tris_with_acid() -> None:
    """0.05 mol/L tris is 6.057 g a litre; pKa' 8.142 at I = 0.029: half more than half is protonated, 29 mmol of acid."""
    found = made("1 L", "0.05 mol/L", "Tris", "8.0", temperature="25 degC")
    setting = found.plan.ph_setting
    assert setting is not None
    assert found.plan.measures[0].amount.value == pytest.approx(6.0568, rel=1e-4)
    assert setting.titrant == "hydrochloric acid"
    assert setting.titrant_mol_L == pytest.approx(0.05 / (1 + 10 ** (8.0 - 8.142)), rel=0.01)
    assert setting.ph_per_K == pytest.approx(-0.028, abs=0.001)
    assert setting.ph_cold == pytest.approx(8.6, abs=0.05)


@pytest.mark.parametrize(
    ("name", "ph", "titrant"),
    [
        ("HEPES", "7.4", "sodium hydroxide"),
        ("MOPS", "7.0", "sodium hydroxide"),
        ("glycine", "9.5", "sodium hydroxide"),
        ("glycine", "2.5", "hydrochloric acid"),
        ("tris hydrochloride", "8.0", "sodium hydroxide"),
        ("imidazole", "7.0", "hydrochloric acid"),
    ],
)
def test_which_way_the_ph_is_set(name: str, ph: str, titrant: str) -> None:
    found = made("1 L", "0.05 mol/L", name, ph)
    assert found.plan.ph_setting is not None
    assert found.plan.ph_setting.titrant == titrant


def test_both_ways_need_the_same_charge() -> None:
    """Alkali for the acid alone is the sodium that the salt would have brought."""
    two = made("1 L", "0.1 mol/L", "acetate buffer", "4.8", confirmed=ACETATE)
    one = made("1 L", "0.1 mol/L", "acetate buffer", "4.8", confirmed=("route:titrate",))
    assert one.plan.ph_setting is not None
    assert one.plan.ph_setting.titrant_mol_L == pytest.approx(moles(two)["sodium-acetate"], rel=1e-3)
    assert two.plan.ph_setting is not None
    assert "acetic acid" in two.plan.ph_setting.other_way


def test_questions_come_one_by_one() -> None:
    found = made("500 mL", "0.05 mol/L", "phosphate", "7.2")
    assert found.outcome == "question"
    labels = {o.id for o in found.plan.opens[0].options}
    assert {"disodium-hydrogen-phosphate-heptahydrate", "dipotassium-hydrogen-phosphate-anhydrous"} <= labels
    chosen = next(o for o in found.plan.opens[0].options if o.id == "dipotassium-hydrogen-phosphate-anhydrous")
    potassium = consider(chosen.request, BENCH)
    assert potassium.outcome == "planned"
    assert set(moles(potassium)) == {"dipotassium-hydrogen-phosphate", "potassium-dihydrogen-phosphate"}
    assert made("1 L", "0.1 mol/L", "acetate buffer", "").plan.opens[0].about == "ph"
    assert made("1 L", "0.1 mol/L", "buffer", "7").plan.opens[0].about == "which-buffer"
    assert made("1 L", "10 g/L", "acetate buffer", "4.8").plan.opens[0].about == "unit-unsupported"


def test_far_from_the_pka() -> None:
    refused = made("1 L", "0.1 mol/L", "tris", "4.0")
    assert refused.outcome == "refused"
    assert "buffer-far-from-pka" in fired(refused)
    doubtful = made("1 L", "0.1 mol/L", "tris", "9.4")
    assert "buffer-outside-range" in fired(doubtful)
    assert doubtful.outcome == "planned"
    assert "ph-without-buffer" in fired(made("1 L", "0.1 mol/L", "sodium chloride", "7.0"))


def test_strong_buffer_gets_strong_acid() -> None:
    """2 mol/L tris to pH 8: over a mole a litre of acid never goes in as 1 mol/L."""
    found = made("100 mL", "2 mol/L", "tris", "8.0")
    assert sum(m.amount.value for m in found.plan.measures if m.amount.unit == "mL") <= 10.0


def test_salt_in_the_buffer_counts() -> None:
    """0.5 mol/L sodium chloride raises the ionic strength and lowers the working pKa of phosphate by over 0.1."""
    plain = made("1 L", "0.02 mol/L", "phosphate buffer", "7.0", confirmed=SODIUM_PHOSPHATE)
    parts = (part("0.02 mol/L", "phosphate buffer"), part("0.4 mol/L", "sodium chloride"))
    salty = consider(prepare("1 L", *parts, ph="7.0", confirmed=SODIUM_PHOSPHATE), BENCH)
    assert plain.plan.ph_setting is not None
    assert salty.plan.ph_setting is not None
    assert salty.plan.ph_setting.working_pka < plain.plan.ph_setting.working_pka - 0.1
    assert salty.plan.ph_setting.titrant_mol_L < 1e-4


@settings(max_examples=40, deadline=None)
@given(total=st.floats(0.005, 0.2), ph=st.floats(6.4, 7.8), volume=st.sampled_from(["100", "250", "1000", "2000"]))
def test_what_is_weighed_has_the_ph(total: float, ph: float, volume: str) -> None:
    """From the masses alone: the two salts hold the total, and their sodium gives back the pH."""
    asked = f"{total:.4f} mol/L"
    found = made(f"{volume} mL", asked, "sodium phosphate buffer", f"{ph:.2f}", confirmed=SODIUM_PHOSPHATE)
    litres = int(volume) / 1000
    by_mass = {i.substance.slug: (i.mass_g or 0) / (i.form.molar_mass or 1) / litres for i in found.plan.ingredients}
    base, acid = by_mass["disodium-hydrogen-phosphate"], by_mass["sodium-dihydrogen-phosphate"]
    assert base + acid == pytest.approx(float(f"{total:.4f}"), rel=1e-4)
    assert ph_of([weak(system("phosphate"), base + acid, 25.0)], 2 * base + acid, 25.0) == pytest.approx(
        float(f"{ph:.2f}"), abs=0.001
    )


def test_every_salt_brings_its_formula() -> None:
    """Sodium and potassium counted from the formula (chloride of a hydrochloride counts negative); names reach their system."""
    from grammar.formula import composition

    for held in all_systems():
        for salt in held.salts:
            counted = composition(substance(salt.substance).formula)
            charge = counted.get("Na", 0) + counted.get("K", 0) - counted.get("Cl", 0)
            assert charge == salt.charge, salt.substance
            assert system_of(salt.substance) is not None
    assert named_system("potassium phosphate buffer") == (system("phosphate"), "potassium")
    assert named_system("copper sulfate") is None


def test_a_made_buffer_is_diluted_by_its_ratio() -> None:
    """50 mmol/L from a 1 mol/L buffer: a twentieth, 50 mL a litre; nothing is said of what is in the stock."""
    found = consider(prepare("1 L", part("50 mmol/L", "phosphate buffer", "1 mol/L"), ph="7.0"), BENCH)
    assert found.outcome == "planned"
    assert [m.amount.value for m in found.plan.measures] == pytest.approx([50.0])
    assert "ph-without-buffer" in {f.rule for f in found.findings if f.result == "unchecked"}


@settings(max_examples=150, deadline=None)
@given(
    held=st.sampled_from(all_systems()),
    mol_L=st.floats(1e-3, 1.0),
    temperature=st.floats(0, 40),
    ph=st.floats(2.0, 12.0),
)
def test_charge_and_ph_are_inverse(held: System, mol_L: float, temperature: float, ph: float) -> None:
    """The charge that a pH needs gives that pH back, for every system, strength and temperature."""
    parts = [weak(held, mol_L, temperature)]
    assert ph_of(parts, balance_at(parts, ph, temperature).charge, temperature) == pytest.approx(ph, abs=1e-3)


def test_tris_hcl_may_be_weighed_as_either() -> None:
    """1 mol/L in 500 mL: 60.57 g of the base (121.135 g/mol) or 78.80 g of the hydrochloride (157.59 g/mol)."""
    found = made("500 mL", "1 mol/L", "Tris-HCl", "8.0")
    assert found.outcome == "question"
    weighed = [consider(o.request, BENCH).plan.measures[0].amount.value for o in found.plan.opens[0].options]
    assert weighed == pytest.approx([60.57, 78.80], abs=0.01)
    assert made("500 mL", "1 mol/L", "tris hydrochloride", "8.0").outcome == "planned"
