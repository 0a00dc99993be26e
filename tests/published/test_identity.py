"""Every form against the ``chemicals`` data set (C. Bell and contributors, 1.5): CAS number, formula, composition.

Forms whose number the data set does not know are counted, not passed. Where the two differ each case was looked at, and
``identity_differences.csv`` says what is wrong there; a row that no longer differs fails, so the list cannot go stale.
"""

import csv
import re
from collections import Counter
from functools import lru_cache
from pathlib import Path

import pytest
from chemicals.elements import nested_formula_parser
from chemicals.identifiers import check_CAS, search_chemical

from grammar.formula import composition
from rules.tables.masses import split_water
from rules.tables.substances import Form, all_substances

with (Path(__file__).parent / "identity_differences.csv").open(encoding="utf-8", newline="") as handle:
    DIFFERENCES = {row["form"]: row for row in csv.DictReader(handle, strict=True)}
FORMS = [form for kind in all_substances() for form in kind.forms if form.cas]


@lru_cache(maxsize=4096)
def there(cas: str) -> str | None:
    """The formula under that number in the data set, without charge; None where it is not known."""
    try:
        found = search_chemical(cas)
    except ValueError:
        return None
    return found.formula if found.CASs == cas else None


def ours(form: Form) -> dict[str, float]:
    dry, water = split_water(form.formula)
    counts: Counter[str] = Counter()
    for part, number in (*composition(dry).items(), ("H", 2 * float(water)), ("O", float(water))):
        counts[part] += float(number)  # type: ignore[assignment]
    return {symbol: count for symbol, count in counts.items() if count}


COMPARED = [form for form in FORMS if form.molar_mass is not None and there(form.cas)]


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.key)
def test_the_number_is_a_cas_number(form: Form) -> None:
    assert check_CAS(form.cas)


@pytest.mark.parametrize("form", COMPARED, ids=lambda form: form.key)
def test_the_composition_is_the_same_or_the_difference_is_explained(form: Form) -> None:
    formula = there(form.cas) or ""
    uncharged = re.sub(r"[+-]\d*$", "", formula)
    theirs = {symbol: float(count) for symbol, count in nested_formula_parser(uncharged).items()}
    listed = DIFFERENCES.get(form.key)
    if listed is None:
        assert ours(form) == pytest.approx(theirs)
    else:
        assert ours(form) != pytest.approx(theirs), "it agrees now: take its row out"
        assert (listed["cas"], listed["formula"], listed["formula_there"]) == (form.cas, form.formula, formula)
        assert listed["reason"]


def test_most_forms_are_compared_and_few_differ() -> None:
    assert len(COMPARED) >= 700
    assert len(DIFFERENCES) <= 0.06 * len(COMPARED)
    assert DIFFERENCES.keys() <= {form.key for form in COMPARED}
