"""The generated pages are those of the tables and rules as they stand, and hide no hole."""

import pytest

from rules.catalogue import GROUPS, catalogue
from rules.tables.substances import all_substances, substance
from service.reference.coverage import HOLE, UNCLASSED, coverage, totals
from service.reference.pages import DOCS, PAGES
from service.reference.rules import rule_list


@pytest.mark.parametrize("name", sorted(PAGES))
def test_page_is_up_to_date(name: str) -> None:
    written = (DOCS / name).read_text(encoding="utf-8")
    assert written == PAGES[name](), "run: python -m service.reference.pages"


def test_every_rule_stands_on_its_page_with_a_source() -> None:
    page = PAGES["rules.md"]()
    assert len(catalogue()) >= 110
    assert {rule.group for rule in catalogue()} == set(GROUPS)
    for rule in catalogue():
        line = next(line for line in page.splitlines() if line.startswith(f"| `{rule.id}` |"))
        assert rule.citation[0].source_id in line


def test_coverage_of_known_substances() -> None:
    salt, acid = coverage(substance("sodium-chloride")), coverage(substance("sulfuric-acid"))
    assert salt.solubility == "0 to 100 degC"
    assert salt.hazard == UNCLASSED  # a sheet was read that gives no class: told, and never counted as known
    assert acid.hazard == "harmonised"
    assert acid.density.startswith("to ")
    assert acid.heat == "held"


def test_holes_are_shown() -> None:
    counted = totals()
    all_ = len(all_substances())
    assert counted["forms"] == all_
    assert 0 < counted["solubility"] < all_
    page = PAGES["coverage.md"]()
    assert page.count(HOLE) > 100
    assert sum(line.startswith("| ") for line in page.splitlines()) >= all_


def test_the_list_of_rules_carries_every_source() -> None:
    for line in rule_list():
        assert line["citations"] and all(cited["source_id"] and cited["locator"] for cited in line["citations"]), line["id"]
