"""Bench sheets and records on paper, read back and compared with the plan and the record."""

import pytest

pytest.importorskip("typst", reason="the extra 'print' is not installed: pip install 'prepwright[print]'")
pages = pytest.importorskip("tests.paper.pages", reason="the extra 'dev' is not installed: nothing reads pages back")

from tests.conftest import Running  # noqa: E402
from tests.records.bench import PHTHALATE_RUNS, TITRATED, post, record  # noqa: E402


def sheet(running: Running, address: str) -> bytes:
    response = running.get(address)
    assert response.status_code == 200, response.text
    content: bytes = response.content
    return content


@pytest.mark.parametrize("text", ["250 mL of 0.100 M sodium chloride", "1 L of 1x PBS", "3 L of 0.1 M sodium chloride"])
def test_the_sheet_has_every_amount_step_and_caution(running: Running, text: str) -> None:
    reply = running.ask(text).json()
    pdf = sheet(running, f"/v1/plans/{reply['id']}/sheet")
    words, plan = pages.text_of(pdf), reply["plan"]
    for measure in plan["measure"]:
        assert measure["amount"]["display"] in words
    for step in plan["steps"]:
        for part in step["text"].split():
            assert part in words
        assert (step.get("caution") or "") in words
    for blank in ("really taken", "lot", "assay, %", "temperature, °C", "made by", "overshot", "did not dissolve"):
        assert blank in words
    for portion in plan["vessel"]["portions"] if plan["vessel"]["count"] > 1 else ():
        assert portion["amounts"][0]["display"] in words
    assert reply["id"] in words
    assert reply["id"] in pages.codes_of(pdf)
    assert set(pages.sizes_of(pdf)) == {(210.0, 297.0)}


def test_the_record_on_paper_has_the_strength_the_chain_and_the_titres(running: Running) -> None:
    made = record(
        running, "1 L of 0.1 M sodium hydroxide", "4.50", lot="4711", water="boiled out", deviations=["left overnight"]
    )
    body = {**made["recorded"], "used": [{**made["recorded"]["used"][0], "readings": ["4.05"]}]}
    correction = {"by": "JM", "reason": "digits swapped when typed", "record": body}
    post(running, f"/v1/preparations/{made['id']}/corrections", correction)
    titrated = post(running, f"/v1/preparations/{made['id']}/standardisations", TITRATED)
    words = pages.text_of(sheet(running, f"/v1/preparations/{made['id']}/sheet"))
    assert f"0.1016 mol/L ± {titrated['uncertainty']['U']['display']} (k = 2), standardised" in words
    for told in (
        "4.05 g",
        "lot 4711",
        "boiled out",
        "left overnight",
        "digits swapped when typed",
        "4.50 to 4.05",
        "JM",
        "accepted",
    ):
        assert told in words
    for run in PHTHALATE_RUNS:
        assert f"{run['mass_g']} g" in words
        assert f"{run['titre_mL']} mL" in words
    assert made["id"] in words


def test_the_record_of_a_failure_says_how_it_is_discarded(running: Running) -> None:
    failed = record(running, "250 mL of 0.100 M sodium chloride", "1.4610", outcome="not_dissolved")
    words = pages.text_of(sheet(running, f"/v1/preparations/{failed['id']}/sheet")).lower()
    assert "record of a failed preparation" in words
    assert failed["failed"]["reason"].lower() in words
    assert failed["failed"]["discard"][0]["advice"].lower() in words
