"""Check documents against the committed contract."""

import json
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from service.openapi import FILE


@cache
def committed() -> dict[str, Any]:
    document: dict[str, Any] = json.loads(FILE.read_text("utf-8"))
    return document


@cache
def _registry() -> Registry[Any]:
    return Registry().with_resource("contract", Resource.from_contents(committed(), default_specification=DRAFT202012))


def faults(document: Any, schema: dict[str, Any]) -> list[str]:
    """Where the document departs from a schema of the contract."""
    absolute = json.loads(json.dumps(schema).replace('"#/components', '"contract#/components'))
    validator = Draft202012Validator(absolute, registry=_registry())
    return [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:300]}" for e in validator.iter_errors(document)]


def shape_faults(document: Any, name: str) -> list[str]:
    """Where the document departs from the named shape."""
    return faults(document, {"$ref": f"#/components/schemas/{name}"})
