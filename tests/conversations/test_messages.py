"""What each message is read as."""

from decimal import Decimal

import pytest

from grammar.message import (
    About,
    Amend,
    Change,
    Message,
    Rounded,
    SetContainer,
    SetForm,
    SetNumber,
    SetPeople,
    SetPurpose,
    SetQuantity,
    SetScale,
    SetSolute,
    SetSource,
    SetSpare,
    StartAgain,
    Thanks,
    Weighed,
)
from grammar.message_reader import read_message
from grammar.request import Container, Named, Quantity, Source


def _q(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


CHANGES: list[tuple[str, tuple[Change, ...]]] = [
    ("make that 500 instead", (SetNumber(Decimal(500)),)),
    ("500", (SetNumber(Decimal(500)),)),
    ("the strength to 0.25", (SetNumber(Decimal("0.25"), "strength"),)),
    ("250 mL", (SetQuantity(_q("250", "mL")),)),
    ("can you make that 1 L?", (SetQuantity(_q("1", "L")),)),
    ("0.2 M", (SetQuantity(_q("0.2", "mol/L")),)),
    ("500 mL and 0.2 M please", (SetQuantity(_q("500", "mL")), SetQuantity(_q("0.2", "mol/L")))),
    ("500 mL altogether", (SetQuantity(_q("500", "mL"), "total"),)),
    ("use the pentahydrate", (SetForm("5"),)),
    ("the bottle is the 7 hydrate", (SetForm("7"),)),
    ("it's anhydrous", (SetForm("0"),)),
    ("seven hydrate", (SetForm("7"),)),
    ("the blue one", (SetForm(colour="blue"),)),
    ("make it 26 students", (SetPeople(26, "students"),)),
    ("26 pupils, 15 mL each", (SetPeople(26, "students"), SetQuantity(_q("15", "mL"), "each"))),
    ("add ten percent spare", (SetSpare(Decimal(10)),)),
    ("no spare", (SetSpare(Decimal(0)),)),
    ("what if it is only 97 % pure", (SetQuantity(_q("97", "%"), "purity"),)),
    ("assay 98.5 %", (SetQuantity(_q("98.5", "%"), "purity"),)),
    ("double it", (SetScale(Decimal(2)),)),
    ("half that", (SetScale(Decimal("0.5")),)),
    ("twice the strength", (SetScale(Decimal(2), "strength"),)),
    ("ten times as much", (SetScale(Decimal(10)),)),
    ("in a 250 mL flask", (SetContainer(Container("volumetric-flask", _q("250", "mL"))),)),
    ("from a 1 M stock", (SetSource(Source("stock", strength=_q("1", "mol/L"))),)),
    ("use the 1 M stock", (SetSource(Source("stock", strength=_q("1", "mol/L"))),)),
    ("we have a 1 M stock", (SetSource(Source("stock", strength=_q("1", "mol/L"))),)),
    ("we only have the anhydrous", (SetForm("0"),)),
    ("in 500 mL instead", (SetQuantity(_q("500", "mL")),)),
    ("using a 1 M stock", (SetSource(Source("stock", strength=_q("1", "mol/L"))),)),
    ("make it accurate", (SetPurpose("accurate"),)),
    ("now the same for potassium chloride", (SetSolute(Named("potassium chloride")),)),
    ("at 25 °C", (SetQuantity(_q("25", "degC")),)),
]

OTHERS: list[tuple[str, Message]] = [
    ("round it to three figures", Rounded(3)),
    ("I weighed 13.08 g", Weighed(_q("13.08", "g"))),
    ("we pipetted 24.6 mL", Weighed(_q("24.6", "mL"))),
    ("I weighed 2.5 g of sodium chloride", Weighed(_q("2.5", "g"), "sodium chloride")),
    ("why not a beaker?", About("vessel", vessel=Container("beaker"))),
    ("why held?", About("held")),
    ("how long does it keep", About("keeping")),
    ("where does the waste go", About("waste")),
    ("which balance", About("balance")),
    ("what gloves", About("protection")),
    ("why that hydrate", About("form")),
    ("show the working", About("working")),
    ("what is the molar mass", About("molar mass")),
    ("what is the molar mass of glucose", About("molar mass", "glucose")),
    ("how accurate is it", About("accuracy")),
    ("can I make it stronger", About("stronger")),
    ("which flask", About("flask")),
    ("what goes on the label", About("label")),
    ("is it safe to pour down the drain", About("drain")),
    ("what did you understand", About("understood")),
    ("thanks", Thanks()),
    ("ok, great, thank you!", Thanks()),
    ("start again", StartAgain()),
]


@pytest.mark.parametrize(("text", "changes"), CHANGES, ids=[t for t, _ in CHANGES])
def test_a_change(text: str, changes: tuple[Change, ...]) -> None:
    assert read_message(text) == Amend(changes)


@pytest.mark.parametrize(("text", "message"), OTHERS, ids=[t for t, _ in OTHERS])
def test_a_message(text: str, message: Message) -> None:
    assert read_message(text) == message


@pytest.mark.parametrize(
    "text",
    [
        "", "   ", "not 500 mL", "less than 500 mL", "no more than 0.2 M", "500-600 mL", "1:10",
        "2 x 500 mL", "2 L of water",
        "250 mL, 500 mL", "0.1 M, 0.2 M", "0.1 M NaCl", "100 mL of 0.1 M NaCl", "sodium chloride",
        "pentahydrate or anhydrous",
        "not the pentahydrate", "1,500 mL", "from 500 mL to 250 mL", "I weighed 13.08",
        "I weighed about ten grams", "why not use 0.1 M",
        "the same for", "x" * 400, "500 mL but not accurate enough", "twice", "from lutetium stock",
    ],
)  # fmt: skip
def test_what_is_no_message_for_certain_is_not_read(text: str) -> None:
    assert read_message(text) is None
