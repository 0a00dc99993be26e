"""Typed requests: the same fields as the grammar's, numbers with their digits, every fault with its pointer."""

from dataclasses import fields, is_dataclass
from decimal import Decimal
from typing import Any, get_args, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

import grammar.request
from grammar.request import Combine, Prepare, Quantity
from grammar.units import UNITS
from service.pipeline import answer
from service.problems import FieldError
from service.requests import KINDS, UnreadableError, read, units_for


def _request(**changed: Any) -> dict[str, Any]:
    return {
        "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.100", "unit": "mol/L"}}],
        "total": {"value": "250", "unit": "mL"},
        **changed,
    }


def _faults(document: Any) -> dict[str, str]:
    with pytest.raises(UnreadableError) as caught:
        read(document)
    return {error.pointer: error.message for error in caught.value.errors}


def test_the_digits_of_a_number_are_kept() -> None:
    request = read(_request(total={"value": "250.0", "unit": "mL"}))
    assert isinstance(request, Prepare)
    assert request.total == Quantity(Decimal("250.0"), "mL")
    assert request.total.figures == 4
    assert request.components[0].strength == Quantity(Decimal("0.100"), "mol/L")


def test_every_kind_that_the_pipeline_answers_is_read() -> None:
    answered = set(get_args(get_type_hints(answer)["asked"])) - {str}
    assert set(KINDS.values()) == answered
    assert all(shape.__dataclass_fields__["kind"].default == kind for kind, shape in KINDS.items())


def test_both_kinds_are_read() -> None:
    assert isinstance(read(_request()), Prepare)
    assert isinstance(read({"kind": "combine", "solutes": [{"name": "bleach"}, {"name": "ammonia"}]}), Combine)


@pytest.mark.parametrize(
    ("document", "pointer"),
    [
        ([], ""),
        (None, ""),
        ({"kind": "cook"}, "/kind"),
        ({"kind": []}, "/kind"),
        ({}, "/components"),
        (_request(colour="blue"), "/colour"),
        (_request(components=[]), "/components"),
        (_request(components=[{"solute": {"name": "x"}}] * 41), "/components"),
        (_request(total={"value": "0", "unit": "mL"}), "/total/value"),
        (_request(total={"value": "NaN", "unit": "mL"}), "/total/value"),
        (_request(total={"value": "1e400", "unit": "mL"}), "/total/value"),
        (_request(total={"value": True, "unit": "mL"}), "/total/value"),
        (_request(total={"value": "1" * 31, "unit": "mL"}), "/total/value"),
        (_request(total={"value": "1"}), "/total/unit"),
        (_request(total={"value": "1", "unit": "mol/L"}), "/total/unit"),
        (_request(total="250 mL"), "/total"),
        (_request(ph="Infinity"), "/ph"),
        (_request(portions={"count": 1.5, "each": {"value": "1", "unit": "mL"}}), "/portions/count"),
        (
            _request(portions={"count": 2, "each": {"value": "1", "unit": "mL"}, "spare_percent": "-1"}),
            "/portions/spare_percent",
        ),
        (_request(**{"a/b~c": 1}), "/a~1b~0c"),
        (_request(solvent_volume="maybe"), "/solvent_volume"),
    ],
)
def test_each_fault_is_named_by_its_pointer(document: Any, pointer: str) -> None:
    assert pointer in _faults(document)


def test_every_quantity_field_has_units_and_they_are_of_the_grammar() -> None:
    shapes = [shape for shape in vars(grammar.request).values() if isinstance(shape, type) and is_dataclass(shape)]
    names = {item.name for shape in shapes for item in fields(shape) if "Quantity" in str(item.type)}
    assert {"total", "strength", "each", "nominal"} <= names
    for name in names:
        assert 0 < len(units_for(name)) < len(UNITS), f"say in service.requests which units {name!r} may have"


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "components",
                    "solute",
                    "name",
                    "strength",
                    "value",
                    "unit",
                    "total",
                    "portions",
                    "count",
                    "each",
                    "ph",
                    "kind",
                    "x/y",
                ]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=20,
)


@given(JSON)
def test_any_json_is_read_or_refused_never_a_fault(document: Any) -> None:
    faults: tuple[FieldError, ...] = ()
    request: Any = None
    try:
        request = read(document)
    except UnreadableError as error:
        faults = error.errors
    assert bool(faults) != isinstance(request, Prepare | Combine)
    assert all(e.pointer == "" or e.pointer.startswith("/") for e in faults)
