"""Solubility of more than ninety solids against a handbook and a second table (a compilation; some rows may share measurements).

W. M. Haynes (ed.), CRC Handbook of Chemistry and Physics, 98th ed., section 5, Aqueous Solubility of Inorganic Compounds at
Various Temperatures: mass percent of the solute without water. Second source in each row of ``solubility.csv``: the Solubility
table of Wikipedia (2019), or PHREEQC's pitzer.dat. Left out because the second source's basis is not clear: copper(II)
sulfate, chromium(VI) oxide and boric acid, whose figures there fit grams of another form or in 100 g of solution.

What is circular: 91 of the 95 rows of our table were typed from that handbook, so agreement with it shows only that they were
typed right; what can be wrong in them is held against the second table alone. The other four were taken from the second table.
Independent of both are the 14 solids held against models in ``test_solubility.py``.
"""

import csv
from pathlib import Path

import pytest

from rules.tables.solubility import Solubility, solubility
from rules.tables.substances import substance

NEAR = 0.05
with (Path(__file__).parent / "solubility.csv").open(encoding="utf-8", newline="") as handle:
    ROWS = list(csv.DictReader(handle, strict=True))


def ours(row: dict[str, str]) -> Solubility:
    found = solubility(row["substance"], float(row["temperature_degC"]))
    assert isinstance(found, Solubility)
    return found


def second(row: dict[str, str]) -> float:
    """Grams without water in 100 g of all the water: the water of a hydrate joins the solvent."""
    grams, kind = float(row["second_g_per_100g_water"]), substance(row["substance"])
    if row["second_basis"] == "anhydrous":
        return grams
    form = kind.form(row["second_basis"])
    assert form is not None and form.molar_mass and kind.molar_mass
    share = kind.molar_mass / form.molar_mass
    return 100 * grams * share / (100 + grams * (1 - share))


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['substance']}-{r['temperature_degC']}" for r in ROWS])
def test_within_five_percent_of_the_handbook_and_of_the_second_source_or_disputed(row: dict[str, str]) -> None:
    held, w = ours(row), float(row["handbook_w_pct"])
    handbook = 100 * w / (100 - w)
    apart = max(abs(held.g_anhydrous_per_100g_water / value - 1) for value in (handbook, second(row)))
    assert apart <= NEAR or held.kind == "disputed", (held.g_anhydrous_per_100g_water, handbook, second(row))


def test_sixty_solids_are_within_five_percent_without_dispute() -> None:
    agreed = {row["substance"] for row in ROWS if ours(row).kind in ("evaluated", "handbook")}
    assert len(agreed) >= 60
    assert len({row["substance"] for row in ROWS}) == len(ROWS)
    assert {row["second_source"] for row in ROWS} <= {"solubility-table-2019", "phreeqc"}


def test_each_row_is_held_against_one_source_it_was_not_taken_from() -> None:
    """The handbook and the second table never both count as a check of a row that was typed from one of them."""
    for row in ROWS:
        taken = {one.source_id for one in ours(row).cites}
        assert taken < {"crc-98", row["second_source"]}, (row["substance"], taken)
