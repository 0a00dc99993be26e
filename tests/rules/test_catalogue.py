"""The catalogue holds every rule file, and refuses a rule that breaks a convention."""

import pkgutil
from dataclasses import replace
from pathlib import Path

import pytest

import rules
from rules.catalogue import GROUPS, CatalogueError, catalogue, check_rule
from rules.tables.load import cite

HERE = Path(rules.__file__).parent


def test_every_file_in_the_group_folders_is_one_rule() -> None:
    files = [m.name for group in GROUPS for m in pkgutil.iter_modules([str(HERE / group)])]
    assert sorted(rule.id.replace("-", "_") for rule in catalogue()) == sorted(files)
    assert len(files) == len(catalogue()) >= 140


def test_every_group_has_rules() -> None:
    assert {rule.group for rule in catalogue()} == set(GROUPS)


#: Rules that guard the plan's own steps; ``test_guards`` shows them firing on spoilt plans.
GUARDS = {"mix-after-filling", "acid-into-water", "dissolve-before-the-flask", "cool-before-mark", "parts-exceed-total"}


def test_every_rule_shows_itself_firing_and_silent() -> None:
    lacking = {
        rule.id
        for rule in catalogue()
        if not {"fired", "unchecked"} & {e.result for e in rule.examples}
        or not {"passed", "not_applicable"} & {e.result for e in rule.examples}
    }
    assert lacking - GUARDS == set()


def test_no_rule_file_is_long() -> None:
    long = [
        str(path) for group in GROUPS for path in (HERE / group).glob("*.py") if len(path.read_text().splitlines()) > 90
    ]
    assert long == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"id": "another-name"}, "not the file's name"),
        ({"group": "balance"}, "not the folder's name"),
        ({"severity": "fatal"}, "no severity"),
        ({"citation": ()}, "no citation"),
        ({"citation": (cite("no-such-book", "page 1"),)}, "not listed in sources.csv"),
        ({"remedy": " "}, "'remedy' is empty"),
    ],
)
def test_a_rule_that_breaks_a_convention_is_refused(change: dict[str, object], said: str) -> None:
    rule = catalogue()[0]
    name = rule.id.replace("-", "_")
    check_rule(rule, rule.group, name, "here")
    with pytest.raises(CatalogueError, match=said):
        check_rule(replace(rule, **change), rule.group, name, "here")  # type: ignore[arg-type]
