"""Reading the reference tables: loud about every fault, and no value without a source.

A table is ``data/<table>.csv`` or several parts ``data/<table>.<part>.csv`` with the same columns. Each row names a
``source_id`` listed in ``sources.csv`` and a ``locator`` (page, table, section) inside that document.
"""

import csv
import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

TABLES = Path(__file__).parent / "data"
POLICIES = Path(__file__).parent.parent / "policies" / "data"

# Common practice, memory and a supplier's sheet have no page to point to.
_UNPLACED = frozenset({"practice", "memory", "supplier"})

Limits = Mapping[str, tuple[float, float]]
Choices = Mapping[str, frozenset[str]]


class TableError(Exception):
    """A data file is wrong: names the file, the line and the column, and says what to do about it."""

    def __init__(self, file: str, line: int, column: str, fault: str, remedy: str) -> None:
        super().__init__(f"{file}, line {line}, column '{column}': {fault}. {remedy}")
        self.file, self.line, self.column, self.fault, self.remedy = file, line, column, fault, remedy


@dataclass(frozen=True, slots=True)
class Source:
    """A document facts were taken from. ``kind`` is regulation, standard, handbook, paper, practice, memory ..."""

    source_id: str
    reference: str
    kind: str
    url: str


@dataclass(frozen=True, slots=True)
class Cite:
    """The citation a value carries: the document, and where in it the value stands."""

    source_id: str
    locator: str


@cache
def cite(source_id: str, locator: str) -> Cite:
    """The one shared ``Cite`` for that place, so that equal citations are the same object."""
    return Cite(source_id, locator)


def number(cell: str) -> float | None:
    """A numeric cell already checked by ``rows``: its value, or None where the table has a hole."""
    return float(cell) if cell else None


def rows(
    table: str,
    *,
    key: tuple[str, ...] = (),
    columns: tuple[str, ...] = (),
    filled: tuple[str, ...] = (),
    numeric: Limits | None = None,
    choices: Choices | None = None,
    cited: bool = True,
    folder: Path | None = None,
) -> list[dict[str, str]]:
    """Every row of a table, checked, as text cells by column name.

    ``key``: columns that together must be unique (the first one filled). ``columns``: columns that must exist.
    ``filled``: columns with no empty cell. ``numeric``: column -> (lowest, highest) allowed. ``choices``: column ->
    allowed texts. ``cited``: each row must name a known source and a locator. Raises ``TableError``.
    """
    where = folder or TABLES
    numeric, choices = numeric or {}, choices or {}
    needed = {*columns, *filled, *key, *numeric, *choices, *(("source_id", "locator") if cited else ())}
    known = _sources(where) if cited else {}
    must_fill = {*filled, *key[:1]}
    seen: dict[tuple[str, ...], str] = {}
    out: list[dict[str, str]] = []
    for file, line, row in _raw(table, where, needed):
        for column in must_fill:
            if not row[column]:
                raise TableError(file, line, column, "the cell is empty", "Fill it, or delete the row.")
        for column, (low, high) in numeric.items():
            if row[column]:
                _check_number(file, line, column, row[column], low, high)
        for column, allowed in choices.items():
            if row[column] and row[column] not in allowed:
                raise TableError(file, line, column, f"'{row[column]}' is not one of {', '.join(sorted(allowed))}",
                                 "Correct the spelling.")
        if cited:
            if row["source_id"] not in known:
                raise TableError(file, line, "source_id", f"unknown source '{row['source_id']}'",
                                 "Add the document to sources.csv or correct the id.")
            if not row["locator"] and known[row["source_id"]].kind not in _UNPLACED:
                raise TableError(file, line, "locator", "no place in the document is given",
                                 "Say the table, page or section.")
        if key:
            this = tuple(row[column] for column in key)
            if this in seen:
                raise TableError(file, line, key[0], f"{' / '.join(this)} was already given in {seen[this]}",
                                 "Keep one of the two rows.")
            seen[this] = f"{file}, line {line}"
        out.append(row)
    return out


def _raw(table: str, where: Path, needed: set[str]) -> Iterator[tuple[str, int, dict[str, str]]]:
    for path in files(table, where):
        with path.open(encoding="utf-8", newline="") as handle:
            lines = csv.reader(handle, strict=True)
            header = next(lines, [])
            for column in sorted(needed - set(header)):
                raise TableError(path.name, 1, column, "the column is missing", "Add it to the header and every row.")
            try:
                for cells in lines:
                    if len(cells) != len(header):
                        raise TableError(path.name, lines.line_num, header[-1],
                                         f"{len(cells)} cells where the header has {len(header)}",
                                         "Quote cells that hold a comma.")
                    yield path.name, lines.line_num, dict(zip(header, cells, strict=True))
            except csv.Error as fault:
                raise TableError(path.name, lines.line_num, header[0], str(fault), "Correct the quotes.") from fault


def _check_number(file: str, line: int, column: str, cell: str, low: float, high: float) -> None:
    try:
        value = float(cell)
    except ValueError:
        raise TableError(file, line, column, f"'{cell}' is not a number", "Give digits with a decimal point.") from None
    if not low <= value <= high:
        raise TableError(file, line, column, f"{cell} is outside {low:g} to {high:g}",
                         "Check the value and its unit against the source.")


def files(table: str, folder: Path | None = None) -> list[Path]:
    """The files that make up a table, in name order. Raises ``TableError`` when there is none."""
    where = folder or TABLES
    whole = where / f"{table}.csv"
    found = ([whole] if whole.exists() else []) + sorted(where.glob(f"{table}.*.csv"))
    if not found:
        raise TableError(f"{table}.csv", 0, "", "the table is missing", f"Restore it in {where.name}.")
    return found


@cache
def _sources(folder: Path) -> dict[str, Source]:
    found: dict[str, Source] = {}
    # A folder without its own list of sources (the policies) shares the list of the tables.
    where = folder if any(folder.glob("sources*.csv")) else TABLES
    needed = {"source_id", "reference", "kind", "url"}
    for _, _, row in _raw("sources", where, needed):
        found.setdefault(row["source_id"], Source(row["source_id"], row["reference"], row["kind"], row["url"]))
    if where != TABLES and folder == POLICIES:
        found = {**_sources(TABLES), **found}
    return found


def source(source_id: str) -> Source:
    """The document behind a citation. Raises ``KeyError`` for an id no table lists."""
    known = _sources(TABLES)
    return known[source_id] if source_id in known else _sources(POLICIES)[source_id]


@lru_cache(maxsize=1)
def data_version() -> str:
    """Twelve hex digits that change whenever any data file changes (SHA-256 over sorted names and bytes)."""
    digest = hashlib.sha256()
    for path in sorted([*TABLES.glob("*.csv"), *POLICIES.glob("*.csv")], key=lambda p: (p.name, str(p))):
        content = path.read_bytes()
        digest.update(f"{path.name}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()[:12]
