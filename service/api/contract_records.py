"""What the published contract says of the bench record: shapes, examples and bodies."""

from typing import Any

from service.api import examples_records as examples
from service.schemas.records import Preparation, PreparationList
from service.schemas.standards import Standardisation, StandardisationList
from service.schemas.trials import Trial

Described = dict[str, Any]
_TEXT = {"schema": {"type": "string"}}
_HEADERS = {
    "Location": {**_TEXT, "description": "Where the record is kept."},
    "Prepwright-Audit-Head": {
        **_TEXT,
        "description": "The record's own audit entry, number:hash. Keep it as a receipt.",
    },
}


def _named(shown: dict[str, Any]) -> dict[str, Any]:
    return {name: {"summary": name.replace("_", " "), "value": value} for name, value in shown.items()}


def _described(shape: Any, description: str, shown: dict[str, Any], headers: Described | None = None) -> Described:
    found: Described = {
        "model": shape,
        "description": description,
        "content": {"application/json": {"examples": _named(shown)}},
    }
    return {**found, "headers": headers} if headers else found


def _body(schema: Described, shown: dict[str, Any]) -> Described:
    return {"required": True, "content": {"application/json": {"schema": schema, "examples": _named(shown)}}}


RECORDED = _described(Preparation, "The preparation as it stands.", examples.PREPARATIONS, _HEADERS)
PREPARATION = _described(Preparation, "The preparation as it stands.", examples.PREPARATIONS)
TRIED = _described(
    Trial, "What the record would say.",
    {name: {k: v for k, v in shown.items() if k in Trial.__annotations__} for name, shown in examples.PREPARATIONS.items()},
)  # fmt: skip
CORRECTED = _described(Preparation, "The preparation with the entry added.", examples.CORRECTED, _HEADERS)
PREPARATION_LIST = _described(PreparationList, "One page, newest first.", {"page": examples.PREPARATION_LIST})
STANDARDISED = _described(Standardisation, "The standardisation, accepted or not.", examples.STANDARDISED, _HEADERS)
STANDARDISATION_LIST = _described(
    StandardisationList, "Oldest first.", {"list": {"standardisations": list(examples.STANDARDISED.values())}}
)
RECORD_BODY = _body({"$ref": "#/components/schemas/PreparationBody"}, examples.BODIES)
STANDARDISE_BODY = _body({"$ref": "#/components/schemas/StandardisationBody"}, examples.TITRATED)
CORRECTION_BODY = _body(
    {
        "type": "object",
        "required": ["by", "reason", "record"],
        "additionalProperties": False,
        "properties": {
            "by": {"type": "string", "minLength": 1, "maxLength": 60},
            "reason": {"type": "string", "minLength": 1, "maxLength": 200},
            "record": {"$ref": "#/components/schemas/PreparationBody"},
        },
    },
    examples.CORRECTIONS,
)
PDF: Described = {
    "description": "The pages, ready to print.",
    "content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}},
}
