"""The rule catalogue as documents."""

from collections.abc import Iterable
from typing import Any

from rules.catalogue import catalogue
from rules.rule import Rule
from service.reference.citations import citation


def rule_list(group: str | None = None) -> list[dict[str, Any]]:
    """One line for each rule, of one group or of all, in catalogue order."""
    return [_line(rule) for rule in catalogue() if group is None or rule.group == group]


def groups() -> tuple[str, ...]:
    """The groups, in catalogue order."""
    return tuple(dict.fromkeys(rule.group for rule in catalogue()))


def rule(rule_id: str) -> dict[str, Any] | None:
    """One rule in full, or None."""
    found = _find(catalogue(), rule_id)
    if found is None:
        return None
    examples: list[dict[str, Any]] = []
    for example in found.examples:
        shown = {"text": example.text, "result": example.result}
        examples.append({**shown, "message": example.message} if example.message else shown)
    return {
        **_line(found),
        "rationale": found.rationale,
        "remedy": found.remedy,
        "examples": examples,
    }


def _find(rules: Iterable[Rule], rule_id: str) -> Rule | None:
    return next((rule for rule in rules if rule.id == rule_id), None)


def _line(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.id,
        "group": rule.group,
        "title": rule.title,
        "severity": rule.severity,
        "applies_to": rule.applies_to,
        "citations": [citation(c) for c in rule.citation],
    }
