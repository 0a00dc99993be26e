"""Rules on weighing."""
