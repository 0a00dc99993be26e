"""Words of questions and checks in any order: a reply, never a fault, and no number where the request has none."""

import json
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from service.pipeline import answer

HERE = Path(__file__).parents[1] / "cases"
SENTENCES = [
    json.loads(line)["text"]
    for name in ("questions", "checks")
    for line in (HERE / f"{name}.jsonl").open(encoding="utf-8")
]
WORDS = sorted({word for sentence in SENTENCES for word in sentence.split()})


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A sentence with a few words lost, put in or changed, or the first half of one and the second of another."""
    words = draw(st.sampled_from(SENTENCES)).split()
    for _ in range(draw(st.integers(1, 3))):
        place = draw(st.integers(0, max(0, len(words) - 1)))
        change = draw(st.sampled_from(["lose", "put", "change", "splice"]))
        if change == "splice":
            other = draw(st.sampled_from(SENTENCES)).split()
            words = other[: len(other) // 2] + words[len(words) // 2 :]
        else:
            words[place : place + (change != "put")] = [] if change == "lose" else [draw(st.sampled_from(WORDS))]
    return " ".join(words)


@given(mutated())
@settings(max_examples=300, deadline=None)
def test_any_words_get_a_reply(text: str) -> None:
    reply = answer(text)
    assert reply.outcome == reply.document["outcome"]
    if reply.outcome in ("question", "refused", "not_understood"):
        assert "amount" not in reply.document.get("answer", {})
    if "verdict" in reply.document.get("answer", {}):
        assert reply.outcome == "answered"
        assert reply.document["request"]["kind"] == "check"
