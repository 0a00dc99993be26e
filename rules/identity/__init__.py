"""Rules on which substance, and which form of it, is meant."""
