"""Labels read back from the PDF and compared with the record: text, code, size, and that nothing runs over."""

from dataclasses import replace
from typing import Any

import pytest

pytest.importorskip("typst", reason="the extra 'print' is not installed: pip install 'prepwright[print]'")
pages = pytest.importorskip("tests.paper.pages", reason="the extra 'dev' is not installed: nothing reads pages back")

from service.paper.labels import SIZES, content_of_record, label_of_record  # noqa: E402
from service.paper.words import formula_runs, short_date  # noqa: E402
from tests.conftest import Running  # noqa: E402
from tests.records.bench import TITRATED, get, plan, post, record  # noqa: E402

NICKEL = "make 100 mL of 0.150 M nickel chloride from the hexahydrate"
ACID = "100 mL of 1 M sodium hydroxide"


def label(running: Running, preparation: str, size: str = "medium", kind: str = "label") -> bytes:
    response = running.get(f"/v1/preparations/{preparation}/{kind}?size={size}")
    assert response.status_code == 200, response.text
    assert response.headers["content-type"] == "application/pdf"
    return response.content


@pytest.mark.parametrize("size", SIZES)
def test_the_label_says_what_the_record_says(running: Running, size: str) -> None:
    made = record(running, ACID, "4.050", lot="4711")
    pdf = label(running, made["id"], size)
    words, hazards = pages.text_of(pdf), made["made"]["hazards"]
    for told in (
        "Sodium hydroxide",
        made["made"]["concentration"]["display"],
        made["id"],
        "nominal",
        hazards["signal_word"].upper(),
    ):
        assert told in words, f"{told} is not on the {size} label"
    assert made["by"] in words
    assert short_date(made["made_at"]) in words
    assert short_date(made["use_by"]["date"]) in words
    assert pages.codes_of(pdf) == [made["id"]]
    assert pages.sizes_of(pdf) == [(SIZES[size]["width"], SIZES[size]["height"])]
    if size != "dropper":
        assert made["made"]["storage"]["container"] in words
        for statement in hazards["h_statements"]:
            assert f"{statement['code']} {statement['text']}" in words
    if size == "large":
        assert "P280" in words


def test_the_real_strength_is_large_and_the_one_asked_for_is_named(running: Running) -> None:
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4710", assay={"value": "99.5"})
    words = pages.text_of(label(running, made["id"]))
    assert "0.1002 mol/L" in words
    assert "asked for: 0.100 mol/L" in words
    assert f"± {made['made']['uncertainty']['U']['display']} (k = 2)" in words


def test_after_a_correction_and_a_standardisation_the_newest_value_is_printed(running: Running) -> None:
    made = record(running, "1 L of 0.1 M sodium hydroxide", "4.05")
    assert "nominal, not standardised" in pages.text_of(label(running, made["id"]))
    titrated = post(running, f"/v1/preparations/{made['id']}/standardisations", TITRATED)
    words = pages.text_of(label(running, made["id"]))
    assert "0.1016 mol/L" in words
    assert f"standardised {short_date(titrated['at'])}" in words
    assert f"Titrate again by {short_date(titrated['next_due']['date'])}" in words
    assert "nominal" not in words


def test_each_copy_is_a_page(running: Running) -> None:
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")
    pdf = running.get(f"/v1/preparations/{made['id']}/label?size=dropper&copies=12").content
    assert pages.codes_of(pdf) == [made["id"]] * 12


def test_a_waste_label_names_the_stream(running: Running) -> None:
    made = record(running, "250 mL of 0.02 M silver nitrate", "0.849")
    words = pages.text_of(label(running, made["id"], kind="waste-label"))
    assert "WASTE" in words
    assert made["made"]["waste"][0]["advice"].split()[0] in words
    assert "Filled since" in words


def test_before_a_real_value_only_a_label_that_says_nominal(running: Running) -> None:
    wanted = plan(running, "1 L of 0.5 M hydrochloric acid from concentrated")
    refused = running.get(f"/v1/plans/{wanted}/label")
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/no-real-value")
    pdf = running.get(f"/v1/plans/{wanted}/label?nominal=true&size=small").content
    words = pages.text_of(pdf)
    assert "0.5 mol/L" in words
    assert "nominal" in words
    assert pages.codes_of(pdf) == [wanted]


def test_a_failed_preparation_has_no_label(running: Running) -> None:
    failed = record(running, "250 mL of 0.100 M sodium chloride", "1.4610", outcome="overshot")
    for kind in ("label", "waste-label"):
        refused = running.get(f"/v1/preparations/{failed['id']}/{kind}")
        assert (refused.status_code, refused.json()["type"]) == (409, "/problems/no-real-value")


@pytest.mark.parametrize("text", ["500 mL of 0.1 M copper sulfate", "mix bleach with hydrochloric acid", "10 banana"])
def test_what_is_no_plan_prints_nothing(running: Running, text: str) -> None:
    asked = running.ask(text).json()["id"]
    for page in ("sheet", "label?nominal=true"):
        refused = running.get(f"/v1/plans/{asked}/{page}")
        assert (refused.status_code, refused.json()["type"]) == (409, "/problems/nothing-to-make")


def test_a_held_plan_prints_nothing_until_it_is_approved(running: Running) -> None:
    made = record(running, NICKEL, "3.5610", assay={"value": "98.5"})
    addresses = [f"/v1/plans/{made['plan']}/{page}" for page in ("sheet", "label?nominal=true")]
    addresses += [f"/v1/preparations/{made['id']}/{page}" for page in ("label", "waste-label", "sheet")]
    for address in addresses:
        refused = running.get(address)
        assert (refused.status_code, refused.json()["type"]) == (409, "/problems/not-approved"), address
    desk = running.services
    running.app.state.services = replace(desk, records=replace(desk.records, approved=lambda plan: plan == made["plan"]))
    for address in addresses:
        assert running.get(address).status_code == 200, address
    assert "0.1476 mol/L" in pages.text_of(label(running, made["id"]))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("text", "reading", "unit"),
    [
        (NICKEL, "3.5610", "g"),
        ("500 mL of 6 M nitric acid from concentrated", "190", "mL"),
        ("100 mL of 0.1 M potassium dichromate", "2.942", "g"),
        ("100 mL of 1 M ammonium iron(II) sulfate hexahydrate", "39.2", "g"),
    ],
)
def test_nothing_runs_over_the_edge(running: Running, size: str, text: str, reading: str, unit: str) -> None:
    made = record(running, text, reading, unit=unit)
    pdf = label_of_record(made, size)
    assert len(pages.sizes_of(pdf)) == 1
    assert not pages.ink_beyond(pdf, SIZES[size]["margin"] - 1.0)
    words = pages.text_of(pdf)
    for told in (made["made"]["concentration"]["display"], made["id"]):
        assert told in words


def test_words_are_never_read_as_markup(running: Running) -> None:
    by = "#set page(width: 1pt) $x$ *b* [c] \\"
    made = get(running, record(running, "250 mL of 0.100 M sodium chloride", "1.4610")["id"])
    words = pages.text_of(label_of_record({**made, "by": by}, "large"))
    assert by in words


def test_the_same_record_prints_the_same_bytes(running: Running) -> None:
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")
    assert label(running, made["id"]) == label(running, made["id"])


def test_pictograms_are_those_of_the_strength_made(running: Running) -> None:
    made = record(running, "500 mL of 6 M nitric acid from concentrated", "190", unit="mL")
    content: dict[str, Any] = content_of_record(made, "medium")
    assert content["pictograms"] == [p["code"] for p in made["made"]["hazards"]["pictograms"]]
    assert content["pictograms"]


def test_formulas_have_their_figures_low_and_their_water_level() -> None:
    runs = formula_runs("Al2(SO4)3.18H2O")
    assert "".join(run["text"] for run in runs) == "Al2(SO4)3·18H2O"
    assert [run["text"] for run in runs if run["low"]] == ["2", "4", "3", "2"]
