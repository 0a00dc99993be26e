"""The published contract: OpenAPI 3.1, built from the routes and the shapes, committed as ``service/openapi.json``.

Run ``python -m service.openapi`` to write the file anew.
"""

import json
from dataclasses import is_dataclass
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic import TypeAdapter

import grammar.request
from service.api.contract import EXTRA_SHAPES, problems
from service.people.rights import ANYONE, OPEN, needed
from service.problems import MEDIA_TYPE
from service.requests import MOST_ITEMS, units_for
from service.unit_codes import CODES

GATE_PROBLEMS = ("login-needed", "login-expired", "wrong-login", "only-this-machine", "cross-site", "too-many-requests")
_TAG = {"description": "Changes whenever the answer does.", "schema": {"type": "string"}}
_DECIMAL = r"^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$"
FILE = Path(__file__).with_name("openapi.json")
_ABOUT = """Ask for a solution of known concentration, in plain words or as a typed request, and get one of six
outcomes: planned, held, question, refused, answered, not_understood. All six are replies with status 200; an error
of the transport is a problem document (RFC 9457). Amounts stand in fixed units (g, mL, mol/L, g/L, %, mol/kg, degC,
g/mL), unrounded, with the text to show beside them. The same request under the same rules and data gives the same
reply, byte for byte but for its id."""


def contract(app: FastAPI) -> dict[str, Any]:
    """The contract of this application, as JSON values."""
    if app.openapi_schema is None:
        document = get_openapi(
            title="Prepwright",
            version="1",
            openapi_version="3.1.0",
            summary="Checked plans for solutions",
            description=_ABOUT.replace("\n", " "),
            routes=app.routes,
            separate_input_output_schemas=False,
            license_info={"name": "MIT", "identifier": "MIT"},
            servers=[{"url": "/"}],
        )
        shapes = document.setdefault("components", {}).setdefault("schemas", {})
        for shape in EXTRA_SHAPES:
            _add(shapes, shape)
        _drop_unused(document["paths"])
        _add_gate(document["paths"])
        _add_unchanged(document["paths"])
        for unused in ("HTTPValidationError", "ValidationError"):
            shapes.pop(unused, None)
        _close_requests(shapes)
        _say_decimals(shapes)
        app.openapi_schema = json.loads(json.dumps(document))
    return app.openapi_schema


def _add(shapes: dict[str, Any], shape: Any) -> None:
    schema = TypeAdapter(shape).json_schema(ref_template="#/components/schemas/{model}")
    own = vars(grammar.request)  # the typed request stands as the replies have it
    shapes.update({name: part for name, part in schema.pop("$defs", {}).items() if not (name in own and name in shapes)})
    shapes[schema.get("title", shape.__name__)] = schema


def _drop_unused(paths: dict[str, Any]) -> None:
    """Take out the 422 that the framework adds for every path parameter: a plain text cannot be wrong."""
    for operations in paths.values():
        for operation in operations.values():
            if "application/json" in operation["responses"].get("422", {}).get("content", {}):
                del operation["responses"]["422"]


def _add_gate(paths: dict[str, Any]) -> None:
    """What the gate may answer, at every endpoint that it does not leave open."""
    for path, operations in paths.items():
        for method, operation in operations.items():
            needs = needed(method.upper(), path)
            if needs[0] == OPEN:
                continue
            operation["description"] += f" Right: {' or '.join(needs)}."
            refusals = (*GATE_PROBLEMS, *(() if needs[0] == ANYONE else ("not-allowed",)))
            for status, response in problems(*refusals).items():
                held = operation["responses"].setdefault(str(status), response)
                if held is not response:
                    content, more = held["content"][MEDIA_TYPE], response["content"][MEDIA_TYPE]
                    content["examples"].update(more["examples"])
                    held["description"] = " / ".join(dict.fromkeys(e["summary"] for e in content["examples"].values()))


def _add_unchanged(paths: dict[str, Any]) -> None:
    """Any answer with an entity tag may be 304 where If-None-Match names it."""
    for operations in paths.values():
        found = operations.get("get")
        answer = {} if found is None else found["responses"].get("200", {})
        if found is not None and "application/json" in answer.get("content", {}):
            answer.setdefault("headers", {}).setdefault("ETag", _TAG)
            found["responses"]["304"] = {"description": "Nothing has changed since the entity tag sent in If-None-Match."}


def _close_requests(shapes: dict[str, Any]) -> None:
    """Say of the typed request what its reader also enforces: no unknown fields."""
    for name, shape in vars(grammar.request).items():
        if is_dataclass(shape) and name in shapes:
            shapes[name]["additionalProperties"] = False
            for field, held in shapes[name].get("properties", {}).items():
                if held.get("type") == "array":
                    held |= {"minItems": int(field in ("components", "solutes")), "maxItems": MOST_ITEMS}
    if "Quantity" in shapes:
        units = dict.fromkeys(
            unit
            for field in ("total", "strength", "density", "mass", "temperature", "purity")
            for unit in units_for(field)
        )
        shapes["Quantity"]["properties"]["unit"]["enum"] = [*units, *CODES]


def _say_decimals(part: Any) -> None:
    """A number may be sent as text that keeps its digits; the framework says of that text only that it is one."""
    if isinstance(part, dict):
        kinds = [choice.get("type") for choice in part.get("anyOf", ()) if isinstance(choice, dict)]
        if kinds[:2] == ["number", "string"]:
            part["anyOf"][1].setdefault("pattern", _DECIMAL)
        for inner in part.values():
            _say_decimals(inner)


def text(document: dict[str, Any]) -> str:
    """The contract as it stands in the file."""
    return json.dumps(document, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def main() -> None:
    """Write the committed file anew."""
    from service.app import create_app

    FILE.write_text(text(contract(create_app())), "utf-8")


if __name__ == "__main__":
    main()
