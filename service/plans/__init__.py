"""Stored replies: their ids and how they are written and found again."""
