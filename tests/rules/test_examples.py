"""Every example of every rule, run through the whole pipeline: reading, drafting, judging."""

import pytest

from grammar import read
from grammar.request import Misread
from rules.catalogue import catalogue
from rules.rule import Example, Rule
from rules.tables.substances import by_name
from service.bench import default_bench
from service.pipeline import consider

CASES = [(rule, example) for rule in catalogue() for example in rule.examples]


@pytest.mark.parametrize(("rule", "example"), CASES, ids=[f"{rule.id}: {example.text}" for rule, example in CASES])
def test_example(rule: Rule, example: Example) -> None:
    request = read(example.text, known=lambda words: bool(by_name(words)))
    assert not isinstance(request, Misread), request.message
    found = [f for f in consider(request, default_bench()).findings if f.rule == rule.id]
    said = [f.message for f in found if f.result == example.result]
    assert said, f"gave {sorted({f.result for f in found})}, not {example.result}"
    if example.result in ("fired", "unchecked"):
        assert example.message in said
