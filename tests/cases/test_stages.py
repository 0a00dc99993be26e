"""One file of sentences for each stage of the flow: understand, check, decide, compute, make, judge.

A case names the outcomes allowed and what must hold of the reply: an ``amount`` to measure (worked out apart from the
project, from the molar masses of the ``chemicals`` library), numbers a question ``shows``, what it is ``about``, rules
that ``fired``, the ``route``, the ``vessel`` in mL, the ``order`` of steps, the ``classes`` of the made solution,
values that ``never`` appear, or ``noplan``.
"""

import json
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.pipeline import answer

STAGES = ("understand", "check", "decide", "compute", "make", "judge")
HERE = Path(__file__).parent
Case = dict[str, Any]
KNOWN = {"text", "outcome", "amount", "shows", "about", "fired", "route", "vessel", "order", "classes", "never", "noplan"}


def cases() -> Iterator[Any]:
    for stage in STAGES:
        for line in (HERE / f"{stage}.jsonl").read_text(encoding="utf-8").splitlines():
            case = json.loads(line)
            yield pytest.param(case, id=f"{stage}: {case['text']}")


def measured(document: Case) -> list[tuple[float, str]]:
    return [(m["amount"]["value"], m["amount"]["unit"]) for m in document.get("plan", {}).get("measure", [])]


def numbers_in(question: Case) -> list[float]:
    return [float(n) for option in question["options"] for n in re.findall(r"\d+\.?\d*", option["effect"])]


@pytest.mark.parametrize("case", list(cases()))
def test_the_reply_is_as_worked_out(case: Case) -> None:
    assert set(case) <= KNOWN
    reply = answer(case["text"])
    document = reply.document
    assert reply.outcome in case["outcome"], document.get("problem") or document.get("question")
    found = measured(document)
    for value in case.get("never", []):
        assert not any(math.isclose(value, got, rel_tol=0.003) for got, _ in found), f"{value} in {found}"
    if case.get("noplan"):
        assert "plan" not in document
    if "amount" in case and reply.outcome in ("planned", "held"):
        want = case["amount"]
        assert any(unit == want["unit"] and math.isclose(got, want["value"], rel_tol=want["rel"]) for got, unit in found), (
            f"worked out {want['value']} {want['unit']}, planned {found}")
    if "about" in case:
        assert document["question"]["about"] == case["about"]
    for value in case.get("shows", []):
        shown = numbers_in(document["question"])
        assert any(math.isclose(value, n, rel_tol=0.002) for n in shown), f"{value} not among {shown}"
    fired = {f["rule"] for f in document.get("findings", []) if f["result"] == "fired"}
    assert set(case.get("fired", [])) <= fired
    plan = document.get("plan", {})
    if "route" in case:
        assert plan["route"]["kind"] in case["route"]
    if "vessel" in case:
        assert plan["vessel"]["nominal"]["value"] == case["vessel"]
    if "order" in case:
        actions = iter([step["action"] for step in plan["steps"]])
        missing = [action for action in case["order"] if action not in actions]
        assert missing == [], f"not in this order: {[s['action'] for s in plan['steps']]}"
    if "classes" in case:
        said = {f"{c['class']} {c['category']}" for c in plan["hazards"].get("classes", [])}
        assert set(case["classes"]) <= said
        assert case["classes"] or not said, f"{said} where nothing is classified"


def test_every_stage_has_cases_and_none_is_asked_twice() -> None:
    texts = [(p.id or "") for p in cases()]
    assert len(texts) == len(set(texts)) >= 60
    assert all(any(t.startswith(f"{stage}:") for t in texts) for stage in STAGES)
