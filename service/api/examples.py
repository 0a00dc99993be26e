"""Examples for the contract, from an invented college. Tests hold them to the shapes and to the real replies."""

from typing import Any

from service.problems import KINDS, FieldError, Problem

ASKED: dict[str, Any] = {
    "plain_words": {"text": "250 mL of 0.100 M sodium chloride"},
    "typed": {
        "request": {
            "kind": "prepare",
            "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.100", "unit": "mol/L"}}],
            "total": {"value": "250", "unit": "mL"},
        }
    },
}

_VERSIONS = {"rules": "3f1c2a9b7d04", "data": "b81e0c55a2f7"}
_HASH = "5d2c1f0e9b8a7d6c5b4a39281706f5e4d3c2b1a09f8e7d6c5b4a392817060504"
SOURCE: dict[str, Any] = {
    "source_id": "usp-29",
    "reference": "United States Pharmacopeia 29 - National Formulary 24, 2006, chapter <31> Volumetric Apparatus",
    "kind": "standard",
}
_CITATION = {"source_id": "cas-registry", "locator": "CAS 7647-14-5, formula agrees"}


def _amount(value: float, unit: str, display: str) -> dict[str, Any]:
    return {"value": value, "unit": unit, "display": display}


REPLIES: dict[str, Any] = {
    "planned": {
        "id": "7K3QX9M2TD",
        "outcome": "planned",
        "read_as": "250 mL of 0.100 mol/L sodium chloride",
        "plan": {
            "product": {"substance": "sodium chloride", "formula": "NaCl"},
            "measure": [{"what": "sodium chloride", "role": "solute", "amount": _amount(1.4610, "g", "1.461 g")}],
            "route": {"kind": "weigh", "why": "The mass is above the balance's minimum weight."},
            "steps": [{"n": 1, "action": "weigh", "text": "Weigh 1.461 g of sodium chloride."}],
        },
        "versions": _VERSIONS,
    },
    "question": {
        "id": "9D4WBN71CE",
        "outcome": "question",
        "question": {
            "about": "form",
            "text": "Which copper sulfate is on the shelf?",
            "options": [
                {"id": "pentahydrate", "label": "pentahydrate", "effect": "12.48 g"},
                {"id": "anhydrous", "label": "anhydrous", "effect": "7.98 g"},
            ],
        },
        "versions": _VERSIONS,
    },
    "not_understood": {
        "id": "2HZ8RTA0VM",
        "outcome": "not_understood",
        "problem": {
            "code": "nothing-asked",
            "message": "There is no request in this text.",
            "span": [0, 0],
            "remedy": "Name a substance, a strength and a volume.",
            "suggestions": ["250 mL of 0.1 M sodium chloride"],
        },
        "versions": _VERSIONS,
    },
}

PLAN_LIST: dict[str, Any] = {
    "plans": [
        {
            "id": "7K3QX9M2TD",
            "at": "2026-11-25T09:30:00.000000Z",
            "outcome": "planned",
            "text": "250 mL of 0.100 M sodium chloride",
            "read_as": "250 mL of 0.100 mol/L sodium chloride",
            "plan_hash": _HASH,
        }
    ],
    "next": 1204,
}
_RULE_LINE = {
    "id": "beyond-solubility",
    "group": "solubility",
    "title": "the strength is within what dissolves",
    "severity": "stop",
    "applies_to": "solids with a known solubility",
}
RULE_LIST: dict[str, Any] = {"rules": [_RULE_LINE]}
RULE: dict[str, Any] = {
    **_RULE_LINE,
    "rationale": "What does not dissolve is not in the solution.",
    "remedy": "Ask for less.",
    "citations": [],
    "examples": [{"text": "20 M NaCl, 500 mL", "result": "fired"}],
}
_LINE = {
    "slug": "sodium-chloride",
    "name": "sodium chloride",
    "formula": "NaCl",
    "family": "salt",
    "forms": ["anhydrous"],
}
SUBSTANCE_LIST: dict[str, Any] = {"substances": [_LINE]}
SUBSTANCE_NEAR: dict[str, Any] = {"substances": [], "suggestions": ["sodium chloride"]}
SUBSTANCE: dict[str, Any] = {
    "slug": "sodium-chloride",
    "name": "sodium chloride",
    "formula": "NaCl",
    "family": "salt",
    "molar_mass": 58.4425,
    "names": ["common salt"],
    "citation": _CITATION,
    "forms": [{"label": "anhydrous", "water": "0", "formula": "NaCl", "sold": True, "citation": _CITATION}],
}
HEALTH: dict[str, Any] = {
    "live": True,
    "ready": True,
    "store": "sqlite",
    "login": "none: single user, on this machine only",
    "audit_head_agreed_at_start": True,
    "audit_head": {"seq": 1204, "hash": _HASH},
    "versions": _VERSIONS,
}
START: dict[str, Any] = {
    "name": "Prepwright",
    "about": "Ask for a solution of known concentration in plain words; get a checked plan.",
    "version": "0.1.0",
    "endpoints": {"GET /v1/health": "whether the service can take requests"},
}


def problem(slug: str) -> Problem:
    """A problem of that kind as it may occur."""
    if slug == "invalid-request":
        return Problem(
            slug,
            "2 fields cannot be used.",
            (
                FieldError("/request/total/value", "must be a number above 0"),
                FieldError("/request/total/unit", "'furlong' is not a unit for total", ("L", "mL", "g")),
            ),
        )
    return Problem(slug, f"{KINDS[slug].meaning}")
