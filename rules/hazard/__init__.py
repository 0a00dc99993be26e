"""Rules on the hazard class as made, and who must be asked."""
