"""The language: one typed sentence in, a typed request out.

``read`` never raises and never guesses: it returns a ``Prepare``, a ``Combine`` or a ``Misread``.
"""

from grammar.asking_sentence import canonical
from grammar.lexing import Amount, chunks
from grammar.normalise import normalise
from grammar.numbers import comma_habit
from grammar.reader import read
from grammar.request import Quantity
from grammar.units import UNITS

__all__ = ["canonical", "read", "read_quantity"]


def read_quantity(text: str) -> Quantity | None:
    """Read "250 mL" or "0.1 mol dm-3" alone; None when it is not one number and one unit of the list."""
    if len(text) > 100:
        return None
    normal = normalise(text).text
    found = chunks(normal, comma_habit(normal))
    if len(found) != 1 or not isinstance(found[0], Amount) or found[0].problem is not None:
        return None
    quantity = found[0].quantity
    return quantity if quantity is not None and quantity.unit in UNITS else None
