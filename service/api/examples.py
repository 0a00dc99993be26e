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
    "class_set": {
        "text": "0.1 M sodium chloride",
        "class_set": {"students": 24, "group_size": 2, "each": {"value": "50", "unit": "mL"}, "spare_percent": "10"},
    },
}

_VERSIONS = {"rules": "3f1c2a9b7d04", "data": "b81e0c55a2f7", "policy": "0+9b1d77aa"}
_HASH = "5d2c1f0e9b8a7d6c5b4a39281706f5e4d3c2b1a09f8e7d6c5b4a392817060504"
SOURCE: dict[str, Any] = {
    "source_id": "usp-29",
    "reference": "United States Pharmacopeia 29 - National Formulary 24, 2006, chapter <31> Volumetric Apparatus",
    "kind": "standard",
}
_CITATION = {"source_id": "cas-registry", "locator": "CAS 7647-14-5, formula agrees"}


def _amount(value: float, unit: str, display: str) -> dict[str, Any]:
    return {"value": value, "unit": unit, "display": display}


_SALT_REQUEST = {
    "components": [
        {
            "solute": {"name": "sodium chloride", "as_typed": "sodium chloride"},
            "strength": {"value": "0.100", "unit": "mol/L"},
        }
    ],
    "total": {"value": "250", "unit": "mL"},
    "kind": "prepare",
}
_SALT_PLAN = {
    "product": {
        "substance": "sodium chloride",
        "formula": "NaCl",
        "concentration": _amount(0.1, "mol/L", "0.100 mol/L"),
        "volume": _amount(250.0, "mL", "250.0 mL"),
    },
    "measure": [
        {
            "what": "sodium chloride",
            "role": "solute",
            "amount": _amount(1.460994232, "g", "1.4610 g"),
            "textbook": "1.46 g",
            "using": "balance BA, 0.0001 g",
        }
    ],
    "route": {"kind": "weigh", "why": "The mass is large enough to weigh directly.", "alternatives": []},
    "steps": [{"n": 1, "action": "weigh", "text": "Weigh 1.4610 g of sodium chloride."}],
    "working": [{"method": "formulas", "lines": ["m = c V M = 0.1000 mol/L x 0.25 L x 58.440 g/mol = 1.4610 g"]}],
}


def _form(name: str, water: str) -> dict[str, Any]:
    return {
        "components": [
            {"solute": {"name": name, "water": water}, "strength": {"value": "0.1", "unit": "mol/L"}},
        ],
        "total": {"value": "500", "unit": "mL"},
        "kind": "prepare",
    }


# Each reply to the text in TEXTS under the same name. They show the shape, cut short; the numbers are the real ones.
TEXTS = {
    "planned": "250 mL of 0.100 M sodium chloride",
    "held": "250 mL of 0.1 M nickel sulfate hexahydrate",
    "question": "500 mL of 0.1 M copper sulfate",
    "refused": "mix bleach with hydrochloric acid",
    "answered": "mix sodium chloride with sucrose",
    "not_understood": "10 banana",
}
REPLIES: dict[str, Any] = {
    "planned": {
        "id": "7K3QX9M2TD",
        "outcome": "planned",
        "read_as": "Make 250 mL of 0.100 mol/L sodium chloride",
        "request": _SALT_REQUEST,
        "plan": _SALT_PLAN,
        "findings": [],
        "versions": _VERSIONS,
    },
    "held": {
        "id": "4N0E6YV8HS",
        "outcome": "held",
        "read_as": "Make 250 mL of 0.1 mol/L nickel sulfate hexahydrate",
        "plan": {
            "product": {"substance": "nickel(II) sulfate", "form": "hexahydrate", "formula": "NiSO4.6H2O"},
            "measure": [
                {
                    "what": "nickel(II) sulfate hexahydrate",
                    "role": "solute",
                    "amount": _amount(6.570985, "g", "6.571 g"),
                }
            ],
            "steps": [],
            "working": [],
        },
        "findings": [],
        "versions": _VERSIONS,
    },
    "question": {
        "id": "9D4WBN71CE",
        "outcome": "question",
        "read_as": "Make 500 mL of 0.1 mol/L copper sulfate",
        "question": {
            "about": "form",
            "text": "Which copper(II) sulfate is it?",
            "options": [
                {
                    "id": "copper-ii-sulfate-anhydrous",
                    "label": "anhydrous copper(II) sulfate",
                    "effect": "7.980 g",
                    "request": _form("copper(II) sulfate", "0"),
                },
                {
                    "id": "copper-ii-sulfate-pentahydrate",
                    "label": "copper(II) sulfate pentahydrate",
                    "effect": "12.48 g",
                    "request": _form("copper(II) sulfate", "5"),
                },
            ],
        },
        "versions": _VERSIONS,
    },
    "refused": {
        "id": "0RB5Z3CJQK",
        "outcome": "refused",
        "read_as": "Mix bleach with hydrochloric acid",
        "problem": {
            "code": "incompatible-pair",
            "message": "Sodium hypochlorite with hydrochloric acid: chlorine gas.",
            "remedy": "Do not bring them together. Keep the bottles and the waste apart.",
        },
        "versions": _VERSIONS,
    },
    "answered": {
        "id": "6TFM1G8W2A",
        "outcome": "answered",
        "read_as": "Mix sodium chloride with sucrose",
        "answer": {"text": "No clash between sodium chloride and sucrose is listed here. That is no clearance."},
        "versions": _VERSIONS,
    },
    "not_understood": {
        "id": "2HZ8RTA0VM",
        "outcome": "not_understood",
        "text": "10 banana",
        "problem": {
            "code": "number-without-role",
            "message": "The number 10 has no unit or word that tells what it is.",
            "span": [0, 2],
            "remedy": "Write its unit (mL, M, %) or leave it out.",
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
            "read_as": "Make 250 mL of 0.100 mol/L sodium chloride",
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
    "citations": [{"source_id": "crc-98", "locator": "Aqueous solubility of inorganic compounds at various temperatures"}],
}
RULE_LIST: dict[str, Any] = {"rules": [_RULE_LINE]}
RULE: dict[str, Any] = {
    **_RULE_LINE,
    "rationale": "What does not dissolve is not in the solution.",
    "remedy": "Ask for less.",
    "examples": [{"text": "20 M NaCl, 500 mL", "result": "fired"}],
}
_LINE = {
    "slug": "sodium-chloride",
    "name": "sodium chloride",
    "formula": "NaCl",
    "family": "salt",
    "forms": ["anhydrous"],
}
PHRASEBOOK: dict[str, Any] = {
    "requests": [
        {
            "text": "sodium chloride 250 mL 0.1 M",
            "read_as": "Make 250 mL of 0.1 mol/L sodium chloride",
            "request": {
                "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.1", "unit": "mol/L"}}],
                "total": {"value": "250", "unit": "mL"},
                "kind": "prepare",
            },
        }
    ],
    "refusals": [
        {
            "text": "make 250 banana of 0.1 M KBr",
            "code": "unknown-unit",
            "message": "banana is no unit known here.",
            "remedy": "Use mL, L, cm3, dm3, g, mg, M, mM, g/L, mg/L or %.",
        }
    ],
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
