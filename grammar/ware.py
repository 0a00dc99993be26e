"""Vessels and bottles somebody named, with their size and material."""

from grammar.facts import Fact, Scanner
from grammar.lexing import Amount, payload
from grammar.tokens import Piece
from grammar.units import STRENGTHS


def keep_vessel(scan: Scanner, token: Piece, size: Fact | None, materials: list[str]) -> None:
    scan.facts.vessels.append((payload(token), size.quantity if size else None, materials[-1] if materials else None))
    if size is not None:
        scan.facts.vessel_volume = size


def vessel(scan: Scanner, token: Piece) -> None:
    """A vessel named without a size; "a bottle of 2 M" is the source."""
    j, kind = scan.ahead(frozenset(("OF", "FILLER")))
    held = scan.amount(j) if kind == "QUANTITY" and j > scan.i and scan.chunks[scan.i].type == "OF" else None
    said_before = any(f.place == "open" for f in scan.facts.strengths)
    if payload(token) == "bottle" and held is not None and held.kind in STRENGTHS and said_before:
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = scan.facts.source_opener or "stock"
        scan.facts.source_words.add("stock")
        return
    keep_vessel(scan, token, None, [])


def material(scan: Scanner, token: Piece) -> None:
    """ "brown bottle": a material counts when it stands before a vessel; else it is a word of a name."""
    j, kind = scan.ahead(frozenset(("MATERIAL", "QUANTITY")))
    if kind == "VESSEL":
        between = scan.chunks[scan.i : j]
        size = next((c for c in between if isinstance(c, Amount)), None)
        names = [payload(token), *(payload(t) for t in between if isinstance(t, Piece))]
        fact = Fact(size, scan.place, scan.loose, scan.after_to) if size and size.kind == "volume" else None
        keep_vessel(scan, scan.chunks[j], fact, names)  # type: ignore[arg-type]
        scan.i = j + 1
    elif scan.facts.vessels and scan.facts.vessels[-1][2] is None and not isinstance(scan.chunks[scan.i - 2], Amount):
        kind_of, nominal, _ = scan.facts.vessels[-1]
        scan.facts.vessels[-1] = (kind_of, nominal, payload(token))
    else:
        scan.name(token)
