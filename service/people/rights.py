"""Rights, the roles that carry them, and the right each endpoint asks for. Pure.

An endpoint that is not listed asks for ``plan:read`` to read and ``record:write`` for anything else, so that a new one
is never open by oversight.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

SCOPES: Final = ("plan:read", "plan:write", "record:write", "approve", "policy", "audit:read")
ALL_PLANS: Final = "plan:all"  # to see what others asked for; carried by roles, never by a key alone
PEOPLE: Final = "people"
CHECK: Final = "check"  # to have an answer checked, and nothing else
RIGHTS: Final = (*SCOPES, ALL_PLANS, PEOPLE, CHECK)

ROLES: Final[dict[str, frozenset[str]]] = {
    "requester": frozenset({"plan:read", "plan:write"}),
    "maker": frozenset({"plan:read", ALL_PLANS, "plan:write", "record:write"}),
    "head-technician": frozenset({"plan:read", ALL_PLANS, "plan:write", "record:write", "audit:read"}),
    "safety-officer": frozenset({"plan:read", ALL_PLANS, "plan:write", "approve", "policy", "audit:read"}),
    "auditor": frozenset({"plan:read", ALL_PLANS, "audit:read"}),
    "admin": frozenset({PEOPLE}),
    "learner": frozenset({CHECK}),
    "machine": frozenset(),  # what a machine may do stands in the scopes of its key
}

OPEN: Final = "open"  # nobody needs to have come in
ANYONE: Final = "anyone"  # everybody who has come in, whatever the role

# One of the rights named is enough.
_NEEDS: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("GET", "/v1/health"): (OPEN,),
    ("GET", "/v1/health/live"): (OPEN,),
    ("GET", "/metrics"): ("audit:read", PEOPLE),
    ("POST", "/v1/session"): (OPEN,),
    ("POST", "/v1/token"): (OPEN,),
    ("GET", "/v1/sign-in"): (OPEN,),
    ("GET", "/v1/sign-in/back"): (OPEN,),
    ("GET", "/v1/lti/login"): (OPEN,),
    ("POST", "/v1/lti/login"): (OPEN,),
    ("POST", "/v1/lti/launch"): (OPEN,),
    ("GET", "/v1/lti/keys"): (OPEN,),
    ("GET", "/v1/session"): (ANYONE,),
    ("DELETE", "/v1/session"): (ANYONE,),
    ("GET", "/v1/people"): (PEOPLE,),
    ("GET", "/v1/webhooks"): (PEOPLE,),
    ("POST", "/v1/webhooks"): (PEOPLE,),
    ("GET", "/v1/webhooks/{webhook_id}"): (PEOPLE,),
    ("POST", "/v1/webhooks/{webhook_id}/secret"): (PEOPLE,),
    ("POST", "/v1/webhooks/{webhook_id}/active"): (PEOPLE,),
    ("GET", "/v1/webhooks/{webhook_id}/deliveries"): (PEOPLE,),
    ("GET", "/v1/shelf"): (ALL_PLANS, "record:write"),
    ("GET", "/v1/shelf/export"): (ALL_PLANS, "record:write"),
    ("GET", "/v1/shelf/expiring"): (ALL_PLANS, "record:write"),
    ("GET", "/v1/shelf/{bottle_id}"): (ALL_PLANS, "record:write"),
    ("GET", "/v1/shelf/{bottle_id}/family"): (ALL_PLANS, "record:write"),
    ("GET", "/v1/plans/{plan_id}/shelf"): (ALL_PLANS, "record:write"),
    ("POST", "/v1/plans"): ("plan:write",),
    ("POST", "/v1/checks"): ("plan:write", CHECK),
    ("POST", "/v1/readings"): ("plan:read",),
    ("POST", "/v1/batches"): ("plan:write",),
    ("POST", "/v1/days"): ("plan:write",),
    ("POST", "/v1/conversations"): ("plan:write",),
    ("POST", "/v1/conversations/{conversation_id}/messages"): ("plan:write",),
    ("POST", "/v1/policies"): ("policy",),
    ("GET", "/v1/policies/{number}/diff"): ("policy", "audit:read"),
    ("POST", "/v1/policies/{number}/decision"): ("policy",),
    ("GET", "/v1/approvals"): ("approve", "audit:read"),
    ("POST", "/v1/plans/{plan_id}/approval"): ("approve",),
    ("POST", "/v1/plans/{plan_id}/withdrawal"): ("plan:write", "record:write"),
    ("GET", "/v1/audit"): ("audit:read",),
    ("GET", "/v1/audit/export"): ("audit:read",),
    ("GET", "/v1/audit/verification"): ("audit:read",),
}


def needed(method: str, path: str) -> tuple[str, ...]:
    """The rights of which one is enough for a method of a route (``/v1/plans/{plan_id}``); OPEN or ANYONE alone."""
    method = "GET" if method == "HEAD" else method
    found = _NEEDS.get((method, path))
    if found is not None:
        return found
    if method == "GET":
        return ("plan:read",) if path.startswith("/v1/") else (OPEN,)
    return ("record:write",)


def rights_of(roles: Iterable[str]) -> frozenset[str]:
    """What somebody with these roles may do. Raises KeyError for an unknown role."""
    return frozenset().union(*(ROLES[role] for role in roles))


def may(needs: tuple[str, ...], rights: frozenset[str]) -> bool:
    """Whether somebody who has come in with these rights may use an endpoint that needs one of ``needs``."""
    return needs[0] in (OPEN, ANYONE) or any(need in rights for need in needs)


@dataclass(frozen=True, slots=True)
class Caller:
    """Who sent a request: the id the log names, the name to show, what is allowed, and how they came in."""

    id: str
    name: str
    rights: frozenset[str]
    via: str

    @property
    def sees_all(self) -> bool:
        """Whether plans of others are shown too."""
        return ALL_PLANS in self.rights


LOCAL: Final = Caller("local", "the user of this machine", frozenset(RIGHTS), "local")
