"""The shelf: bottles and made solutions, what is taken from them, and what was made from what."""
