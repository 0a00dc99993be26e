"""Standardisation: raw titres against a standard, the strength they give, and whether it counts."""
