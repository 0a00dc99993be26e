"""The HTTP endpoints, one file per subject."""
