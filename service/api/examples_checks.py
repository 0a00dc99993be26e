"""Examples of checked answers for the contract; the tests hold them to the real replies."""

from typing import Any

CLAIMED: dict[str, Any] = {
    "plain_words": {
        "request": "500 mL of 0.100 M copper(II) sulfate pentahydrate",
        "claimed": {"value": "7.98", "unit": "g"},
    },
    "whole_sentence": {"claimed": {"text": "I got 1.46 g for 250 mL of 0.1 M sodium chloride - right?"}},
    "typed": {
        "request": {
            "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.100", "unit": "mol/L"}}],
            "total": {"value": "250", "unit": "mL"},
        },
        "claimed": {"value": "5.84", "unit": "g"},
    },
}
_SAID = "The water of crystallisation in CuSO4.5H2O was forgotten: 159.60 g/mol was used instead of 249.68 g/mol."
CHECKED: dict[str, Any] = {
    "wrong": {
        "id": "3V9QK0T6XB",
        "outcome": "answered",
        "read_as": "Check 7.98 g: Make 500 mL of 0.100 mol/L copper(II) sulfate pentahydrate",
        "answer": {
            "amount": {"value": 12.48385, "unit": "g", "display": "12.48 g"},
            "text": f"Not right: it is 12.48 g, not 7.98 g. {_SAID}",
            "verdict": "wrong",
            "slips": [{"id": "water-forgotten", "name": "water of crystallisation forgotten", "explanation": _SAID}],
        },
        "versions": {"rules": "3f1c2a9b7d04", "data": "b81e0c55a2f7"},
    }
}
