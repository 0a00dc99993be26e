"""Whether a held plan may be printed: asked of whoever keeps the approvals."""

from collections.abc import Callable

Approved = Callable[[str], bool]


def nobody_has_approved(_plan_id: str) -> bool:
    """The answer of a service that keeps no approvals: a held plan stays held."""
    return False
