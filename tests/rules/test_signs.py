"""A rule that is not asked for want of a sign would have found nothing: skipping saves time and never hides a finding."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from grammar import read
from grammar.request import Combine, Prepare
from rules.plan import DraftPlan
from rules.rule import judge
from rules.signs import signs_of
from service.bench import default_bench
from service.planner.draft import draft

BENCH = default_bench()
#: Units that no example and no case happens to use.
RARE = ("1 L of 20 mmol/kg sodium chloride", "1 L of 20 mN sodium hydroxide")
CASES = Path(__file__).parents[1] / "cases"


def texts() -> Iterator[str]:
    """Every example of every rule and every case: among them one that fires for each rule."""
    yield from (example.text for rule in BENCH.rules for example in rule.examples)
    yield from RARE
    for file in sorted(CASES.glob("*.jsonl")):
        yield from (case["text"] for line in file.read_text().splitlines() if "text" in (case := json.loads(line)))


def plans() -> Iterator[DraftPlan]:
    for text in dict.fromkeys(texts()):
        request = read(text)
        if isinstance(request, Prepare | Combine):
            plan = draft(request, BENCH)
            yield plan
            for open_ in plan.opens:
                yield from (draft(option.request, BENCH) for option in open_.options)


def test_a_rule_without_its_sign_finds_nothing() -> None:
    shown: set[str] = set()
    for plan in plans():
        signs = signs_of(plan)
        shown |= signs
        for rule in BENCH.rules:
            if rule.only_where is not None and rule.only_where.isdisjoint(signs):
                assert rule.gather(plan) is None, f"{rule.id} applies to {plan.request} without {sorted(rule.only_where)}"
    assert len(shown) > 100


def test_every_sign_a_rule_waits_for_is_shown_by_some_request() -> None:
    shown = set().union(*(signs_of(plan) for plan in plans()))
    waited = set().union(*(rule.only_where for rule in BENCH.rules if rule.only_where is not None))
    assert waited <= shown, f"misspelt, or never tried: {sorted(waited - shown)}"


def test_where_signs_cannot_be_told_every_rule_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = next(plans())
    asked = judge(plan, BENCH.rules)

    def broken(_plan: DraftPlan) -> set[str]:
        raise KeyError

    monkeypatch.setattr("rules.rule.signs_of", broken)
    assert judge(plan, BENCH.rules) == asked
