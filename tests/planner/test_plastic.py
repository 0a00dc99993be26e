"""What attacks glass is planned in plastic alone: no vessel, pipette or step of glass on the bench card."""

import pytest

from rules.tables.lab import default_lab
from service.pipeline import answer

TEXTS = [
    "250 mL of 1 M hydrofluoric acid from 40 % w/w density 1.13", "500 mL of 1 M HF from 5 M HF",
    "100 mL of 0.1 M ammonium hydrogen difluoride", "130 mL of 0.5 M hydrofluoric acid from 40 % w/w density 1.13",
    "3 L of 0.5 M hydrofluoric acid from 40 % w/w density 1.13", "100 g of 2 % w/w ammonium hydrogen difluoride",
    "250 mL of 0.001 M HF from 1 M HF",
]  # fmt: skip


@pytest.mark.parametrize("text", TEXTS)
def test_no_glass_is_named(text: str) -> None:
    reply = answer(text)
    assert reply.outcome == "held"
    plan = reply.document["plan"]
    shown = [plan.get("vessel", {}).get("words", "plastic"), *(m["using"] for m in plan["measure"] if "using" in m)]
    for words in shown:
        assert "plastic" in words or "balance" in words or "micropipette" in words, words
    for step in plan["steps"]:
        for ware in ("flask", "pipette", "burette", "cylinder", "beaker", "funnel", "dropper"):
            text_ = step["text"].replace("micropipette", "").replace("a volumetric flask is not a storage bottle", "")
            assert text_.count(ware) <= text_.count("plastic"), step["text"]
        assert "burette" not in step["text"]
        assert "glass" not in step["text"].replace("never glass", "")


def test_the_room_without_glass() -> None:
    lab = default_lab().without_glass()
    assert {ware.material for ware in (*lab.flasks, *lab.cylinders, *lab.beakers)} == {"plastic"}
    assert not (*lab.pipettes, *lab.burettes, *lab.graduated_pipettes, *lab.conical_flasks)
    assert [f.nominal_mL for f in lab.flasks] == [25, 50, 100, 250, 500, 1000]
    assert {ware.material for ware in default_lab().flasks} == {"glass"}


def test_a_plain_fluoride_keeps_its_glass() -> None:
    assert answer("250 mL of 0.1 M sodium fluoride").document["plan"]["vessel"]["words"] == "250 mL volumetric flask (class A)"
