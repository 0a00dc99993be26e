"""Examples of the local policy, from the invented college."""

from typing import Any

from service.policies.shape import LocalPolicy

POLICY: dict[str, Any] = LocalPolicy.model_validate(
    {
        "name": "Alder Vale College, from January 2027",
        "pack": "strictest",
        "students": {"acids_and_alkalis_mol_L": 0.5},
        "ask_first": [
            {
                "group": "chromate-vi",
                "above_mol_L": 0.01,
                "two_person": True,
                "reason": "chromates are being given up here",
            }
        ],
    }
).model_dump(mode="json", exclude_none=True)
REASON = "agreed at the safety meeting of 30 November"
PROPOSED: dict[str, Any] = {"policy": POLICY, "reason": REASON}
TRIED: dict[str, Any] = {"policy": POLICY, "reason": REASON, "dry_run": True}
DECIDED: dict[str, Any] = {
    "confirm": {"decision": "confirm", "reason": "read and agreed"},
    "decline": {"decision": "decline", "reason": "the cap must first be discussed with the teachers"},
}
_LINE: dict[str, Any] = {
    "n": 3,
    "version": "3+4f1c20ab",
    "state": "in force",
    "name": POLICY["name"],
    "pack": "strictest",
    "at": "2026-12-01T09:12:44.120334Z",
    "proposed_by": "7KQ2M4XW0D",
    "proposed_by_name": "Jo Hartley",
    "reason": REASON,
    "based_on": 0,
    "decided_at": "2026-12-01T10:02:10.004511Z",
    "decided_by": "4C8T0WQ2ZK",
    "decided_by_name": "Sam Okafor",
    "decision_reason": "read and agreed",
}
PAGE: dict[str, Any] = {"in_force": 3, "policies": [_LINE], "next": 3}
SHAPE: dict[str, Any] = {**_LINE, "policy": POLICY}
SHIPPED: dict[str, Any] = {
    "n": 0, "version": "0+9b1d77aa", "state": "in force", "name": "As shipped", "pack": "strictest",
    "policy": LocalPolicy().model_dump(mode="json", exclude_none=True),
}  # fmt: skip
DIFF: dict[str, Any] = {
    "n": 3,
    "state": "proposed",
    "based_on": 0,
    "changes": [
        {"field": "/name", "before": "As shipped", "after": POLICY["name"]},
        {"field": "/students/acids_and_alkalis_mol_L", "before": 1.0, "after": 0.5},
        {"field": "/ask_first", "after": POLICY["ask_first"][0]},
    ],
    "open_plans": {
        "looked_at": 41,
        "newest_only": False,
        "totals": [{"before": "planned", "after": "held", "plans": 1}],
        "plans": [
            {
                "plan": "9RX3D0K7MB",
                "read_as": "1.2 L of 1 mol/L sodium hydroxide",
                "before": "planned",
                "after": "held",
                "why": [
                    {
                        "rule": "student-strength-cap",
                        "message": "1.00 mol/L sodium hydroxide for students is above the cap of 0.5 mol/L.",
                    }
                ],
            }
        ],
    },
    "next": "Another person with the right 'policy' confirms it: POST /v1/policies/3/decision.",
}
DRY: dict[str, Any] = {
    **{key: value for key, value in DIFF.items() if key not in ("n", "state")},
    "next": "Nothing was stored. Send it without dry_run to propose it.",
}
