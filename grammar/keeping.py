"""How a solid was treated before, and where the made solution is kept: never the temperature it is made at."""

from decimal import Decimal

from grammar.facts import NAME_TYPES, Scanner
from grammar.lexing import Amount
from grammar.request import Quantity
from grammar.tokens import Piece

_KEPT = frozenset(("stored", "store", "storing", "keep", "kept", "refrigerated", "refrigerate", "refrigerator"))
#: The colder end of what each keeps: the end at which crystals come out.
_SITES = {"fridge": Decimal(2), "cold room": Decimal(2), "freezer": Decimal(-20)}


def treatment(scan: Scanner, token: Piece) -> None:
    """ "dried at 120 °C for 2 hours" is set aside; "keep at 4 °C" and "store in the fridge" say where the solution is kept."""
    end = token.end_pos
    if token.lower() in ("dry", "dried") and scan.i < len(scan.chunks) and scan.chunks[scan.i].type in NAME_TYPES:
        # "1.9 g of pure dry KCl": said of the solid, whose name follows.
        scan.facts.aside.append((token.start_pos, end))
        scan.facts.dried = True
        return
    found = _site(token)
    while scan.i < len(scan.chunks) and scan.chunks[scan.i].type not in ("BREAK", "STOP", "PAREN"):
        chunk = scan.chunks[scan.i]
        if chunk.type == "NUMBER" or (isinstance(chunk, Amount) and chunk.kind not in ("temperature", "time")):
            break
        if isinstance(chunk, Amount) and chunk.kind == "temperature":
            found = _temperature(scan, chunk)
        elif isinstance(chunk, Piece) and chunk.type in ("SITE", "TREATMENT"):
            found = _site(chunk) or found
        scan.i += 1
        end = chunk.end_pos
    if found is not None and token.lower().split()[-1] in _KEPT:
        scan.facts.kept_at = Quantity(found, "degC")
    else:
        scan.facts.aside.append((token.start_pos, end))


def _site(word: Piece) -> Decimal | None:
    said = word.lower().removeprefix("the ")
    return _SITES["fridge"] if said.startswith("refrigerat") else _SITES.get(said)


def _temperature(scan: Scanner, amount: Amount) -> Decimal:
    """The degrees; below zero is no fault here. Raises ReadingError for a number without a safe reading."""
    problem = amount.problem
    if problem is not None and problem.code == "negative-number":
        return -Decimal(problem.readings[0])
    scan.check(amount)
    assert amount.quantity is not None
    return amount.quantity.value
