"""Examples of the audit log, from an invented college."""

from typing import Any

_HASH = "9a1f0c44e2b7d3658c0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69"
PAGE: dict[str, Any] = {
    "entries": [
        {
            "seq": 4711,
            "at": "2027-01-11T08:15:00.000000Z",
            "by": "2MW8E6R1TB",
            "name": "Sam Oduya",
            "event": "plan.answered",
            "subject": "7G3KX0M2QD",
            "told": {
                "outcome": "held",
                "plan_hash": _HASH,
                "text_hash": _HASH,
                "versions": {"data": "b81e0c55a2f7", "rules": "3f1c2a9b7d04"},
            },
            "hash": _HASH,
            "outcome": "held",
            "text": "500 mL of 0.02 M potassium chromate",
            "read_as": "500 mL of 0.02 mol/L potassium chromate",
            "substances": [{"substance": "potassium-chromate", "strength_mol_L": 0.02, "amount_g": 1.942}],
        }
    ],
    "next": 4711,
    "totals": [
        {
            "substance": "potassium-chromate",
            "by": "2MW8E6R1TB",
            "name": "Sam Oduya",
            "outcome": "held",
            "count": 1,
            "amount_g": 1.942,
            "unknown_amounts": 0,
        }
    ],
    "without_strength": 0,
}
EXPORT_LINE = (
    '{"seq":1,"at":"2027-01-11T08:15:00.000000Z","actor":"local","event":"plan.answered","subject":"7G3KX0M2QD",'
    '"body":"{}","prev_hash":"' + "0" * 64 + '","hash":"' + _HASH + '"}\n'
)
WHOLE: dict[str, Any] = {"whole": True, "checked": {"seq": 4711, "hash": _HASH}}
ALTERED: dict[str, Any] = {
    "whole": False,
    "checked": {"seq": 1500, "hash": _HASH},
    "broken": {"seq": 1612, "code": "altered", "message": "entry 1612 was altered after it was written"},
}
