"""Examples of a prep day, from an invented college."""

from typing import Any

BODY: dict[str, Any] = {
    "date": "2027-01-18",
    "requests": [
        {"text": "500 mL of 0.100 M sodium chloride", "needed_by": "2027-01-18", "to": "Chemistry 1, room 12"},
        {
            "text": "0.1 M sodium chloride",
            "class_set": {
                "students": 24, "group_size": 2, "sections": 2, "each": {"value": "25", "unit": "mL"}, "repeats": 3,
                "rinse": {"value": "5", "unit": "mL"}, "rinses": 2, "spare_percent": "10",
            },
            "to": "Chemistry 2, room 14",
        },
        {"text": "500 mL of 0.1 M copper sulfate"},
    ],
}  # fmt: skip


def _amount(value: float, unit: str, display: str) -> dict[str, Any]:
    return {"value": value, "unit": unit, "display": display}


_MASS = _amount(16.035872690432004, "g", "16.036 g")
DAY: dict[str, Any] = {
    "id": "9XK20M4T7D",
    "at": "2027-01-15T14:02:11.402118Z",
    "date": "2027-01-18",
    "requests": 3,
    "preparations": [
        {
            "n": 1,
            "plan": "7G3KX0M2QD",
            "name": "sodium chloride",
            "read_as": "Make 2744 mL of 0.100 mol/L sodium chloride",
            "strength": "0.100 mol/L",
            "total": _amount(2744.0, "mL", "2744 mL"),
            "sum": ["500 + 2244 = 2744 mL"],
            "parts": [
                {"line": 1, "asked": "500 mL of 0.100 M sodium chloride", "total": _amount(500.0, "mL", "500.0 mL"),
                 "needed_by": "2027-01-18", "to": "Chemistry 1, room 12"},
                {
                    "line": 2, "asked": "0.1 M sodium chloride", "total": _amount(2244.0, "mL", "2244 mL"),
                    "sum": [
                        "24 students in pairs: 12 pairs", "3 repeats x 25 mL = 75 mL for each pair",
                        "2 rinses x 5 mL = 10 mL for each pair", "75 + 10 = 85 mL for each pair",
                        "12 pairs x 85 mL x 2 classes = 2040 mL", "10 % spare: 204 mL, 2244 mL in all",
                    ],
                    "to": "Chemistry 2, room 14",
                },
            ],
            "measure": [{"what": "sodium chloride", "role": "solute", "amount": _MASS}],
            "fume_cupboard": False,
            "waits": [],
            "needed_by": "2027-01-18",
            "because": "not classified here",
            "ready": "2027-01-18",
            "cautions": [],
        }
    ],
    "pick_list": [
        {"what": "sodium chloride", "amount": _MASS, "preparations": [1],
         "places": [{"bottle": "7KQ2M4XW0D", "place": "shelf A3", "lot": "NA-2210", "free": "640", "unit": "g"}]}
    ],
    "order": [
        {"n": 1, "do": "make", "preparation": 1, "text": "Make sodium chloride, 2744 mL, 0.100 mol/L.",
         "because": "not classified here"}
    ],
    "apart": [
        {
            "lines": [3], "asked": "500 mL of 0.1 M copper sulfate", "outcome": "question", "why": "question",
            "message": "It asks: Which copper(II) sulfate is it? It is sold in 2 forms, and their masses differ.", "plan": "QJ5V7B1N8S",
            "options": ["anhydrous copper(II) sulfate", "copper(II) sulfate pentahydrate"],
        }
    ],
    "versions": {"rules": "3f1c2a9b7d04", "data": "b81e0c55a2f7", "policy": "0+9b1d77aa"},
}  # fmt: skip
LIST: dict[str, Any] = {
    "days": [
        {"id": "9XK20M4T7D", "at": "2027-01-15T14:02:11.402118Z", "date": "2027-01-18", "requests": 3, "preparations": 1,
         "apart": 1}
    ],
    "next": 815,
}  # fmt: skip
