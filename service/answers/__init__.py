"""Questions answered with a value, and answers checked. Pure: no clock, no store, no network."""
