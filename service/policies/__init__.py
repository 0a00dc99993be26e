"""The local policy: its shape, its versions in the store, and what a new one would change."""
