"""Reading the reference tables: loud about every fault, and no value without a source.

A table is ``data/<table>.csv``, or while it is being typed several parts ``data/<table>.<part>.csv`` with the same
columns. Each row names a ``source_id`` listed in ``sources.csv`` and a ``locator`` (page, table, section) in it.
"""

import csv
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple

from rules.tables import snapshot

TABLES = Path(__file__).parent / "data"
POLICIES = Path(__file__).parent.parent / "policies" / "data"
_OWN = {TABLES: "tables", POLICIES: "policies"}

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


class Cite(NamedTuple):
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
    name = f"{_OWN[where]}/{table}" if where in _OWN else ""
    ready: list[dict[str, str]] | None = snapshot.kept(name)
    if ready is not None:
        return ready
    numeric, choices = numeric or {}, choices or {}
    needed = {*columns, *filled, *key, *numeric, *choices, *(("source_id", "locator") if cited else ())}
    seen: dict[tuple[str, ...], str] = {}
    out: list[dict[str, str]] = []
    for part in (_read(path, needed) for path in files(table, where)):
        for column in (*key[:1], *filled):
            _refuse_any(part, column, {""}, "the cell is empty", "Fill it, or delete the row.")
        for column, (low, high) in numeric.items():
            _check_numbers(part, column, low, high)
        for column, allowed in choices.items():
            _refuse_any(part, column, set(part.columns[column]) - allowed - {""},
                        f"'{{}}' is not one of {', '.join(sorted(allowed))}", "Correct the spelling.")
        if cited:
            _check_citations(part, _sources(where))
        if key:
            _check_keys(part, key, seen)
        out += part.rows()
    if name:
        snapshot.record(name, out)
    return out


@dataclass(frozen=True, slots=True)
class _Part:
    """One file of a table: its columns, and the line each row stands on."""

    file: str
    lines: list[int]
    columns: dict[str, tuple[str, ...]]

    def fault(self, at: int, column: str, fault: str, remedy: str) -> TableError:
        return TableError(self.file, self.lines[at], column, fault, remedy)

    def rows(self) -> list[dict[str, str]]:
        header = tuple(self.columns)
        return [dict(zip(header, cells, strict=True)) for cells in zip(*self.columns.values(), strict=True)]


def _read(path: Path, needed: set[str]) -> _Part:
    with path.open(encoding="utf-8", newline="") as handle:
        reader = csv.reader(handle, strict=True)
        header = next(reader, [])
        for column in sorted(needed - set(header)):
            raise TableError(path.name, 1, column, "the column is missing", "Add it to the header and every row.")
        try:
            read = [(reader.line_num, cells) for cells in reader]
        except csv.Error as fault:
            raise TableError(path.name, reader.line_num, header[0], str(fault), "Correct the quotes.") from fault
    for line, cells in read:
        if len(cells) != len(header):
            raise TableError(path.name, line, header[-1], f"{len(cells)} cells where the header has {len(header)}",
                             "Quote cells that hold a comma.")
    columns = zip(*(cells for _, cells in read), strict=True) if read else ((),) * len(header)
    return _Part(path.name, [line for line, _ in read], dict(zip(header, columns, strict=True)))


def _refuse_any(part: _Part, column: str, wrong: set[str], fault: str, remedy: str) -> None:
    for at, cell in enumerate(part.columns[column]) if wrong.intersection(part.columns[column]) else ():
        if cell in wrong:
            raise part.fault(at, column, fault.format(cell), remedy)


def _check_numbers(part: _Part, column: str, low: float, high: float) -> None:
    for at, cell in enumerate(part.columns[column]):
        if not cell:
            continue
        try:
            inside = low <= float(cell) <= high
        except ValueError:
            raise part.fault(at, column, f"'{cell}' is not a number", "Give digits with a decimal point.") from None
        if not inside:
            raise part.fault(at, column, f"{cell} is outside {low:g} to {high:g}",
                             "Check the value and its unit against the source.")


def _check_citations(part: _Part, known: dict[str, Source]) -> None:
    ids, places = part.columns["source_id"], part.columns["locator"]
    _refuse_any(part, "source_id", set(ids) - set(known), "unknown source '{}'",
                "Add the document to sources.csv or correct the id.")
    for at, place in enumerate(places):
        if not place and known[ids[at]].kind not in _UNPLACED:
            raise part.fault(at, "locator", "no place in the document is given", "Say the table, page or section.")


def _check_keys(part: _Part, key: tuple[str, ...], seen: dict[tuple[str, ...], str]) -> None:
    for at, this in enumerate(zip(*(part.columns[column] for column in key), strict=True)):
        if this in seen:
            raise part.fault(at, key[0], f"{' / '.join(this)} was already given in {seen[this]}",
                             "Keep one of the two rows.")
        seen[this] = f"{part.file}, line {part.lines[at]}"


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
    # A folder without its own list of sources (the policies) shares the list of the tables.
    path = next(where / "sources.csv" for where in (folder, TABLES) if (where / "sources.csv").exists())
    part = _read(path, {"source_id", "reference", "kind", "url"})
    _check_keys(part, ("source_id",), {})
    return {row["source_id"]: Source(row["source_id"], row["reference"], row["kind"], row["url"]) for row in part.rows()}


def source(source_id: str) -> Source:
    """The document behind a citation. Raises ``KeyError`` for an id no table lists."""
    return _sources(TABLES)[source_id]


@lru_cache(maxsize=1)
def data_version() -> str:
    """Twelve hex digits that change whenever any data file changes (SHA-256 over sorted names and bytes)."""
    digest = hashlib.sha256()
    for path in sorted([*TABLES.glob("*.csv"), *POLICIES.glob("*.csv")], key=lambda p: (p.name, str(p))):
        content = path.read_bytes()
        digest.update(f"{path.name}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()[:12]
