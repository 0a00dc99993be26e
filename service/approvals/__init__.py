"""Held plans: who may allow them, under which conditions, and what an approval covers later."""

from service.approvals.issue import may_be_issued

__all__ = ["may_be_issued"]
