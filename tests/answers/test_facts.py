"""Questions about what is known: solubility, pH, density, keeping, waste, hazards. Sources stand beside the figures."""

import re

import pytest

from grammar import canonical, read
from grammar.request import Ask
from service.pipeline import answer, known_names


def _answer(text: str) -> dict:  # type: ignore[type-arg]
    document = answer(text).document
    assert document["outcome"] == "answered", document.get("problem") or document.get("question")
    found: dict = document["answer"]  # type: ignore[type-arg]
    return found


# pH by concentrations. Strong acids and bases: -log c and 14.00 - pOH by hand. Weak ones: OpenStax Chemistry 2e, section
# 14.3, the same sum with Ka 1.8e-5 (pH of 0.100 mol/L acetic acid 2.87) and Kb 1.8e-5 (0.1 mol/L ammonia 11.12, by hand).
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("pH of 0.01 M HCl", 2.00),
        ("what is the pH of 0.05 M NaOH?", 12.70),
        ("what is the pH of 0.1 M acetic acid", 2.87),
        ("what pH does 0.1 M ammonia have", 11.12),
        ("pH of 0.005 M calcium hydroxide", 12.00),
        ("what is the pH of 1e-8 M HCl", 6.98),  # water's own ions count: h = (c + sqrt(c^2 + 4 Kw)) / 2
    ],
)
def test_ph_by_concentrations(text: str, value: float) -> None:
    amount = _answer(text)["amount"]
    assert amount["unit"] == "pH"
    assert amount["value"] == pytest.approx(value, abs=0.02)


# What a meter reads: the standards of R. G. Bates, J. Res. NBS 66A (1962) 179, at 25 degC; 0.1 mol/kg hydrochloric acid
# has pH 1.094 (R. A. Robinson and R. H. Stokes, Electrolyte Solutions; from memory), which Davies meets within 0.02.
@pytest.mark.parametrize(
    ("text", "reads", "within"),
    [
        ("pH of 0.05 M potassium hydrogen phthalate", 4.008, 0.03),
        ("what is the pH of 0.01 M borax", 9.180, 0.03),
        ("pH of 0.1 M HCl", 1.094, 0.02),
    ],
)
def test_ph_as_a_meter_reads_it(text: str, reads: float, within: float) -> None:
    said = re.search(r"reads about (\d+\.\d+)", _answer(text)["text"])
    assert said is not None
    assert float(said[1]) == pytest.approx(reads, abs=within)


# Solubilities at 20 degC as printed in handbooks (CRC Handbook of Chemistry and Physics, section 5): 31.6 and 35.9 g.
@pytest.mark.parametrize(
    ("text", "grams"),
    [("solubility of potassium nitrate at 20 degC", 31.6), ("how soluble is NaCl in water?", 35.9)],
)
def test_solubility(text: str, grams: float) -> None:
    assert _answer(text)["amount"]["value"] == pytest.approx(grams, rel=0.03)


def test_what_dissolves_in_a_given_amount_of_water() -> None:
    # twice 100 g of water dissolves twice as much
    one = _answer("how much potassium nitrate dissolves in 100 g of water")["amount"]
    two = _answer("how much potassium nitrate dissolves in 200 g of water")["amount"]
    assert one["unit"] == two["unit"] == "g"
    assert two["value"] == pytest.approx(2 * one["value"], rel=1e-9)


def test_no_data_is_said_and_never_a_no() -> None:
    said = _answer("is silver chloride soluble in water")["text"]
    assert "insoluble" not in said
    assert "1.8e-10" in said  # OpenStax Chemistry 2e, Appendix J


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("what mass of NaCl is in 250 mL of 0.9 % w/v saline", 2.25),  # 0.9 g in 100 mL
        ("how many grams of NaOH are in 500 mL of 0.2 M NaOH", 4.00),  # 0.1 mol x 40.00 g/mol
        ("how many grams is 0.25 mol of KNO3", 25.28),  # 0.25 x 101.10
    ],
)
def test_masses(text: str, grams: float) -> None:
    amount = _answer(text)["amount"]
    assert (amount["unit"], amount["value"]) == ("g", pytest.approx(grams, rel=0.002))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("what is the CAS number of sodium chloride", "7647-14-5"),
        ("formula of borax", "Na2B4O7.10H2O"),
        ("how do I store sodium hydroxide solution", "polythene"),
        ("can I keep sodium hydroxide in a glass bottle", "polythene"),
        ("where does silver nitrate waste go", "silver"),
        ("can I pour potassium dichromate down the sink", "Not to the drain"),
        ("is 1 M nitric acid corrosive", "H314"),
        ("how do I standardise sodium hydroxide", "potassium hydrogen phthalate"),
        ("how long does 0.1 M sodium thiosulfate keep", "day"),
        ("is copper sulfate hazardous", "H302"),
    ],
)
def test_facts(text: str, word: str) -> None:
    found = _answer(text)
    assert word in found["text"]
    assert found.get("citations")


def test_what_depends_on_the_strength_asks_for_it() -> None:
    problem = answer("what is the pH of hydrochloric acid").document["problem"]
    assert problem["code"] == "question-incomplete"
    assert "0.1 M" in problem["remedy"]


@pytest.mark.parametrize(
    "text",
    ["solubility of KNO3 at 20 degC", "pH of 0.1 M acetic acid", "how do I store NaOH", "how many grams is 0.25 mol of KNO3",
     "how many grams of NaOH are in 500 mL of 0.2 M NaOH"],
)  # fmt: skip
def test_the_canonical_sentence_is_the_same_question(text: str) -> None:
    ask = read(text, known=known_names)
    assert isinstance(ask, Ask)
    again = read(canonical(ask), known=known_names)
    assert isinstance(again, Ask)
    assert (again.topic, again.request.components, again.available) == (ask.topic, ask.request.components, ask.available)
