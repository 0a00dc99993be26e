"""Classification cases read from the regulation: strengths just under and above each limit, European and American.

Regulation (EC) 1272/2008, Annex VI, Table 3 (specific concentration limits, to the 23rd adaptation) and Annex I (generic
limits, sums and acute toxicity estimates); 29 CFR 1910.1200, Appendix A. ``classification.csv``: one row a case, with the
index number, the limit as it stands there, the classes the solution has and those it has not. Percent by mass of the
substance as listed in that entry, strengths kept clear of the 5 % under a limit where the stricter class is taken.
"""

import csv
from pathlib import Path

import pytest

from rules.classify import classify
from rules.policies import policy
from rules.tables.hazards import hazard_entry
from rules.tables.load import source

with (Path(__file__).parent / "classification.csv").open(encoding="utf-8", newline="") as handle:
    CASES = list(csv.DictReader(handle, strict=True))


def _labels(case: dict[str, str]) -> set[str]:
    entry = hazard_entry(case["substance"], case["label"])
    assert entry is not None
    made = classify([(entry, case["substance"], float(case["percent"]))], policy(case["policy"]))
    return {f"{one.hazard_class} {one.category}".strip() for one in made.classes}


@pytest.mark.parametrize("case", CASES, ids=[f"{c['percent']} % {c['substance']} {c['policy']}" for c in CASES])
def test_the_class_is_that_of_the_regulation(case: dict[str, str]) -> None:
    found = _labels(case)
    assert set(filter(None, case["has"].split(";"))) <= found, (case["limit"], sorted(found))
    assert not set(filter(None, case["has_not"].split(";"))) & found, (case["limit"], sorted(found))


@pytest.mark.parametrize("case", CASES, ids=[f"{c['percent']} % {c['substance']} {c['policy']}" for c in CASES])
def test_the_case_looks_at_the_entry_it_names(case: dict[str, str]) -> None:
    entry = hazard_entry(case["substance"], case["label"])
    assert entry is not None
    assert case["index_number"] in entry.index_number
    assert source(case["document"]).kind == "regulation"


def test_enough_cases_and_both_sides_of_limits() -> None:
    assert len(CASES) >= 90
    assert len({c["index_number"] for c in CASES}) >= 30
    assert sum(bool(c["has"]) for c in CASES) >= 60 and sum(bool(c["has_not"]) for c in CASES) >= 60
    assert {c["policy"] for c in CASES} == {"eu", "us"}
    assert len({(c["substance"], c["label"], c["percent"], c["policy"]) for c in CASES}) == len(CASES)
