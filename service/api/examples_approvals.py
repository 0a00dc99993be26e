"""Examples of holds and decisions, from an invented college."""

from typing import Any

DECIDED: dict[str, Any] = {
    "approve": {"decision": "approve", "reason": "Class practical of year 12; made in the fume cupboard."},
    "with_conditions": {
        "decision": "approve",
        "reason": "For the plating practical only.",
        "conditions": {
            "up_to_volume_mL": 500,
            "up_to_strength": {"value": 0.2, "unit": "mol/L"},
            "room": "Prep room 2",
            "until": "2027-03-26",
        },
    },
    "decline": {"decision": "decline", "reason": "Zinc sulfate does the same job."},
}
WAITING: dict[str, Any] = {"state": "waiting", "needs": 1, "given": 0, "needed_by": "2027-01-15", "decisions": []}
APPROVED: dict[str, Any] = {
    "state": "approved",
    "needs": 1,
    "given": 1,
    "may_be_issued": True,
    "decisions": [
        {
            "by": "4T7KQ2M9XA",
            "name": "Jo Hartley",
            "at": "2027-01-11T08:15:00.000000Z",
            "decision": "approve",
            "reason": "For the plating practical only.",
            "conditions": DECIDED["with_conditions"]["conditions"],
        }
    ],
}
WITHDRAWN: dict[str, Any] = {
    "by": "2MW8E6R1TB",
    "name": "Sam Oduya",
    "at": "2027-01-12T09:40:00.000000Z",
    "reason": "The practical was moved to next term.",
}
QUEUE: dict[str, Any] = {
    "approvals": [
        {
            "plan": "7G3KX0M2QD",
            "at": "2027-01-10T15:02:11.000000Z",
            "asked_by": "2MW8E6R1TB",
            "asked_by_name": "Sam Oduya",
            "read_as": "100 mL of 0.150 mol/L nickel chloride hexahydrate",
            "reasons": [
                {
                    "rule": "carcinogen-or-reprotoxin-hold",
                    "message": "The made solution is classed as a carcinogen 1A.",
                }
            ],
            "approvable": True,
            "approval": WAITING,
        }
    ],
    "next": "979.2027-01-15.12",
}
