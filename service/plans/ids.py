"""Names of stored plans: short enough to read out, too many to guess."""

import secrets

_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's base 32: no I, L, O or U
_LENGTH = 10
_ALIKE = str.maketrans({"I": "1", "L": "1", "O": "0", "-": None, " ": None})


def new_id() -> str:
    """Ten characters, 50 random bits."""
    number = secrets.randbits(5 * _LENGTH)
    return "".join([_ALPHABET[number >> shift & 31] for shift in range(0, 5 * _LENGTH, 5)])


def read_id(typed: str) -> str | None:
    """The id as stored, from one that was typed by hand (any case, I and L for 1, O for 0, hyphens); else None."""
    plain = typed.upper().translate(_ALIKE)
    return plain if len(plain) == _LENGTH and all(c in _ALPHABET for c in plain) else None
