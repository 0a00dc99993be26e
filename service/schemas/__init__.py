"""The shapes of everything the service sends, for the published contract. They describe; the hot path never runs them.

All objects are closed: what is not listed does not occur. A key that does not apply is absent, never null.
"""
