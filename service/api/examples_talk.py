"""Examples of a conversation for the contract; tests hold the replies to what the dialogue really gives."""

from typing import Any

from service.api.examples import REPLIES

TALK = ("500 mL of 0.1 M copper sulfate", "the blue one", "which flask?")
OPENED: dict[str, Any] = {"conversation": "4C8T0WQ2ZK"}
_MADE = {
    "read_as": "Make 500 mL of 0.1 mol/L copper(II) sulfate pentahydrate",
    "request": REPLIES["question"]["question"]["options"][1]["request"],
}
_VERSIONS = REPLIES["question"]["versions"]
MESSAGES: dict[str, Any] = {
    "question": {**REPLIES["question"], **OPENED, "taken_for": "new_request"},
    "answer": {
        "id": "8ND3VV10RE",
        **OPENED,
        "taken_for": "answer",
        "outcome": "planned",
        **_MADE,
        "assumptions": [
            "'The blue one' is taken as copper(II) sulfate pentahydrate (CuSO4.5H2O), by the colour in the bottle "
            "(common practice)."
        ],
        "versions": _VERSIONS,
    },
    "about_the_plan": {
        "id": "1HB9KX6PQS",
        **OPENED,
        "taken_for": "question",
        "outcome": "answered",
        **_MADE,
        "answer": {"text": "500 mL volumetric flask (class A), tolerance 0.25 mL (ISO 1042)."},
        "versions": _VERSIONS,
    },
}
CONVERSATION: dict[str, Any] = {
    **OPENED,
    "at": "2026-11-25T09:30:00.000000Z",
    "messages": [
        {
            "n": 1,
            "at": "2026-11-25T09:30:04.000000Z",
            "text": TALK[0],
            "taken_for": "new_request",
            "outcome": "question",
            "plan": "9D4WBN71CE",
        }
    ],
    "read_as": REPLIES["question"]["read_as"],
    "question": REPLIES["question"]["question"],
}
