"""What holds for any sequence of messages, any option, any volume."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.message_reader import read_message
from service.bench import default_bench
from service.conversations.state import State, from_json, request_of, to_json
from service.conversations.turn import Turn, take, turn
from service.pipeline import answer

BENCH = default_bench()
TAKEN_FOR = {"amendment", "answer", "question", "new_request", "thanks", "not_understood"}
OPENINGS = (
    "250 mL of 0.1 M potassium chloride",
    "500 mL of 0.1 M copper sulfate",
    "25 students, 20 mL each of 0.1 M sodium chloride",
    "250.0 mL of 0.200 M nickel sulfate hexahydrate",
    "500 mL of 0.1 M HCl from concentrated HCl",
    "100 mL of 5 % w/v sodium chloride",
    "250 mL of 0.1 m sodium chloride",
    "mix bleach with hydrochloric acid",
)
SAYINGS = (
    "make that 500 instead", "0.2 M", "use the pentahydrate", "the blue one", "2", "b",
    "make it 26 students", "add ten percent spare", "no spare",
    "what if it is only 97 % pure", "double it", "half that", "in a 250 mL flask", "from a 1 M stock",
    "make it accurate",
    "round it to three figures", "I weighed 13.08 g", "I weighed 0 g", "I pipetted 5 mL",
    "why not a beaker?", "why held?", "how long does it keep",
    "now the same for potassium chloride", "the same for copper sulfate", "thanks", "fhqwhgads",
    "not 500 mL", "7", "0", "0 mL", "0 M", "90000",
    "make it 5 %", "120 % pure", "100 mg/L", "1.18 g/mL", "5 g", "26 students, 15 mL each", "anhydrous",
    "what did you understand", "show the working",
    "which flask?", "is it dangerous", "why that hydrate", "a quarter of that", "ten times as much", "1 kg",
    "the strength to 3", "sodium chloride",
    "copper sulfate pentahydrate", "what goes on the label", "can I make it stronger", "30 C", "yes", "start again",
)  # fmt: skip
TEXTS = st.one_of(st.sampled_from(OPENINGS), st.sampled_from(SAYINGS), st.text(max_size=40))
KEEPS = {"question", "thanks", "not_understood"}


def _checked(before: State, text: str) -> Turn:
    taken = turn(before, text, BENCH)
    document = taken.reply.document
    assert document["taken_for"] in TAKEN_FOR
    assert document["outcome"] == taken.reply.outcome
    assert document["versions"]
    if taken.taken_for in KEEPS and before.request is not None:
        assert (taken.state.request, taken.state.question) == (before.request, before.question)
    if before.request is not None and taken.state.request is None:
        assert taken.reply.document.get("answer", {}).get("text", "").startswith("Started again")
    if taken.reply.outcome == "question" and taken.taken_for != "question":
        assert taken.state.question == document["question"]
    assert from_json(to_json(taken.state)).request == taken.state.request
    return taken


@settings(max_examples=150, deadline=None)
@given(st.lists(TEXTS, min_size=1, max_size=6))
def test_any_sequence_gets_a_reply_and_loses_nothing(texts: list[str]) -> None:
    state = State()
    for text in texts:
        state = _checked(state, text).state


@pytest.mark.parametrize("opening", OPENINGS)
@pytest.mark.parametrize("saying", SAYINGS)
def test_every_saying_after_every_opening(opening: str, saying: str) -> None:
    state = _checked(State(), opening).state
    first = _checked(state, saying)
    assert turn(state, saying, BENCH).reply.document == first.reply.document
    _checked(first.state, "double it")


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from(SAYINGS), max_size=3).map(", ".join)))
def test_reading_a_message_never_faults(text: str) -> None:
    read_message(text)


@pytest.mark.parametrize(
    "opening",
    [
        "500 mL of 0.1 M copper sulfate",
        "250 mL of 0.1 M iron chloride",
        "250 mL of 0.1 m sodium chloride",
        "100 mL of 5 % sodium chloride",
        "250 mL of 0.1 N potassium permanganate",
    ],
)
def test_an_option_gives_the_plan_it_promised(opening: str) -> None:
    state = turn(None, opening, BENCH).state
    assert state.question is not None
    for place, option in enumerate(state.question["options"], 1):
        by_number = turn(state, str(place), BENCH)
        by_label = turn(state, option["label"], BENCH)
        by_request = take(state, request_of(option["request"]), BENCH)
        promised = answer(request_of(option["request"]), BENCH).document
        for taken in (by_number, by_label, by_request):
            assert taken.taken_for == "answer"
            assert {k: v for k, v in taken.reply.document.items() if k != "taken_for"} == promised
        if "plan" in promised:
            assert option["effect"].startswith(promised["plan"]["measure"][0]["amount"]["display"])


def test_the_options_of_a_question_about_a_change_give_the_plan_they_promise() -> None:
    first = turn(None, "1 L of 0.5 M potassium chloride", BENCH)
    asked = turn(first.state, "make that 2", BENCH)
    for place, option in enumerate(asked.reply.document["question"]["options"], 1):
        document = turn(asked.state, str(place), BENCH).reply.document
        assert document["plan"]["measure"][0]["amount"]["display"] == option["effect"]


def _first_amount(document: dict[str, Any]) -> float:
    value: float = document["plan"]["measure"][0]["amount"]["value"]
    return value


@settings(max_examples=60, deadline=None)
@given(st.integers(10, 5000), st.integers(10, 5000))
def test_another_volume_scales_the_amount(one: int, other: int) -> None:
    first = turn(None, f"{one} mL of 0.100 M potassium chloride", BENCH)
    second = turn(first.state, f"make it {other} mL", BENCH)
    assert second.taken_for == "amendment"
    # The same as asking for that volume at once; a mass on the direct route is in proportion.
    asked = answer(f"{other} mL of 0.100 M potassium chloride", BENCH).document
    assert second.reply.document["plan"] == asked["plan"]
    kinds = {t.reply.document["plan"]["route"]["kind"] for t in (first, second)}
    if kinds == {"weigh"}:
        ratio = _first_amount(second.reply.document) / _first_amount(first.reply.document)
        assert ratio == pytest.approx(other / one, rel=1e-9)


@pytest.mark.parametrize(
    ("opening", "message", "same_as"),
    [
        ("250 mL of 0.1 M potassium chloride", "make that 500 instead", "500 mL of 0.1 M potassium chloride"),
        (
            "250 mL of 0.1 M sodium chloride",
            "now the same for potassium chloride",
            "250 mL of 0.1 M potassium chloride",
        ),
        ("500 mL of 0.1 M copper sulfate", "use the pentahydrate", "500 mL of 0.1 M copper(II) sulfate pentahydrate"),
        (
            "250 mL of 0.1 M potassium chloride",
            "from a 1 M stock",
            "250 mL of 0.1 M potassium chloride from a 1 M stock",
        ),
        ("250 mL of 0.1 M potassium chloride", "assay 98.5 %", "250 mL of 0.1 M potassium chloride, assay 98.5 %"),
        ("250 mL of 0.1 M potassium chloride", "make it accurate", "accurately 250 mL of 0.1 M potassium chloride"),
    ],
)
def test_a_change_gives_what_asking_at_once_gives(opening: str, message: str, same_as: str) -> None:
    taken = turn(turn(None, opening, BENCH).state, message, BENCH)
    assert taken.reply.document["plan"]["measure"] == answer(same_as, BENCH).document["plan"]["measure"]


@settings(max_examples=100, deadline=None)
@given(st.integers(1, 40_000).map(lambda n: Decimal(n) / 1000))
def test_the_strength_from_what_was_weighed_is_mass_over_molar_mass_and_volume(grams: Decimal) -> None:
    first = turn(None, "250.0 mL of 0.200 M nickel sulfate hexahydrate", BENCH)
    plan = first.reply.document["plan"]
    molar_mass, window = plan["product"]["molar_mass"]["value"], plan["measure"][0]["window"]
    found = turn(first.state, f"I weighed {grams:f} g", BENCH).reply.document["answer"]
    assert found["amount"]["value"] == pytest.approx(float(grams) / molar_mass / 0.25, rel=1e-9)
    inside = window["low"]["value"] <= float(grams) <= window["high"]["value"]
    assert ("stays in the window" in found["text"]) == inside
    assert ("outside the window" in found["text"]) == (not inside)


def test_an_amendment_is_no_change_of_the_request_it_starts_from() -> None:
    state = turn(None, OPENINGS[0], BENCH).state
    before = to_json(state)
    after = turn(state, "double it, 97 % pure", BENCH).state
    assert to_json(state) == before
    assert to_json(after) != before
