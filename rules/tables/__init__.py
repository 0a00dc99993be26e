"""Typed look-ups over the reference tables in ``data``; every value carries the document it came from."""
