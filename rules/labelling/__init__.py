"""Rules on what stands on the label."""
