"""Rules on how well the strength is known."""
