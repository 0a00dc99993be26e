"""Examples of a reading for the contract; the tests hold them to what is really read."""

from typing import Any

ASKED: dict[str, Any] = {"text": "250 mL of 0.1 M sodium chloride"}
NOT_READ = "10 banana"
READINGS: dict[str, Any] = {
    "read": {
        "read_as": "Make 250 mL of 0.1 mol/L sodium chloride",
        "fields": [
            {"name": "substance", "value": "sodium chloride"},
            {"name": "strength", "value": "0.1 mol/L"},
            {"name": "amount", "value": "250 mL"},
        ],
    },
    "not_read": {
        "problem": {
            "code": "number-without-role",
            "message": "The number 10 has no unit or word that tells what it is.",
            "span": [0, 2],
            "remedy": "Write its unit (mL, M, %) or leave it out.",
        }
    },
}
