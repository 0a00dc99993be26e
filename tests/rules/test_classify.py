"""The class of a solution at the strength made: published limits, precedence, and never milder when stronger."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.classify import BOUNDARY, MadeHazards, classify
from rules.policies import NAMES, policy
from rules.tables.hazards import hazard_entry, metal_fraction, p_codes_for, pictogram, precaution, statement
from rules.tables.substances import all_substances
from rules.thresholds import LADDERS

LISTED = [(held.slug, held.forms[0].label) for held in all_substances()
          if (entry := hazard_entry(held.slug, held.forms[0].label)) and (entry.classes or entry.limits)]


def made(slug: str, percent: float, name: str = "eu", label: str = "") -> MadeHazards:
    return classify([(hazard_entry(slug, label), slug, percent)], policy(name))


def labels(hazards: MadeHazards) -> set[str]:
    return {f"{one.hazard_class} {one.category}".strip() for one in hazards.classes}


@pytest.mark.parametrize(
    ("slug", "percent", "label"),
    [
        # Regulation (EC) 1272/2008, Annex VI, Table 3, specific concentration limits.
        ("sodium-hydroxide", 5.0, "Skin Corr. 1A"), ("sodium-hydroxide", 3.0, "Skin Corr. 1B"),
        ("sodium-hydroxide", 1.0, "Skin Irrit. 2"), ("hydrochloric-acid", 25.0, "Skin Corr. 1B"),
        ("hydrochloric-acid", 12.0, "Skin Irrit. 2"), ("hydrochloric-acid", 12.0, "STOT SE 3"),
        ("sulfuric-acid", 15.0, "Skin Corr. 1A"), ("sulfuric-acid", 6.0, "Eye Irrit. 2"),
        ("nitric-acid", 20.0, "Skin Corr. 1A"), ("nitric-acid", 65.0, "Ox. Liq. 3"),
        ("acetic-acid", 25.0, "Skin Corr. 1B"), ("acetic-acid", 12.0, "Skin Irrit. 2"),
        ("hydrogen-peroxide", 8.0, "Eye Dam. 1"), ("hydrogen-peroxide", 5.0, "Eye Irrit. 2"),
        ("nickel-ii-sulfate", 0.01, "Skin Sens. 1"), ("nickel-ii-sulfate", 1.0, "STOT RE 1"),
        ("cobalt-ii-chloride", 0.03, "Carc. 1B"),
        # Annex I: Carc. 1 from 0.1 % (Table 3.6.2), Repr. 1 from 0.3 % (Table 3.7.2).
        ("potassium-dichromate", 0.1, "Carc. 1B"), ("nickel-ii-sulfate", 0.3, "Repr. 1B"),
    ],
)
def test_limits_of_the_regulation(slug: str, percent: float, label: str) -> None:
    assert label in labels(made(slug, percent))


@pytest.mark.parametrize(
    ("slug", "percent", "label"),
    [("sodium-hydroxide", 0.3, "Skin Irrit. 2"), ("hydrochloric-acid", 9.0, "Skin Irrit. 2"),
     ("hydrochloric-acid", 9.0, "STOT SE 3"), ("sodium-hydroxide", 1.8, "Skin Corr. 1B"),
     ("hydrogen-peroxide", 4.5, "Eye Irrit. 2"), ("nickel-ii-sulfate", 0.25, "Repr. 1B")],
)
def test_below_the_limit_the_class_is_not_given(slug: str, percent: float, label: str) -> None:
    assert label not in labels(made(slug, percent))


def test_the_stricter_class_is_taken_close_to_a_limit_and_said() -> None:
    hazards = made("sodium-hydroxide", 1.961)
    corrosive = next(one for one in hazards.classes if one.hazard_class == "Skin Corr.")
    assert corrosive.near
    assert corrosive.because == ("sodium hydroxide at 1.96 % w/w against the specific limit of 2 %; "
                                 "within 5 % of the limit, so the stricter class is taken")
    held = next(one for one in hazards.compared if one.hazard_class == "Skin Corr. 1B")
    assert (held.limit_pct, held.met, held.near) == (2.0, True, True)
    assert "Skin Corr. 1B" not in labels(made("sodium-hydroxide", 2.0 * BOUNDARY - 0.01))


def test_notes_1_and_3_count_the_metal_and_the_chromate() -> None:
    lead, chrome = hazard_entry("lead-ii-nitrate"), hazard_entry("potassium-dichromate")
    assert lead is not None
    assert chrome is not None
    # Pb in Pb(NO3)2: 207.2 / 331.2; two chromate ions of 115.99 in K2Cr2O7 of 294.19.
    assert metal_fraction(lead, "lead-ii-nitrate") == pytest.approx(207.2 / 331.21, rel=1e-3)
    assert metal_fraction(chrome, "potassium-dichromate") == pytest.approx(2 * 115.99 / 294.18, rel=1e-3)
    # STOT SE 3 of the dichromate from 5 % of chromate ion, 6.34 % of the salt; STOT RE 2 of lead from 0.5 % of Pb.
    assert "STOT SE 3" not in labels(made("potassium-dichromate", 5.5))
    assert "STOT SE 3" in labels(made("potassium-dichromate", 6.4))
    assert "STOT RE 2" not in labels(made("lead-ii-nitrate", 0.7, "eu"))
    assert "STOT RE 2" in labels(made("lead-ii-nitrate", 0.9, "eu"))


def test_corrosives_add_up() -> None:
    parts = [(hazard_entry(slug), slug, 1.2) for slug in ("sodium-hydroxide", "potassium-hydroxide")]
    hazards = classify(parts, policy("eu"))
    assert "Skin Corr. 1B" in labels(hazards)
    assert any("together reach 1.20 times" in one.because for one in hazards.classes)


def test_what_is_not_known_is_named() -> None:
    hazards = classify([(None, "sodium-chloride", 5.0)], policy())
    assert hazards.unknown == ("sodium-chloride",)
    assert not hazards.classes
    assert classify([(None, "water", 100.0)], policy()).unknown == ()


def test_an_oxidising_solid_is_told_apart_from_its_solution() -> None:
    hazards = made("potassium-permanganate", 0.5)
    assert any(text.startswith("Ox. Sol.") for text in hazards.untested)
    assert "H272" not in hazards.h


def test_label_elements_take_precedence() -> None:
    strong = made("hydrochloric-acid", 37.0)
    assert strong.signal_word == "Danger"
    assert "H314" in strong.h
    assert not {"H318", "H319", "H315"} & set(strong.h)
    assert "GHS05" in strong.pictograms
    # Article 26: no exclamation mark for irritation beside corrosion; it stays for the airways (H335).
    assert "GHS07" in strong.pictograms
    assert "GHS07" not in made("sodium-hydroxide", 10.0).pictograms


def test_the_strictest_policy_takes_the_lowest_limit() -> None:
    # Repr. 1B: 0.3 % in Annex I, 0.1 % in 29 CFR 1910.1200, Appendix A.7.
    assert "Repr. 1B" not in labels(made("nickel-ii-sulfate", 0.2, "eu"))
    assert "Repr. 1B" in labels(made("nickel-ii-sulfate", 0.2, "us"))
    assert "Repr. 1B" in labels(made("nickel-ii-sulfate", 0.2, "strictest"))


def severity(hazards: MadeHazards) -> dict[str, int]:
    worst: dict[str, int] = {}
    for one in hazards.classes:
        label = f"{one.hazard_class} {one.category}".strip()
        for ladder, steps in LADDERS.items():
            if label in steps:
                kind = f"{ladder}{one.h_code[:3]}" if ladder in ("acute", "stot-3", "euh") else ladder
                worst[kind] = min(worst.get(kind, 99), steps.index(label))
    return worst


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(LISTED), st.floats(0.0001, 100.0), st.floats(0.0001, 100.0), st.sampled_from(NAMES))
def test_stronger_is_never_milder(listed: tuple[str, str], one: float, other: float, name: str) -> None:
    slug, label = listed
    weak, strong = severity(made(slug, min(one, other), name, label)), severity(made(slug, max(one, other), name, label))
    for kind, rank in weak.items():
        # A named sensitiser (EUH208) gives way to the class for sensitisation itself.
        assert kind.startswith("euh") or strong.get(kind, 99) <= rank, (kind, weak, strong)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(LISTED), min_size=2, max_size=4, unique=True), st.floats(0.01, 20.0), st.floats(1.0, 1.2))
def test_a_stronger_mixture_is_never_milder(listed: list[tuple[str, str]], percent: float, factor: float) -> None:
    def worst(share: float) -> dict[str, int]:
        return severity(classify([(hazard_entry(slug, label), slug, share) for slug, label in listed], policy()))

    weak, strong = worst(percent), worst(percent * factor)
    for kind, rank in weak.items():
        assert kind.startswith("euh") or strong.get(kind, 99) <= rank


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(LISTED), st.floats(0.001, 100.0))
def test_the_strictest_policy_is_never_milder_than_any(listed: tuple[str, str], percent: float) -> None:
    strictest = severity(made(listed[0], percent, "strictest", listed[1]))
    for name in ("eu", "uk", "us"):
        for kind, rank in severity(made(listed[0], percent, name, listed[1])).items():
            assert kind.startswith("euh") or strictest.get(kind, 99) <= rank


def test_every_class_has_its_wording() -> None:
    for slug, label in LISTED:
        for percent in (1.0, 100.0):
            hazards = made(slug, percent, "strictest", label)
            for code in hazards.h:
                assert statement(code).text
            for code in hazards.p:
                assert precaution(code)
            for code in hazards.pictograms:
                assert pictogram(code)
            for one in hazards.classes:
                assert one.hazard_class in ("EUH", "Aquatic Acute", "Lact.") or p_codes_for(*one[:3]), one


def test_policies() -> None:
    held = policy()
    assert held.name == "strictest"
    assert "strictest" in held.title
    # Regulation (EU) 2019/1148, Annex I: nitric acid 3 %, hydrogen peroxide 12 %, sulfuric acid 15 %.
    limits = {slug: policy("eu").precursor_limits(slug)[0].limit_pct
              for slug in ("nitric-acid", "hydrogen-peroxide", "sulfuric-acid")}
    assert limits == {"nitric-acid": 3.0, "hydrogen-peroxide": 12.0, "sulfuric-acid": 15.0}
    assert held.precursor_limits("sodium-chloride") == ()
    assert held.ask_first["picric-acid"].action == "refuse"
    term = held.refused("please make a little TATP")
    assert term is not None
    assert term.kind == "explosive"
    assert held.refused("100 mL of 0.1 M sodium chloride") is None
    with pytest.raises(KeyError, match="no policy 'mars'"):
        policy("mars")
