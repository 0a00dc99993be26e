"""How a response with its shape and examples is described in the contract."""

from typing import Any

Described = dict[str, Any]


def described(shape: Any, description: str, shown: dict[str, Any], headers: Described | None = None) -> Described:
    """A response: its shape, what it is, examples by name, and headers."""
    named = {name: {"summary": name.replace("_", " "), "value": value} for name, value in shown.items()}
    found: Described = {
        "model": shape,
        "description": description,
        "content": {"application/json": {"examples": named}},
    }
    return {**found, "headers": headers} if headers else found


def object_body(properties: dict[str, Any], required: list[str], examples: dict[str, Any]) -> Described:
    """A JSON request body: an object of these properties and no others."""
    return {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "required": required,
                    "additionalProperties": False,
                    "properties": properties,
                },
                "examples": {
                    name: {"summary": name.replace("_", " "), "value": value} for name, value in examples.items()
                },
            }
        },
    }
