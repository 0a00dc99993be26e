"""Printed names read back by OPSIN (D. M. Lowe et al., J. Chem. Inf. Model. 51 (2011) 739), where Java is present.

The name on the label, parsed by a program that knows only nomenclature, must give the composition in the table. Dyes and
trade names it cannot read are counted, not passed; ``opsin_differences.csv`` lists what it reads otherwise, with the reason.
"""

import csv
import re
import shutil
import warnings
from collections import Counter
from pathlib import Path

import pytest

from grammar.formula import composition
from rules.tables.substances import all_substances

with (Path(__file__).parent / "opsin_differences.csv").open(encoding="utf-8", newline="") as handle:
    DIFFERENCES = {row["substance"]: row for row in csv.DictReader(handle, strict=True)}
KINDS = [kind for kind in all_substances() if kind.formula]


@pytest.fixture(scope="module")
def read_back() -> dict[str, str]:
    if shutil.which("java") is None:
        pytest.skip("OPSIN runs on Java, and there is none here")
    from py2opsin import py2opsin

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = py2opsin([kind.name for kind in KINDS], output_format="StdInChI")
    return {kind.slug: inchi for kind, inchi in zip(KINDS, found, strict=True) if inchi}


def counted(inchi: str) -> dict[str, float]:
    """Atoms by the formula and proton layers of an InChI."""
    layers = inchi.split("/")
    counts: Counter[str] = Counter()
    for fragment in layers[1].split("."):
        times = re.match(r"\d*", fragment)
        assert times is not None
        for symbol, number in re.findall(r"([A-Z][a-z]?)(\d*)", fragment[times.end():]):
            counts[symbol] += int(times.group() or 1) * int(number or 1)
    for layer in layers[2:]:
        if layer.startswith("p"):
            counts["H"] += sum(int(part) for part in layer[1:].split(";") if part)
    return {symbol: float(number) for symbol, number in counts.items() if number}


def test_names_give_the_formula_in_the_table(read_back: dict[str, str]) -> None:
    other = {kind.slug for kind in KINDS if kind.slug in read_back
             and counted(read_back[kind.slug]) != {symbol: float(n) for symbol, n in composition(kind.formula).items()}}  # fmt: skip
    assert other == set(DIFFERENCES)
    assert all(row["reason"] for row in DIFFERENCES.values())


def test_most_names_are_read(read_back: dict[str, str]) -> None:
    assert len(read_back) >= 450
    assert len(DIFFERENCES) <= 0.05 * len(read_back)


def test_the_counting_of_atoms() -> None:
    assert counted("InChI=1S/Cu.H2O4S/c;1-5(2,3)4/h;(H2,1,2,3,4)/q+2;/p-2") == {"Cu": 1, "O": 4, "S": 1}
    assert counted("InChI=1S/2ClH.Ca/h2*1H;/q;;+2/p-2") == {"Cl": 2, "Ca": 1}
