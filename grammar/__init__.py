"""The language: one typed sentence in, a typed request out.

``read`` never raises and never guesses: it returns a ``Prepare``, a ``Combine`` or a ``Misread``.
"""

from grammar.reader import read

__all__ = ["read"]
