"""The append-only, hash-chained log."""
