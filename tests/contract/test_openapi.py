"""The published contract is valid, complete and the one that is committed."""

from typing import Any

import pytest
from openapi_spec_validator import OpenAPIV31SpecValidator

from service.openapi import FILE, contract, text
from tests.conftest import Running
from tests.contract.shapes import committed, faults


def _responses() -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (f"{method.upper()} {path}", status, response)
        for path, operations in committed()["paths"].items()
        for method, operation in operations.items()
        for status, response in operation["responses"].items()
    ]


def test_the_committed_contract_is_what_the_routes_give(running: Running) -> None:
    assert FILE.read_text("utf-8") == text(contract(running.app)), "run 'make openapi' and look at the difference"


def test_the_served_contract_is_the_committed_one(running: Running) -> None:
    assert running.get("/openapi.json").text == FILE.read_text("utf-8")


def test_the_contract_is_valid_openapi_3_1() -> None:
    assert committed()["openapi"].startswith("3.1")
    assert list(OpenAPIV31SpecValidator(committed()).iter_errors()) == []


@pytest.mark.parametrize(
    ("operation", "status", "response"), _responses(), ids=lambda v: v if isinstance(v, str) else ""
)
def test_every_response_has_a_shape_and_examples_that_fit_it(
    operation: str, status: str, response: dict[str, Any]
) -> None:
    assert response["description"]
    if status in ("303", "304"):  # goes elsewhere, or has no body (RFC 9110, 15.4.4 and 15.4.5)
        assert "content" not in response
        return
    assert response["content"], f"{operation} {status} describes no content"
    for media_type, held in response["content"].items():
        if media_type == "application/pdf":
            assert held["schema"] == {"type": "string", "format": "binary"}
            continue
        if media_type in ("application/jsonl", "text/csv", "text/plain"):
            assert status == "200"
            assert any(name in operation for name in ("/export", "/metrics", "/batches"))
            assert held["schema"] == {"type": "string"}
            assert held["examples"]
            continue
        assert media_type == (
            "application/problem+json" if int(status) >= 400 and "health" not in operation else "application/json"
        )
        assert held["schema"]
        assert held["examples"], f"{operation} {status} shows no example"
        for name, example in held["examples"].items():
            assert faults(example["value"], held["schema"]) == [], f"{operation} {status} {name}"


def test_the_examples_of_the_request_body_fit_its_shape() -> None:
    body = committed()["paths"]["/v1/plans"]["post"]["requestBody"]["content"]["application/json"]
    assert set(body["examples"]) == {"plain_words", "typed", "class_set"}
    for example in body["examples"].values():
        assert faults(example["value"], body["schema"]) == []
    assert faults({"text": "x", "request": {}}, body["schema"]) != []


def test_every_response_of_a_reply_shape_is_closed() -> None:
    shapes = committed()["components"]["schemas"]
    open_shapes = [
        name
        for name, shape in shapes.items()
        if shape.get("type") == "object" and shape.get("additionalProperties") is not False
    ]
    assert open_shapes == []
