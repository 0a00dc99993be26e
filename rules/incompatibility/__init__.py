"""Rules on substances that must not meet."""
