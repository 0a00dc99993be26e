"""Rules on the vessel the volume is made in."""
