"""Servers that are killed, and databases that are restarted, while clients write: nothing acknowledged may be lost.

``python -m tests.crash`` runs it at length and prints the figures; ``tests/service`` runs a short part of it.
"""
