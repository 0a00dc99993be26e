"""The published examples of the bench record are the real replies, and fit their shapes."""

from typing import Any

import pytest

from service.api.examples_records import BODIES, CORRECTED, CORRECTIONS, PREPARATIONS, STANDARDISED, TITRATED
from tests.conftest import Running
from tests.contract.shapes import committed, faults, shape_faults
from tests.records.bench import plan, post

SALT = "250 mL of 0.100 M sodium chloride"


def agree(example: Any, real: Any, pointer: str = "") -> None:
    """Every value of the example is that of the reply, but for ids, times and versions; lists may be cut short."""
    if pointer.endswith(("/id", "/plan", "/preparation", "at", "/date", "/on", "/due")) or pointer.startswith(
        "/versions"
    ):
        return
    if isinstance(example, dict):
        for key, value in example.items():
            assert key in real, f"{pointer}/{key}"
            agree(value, real[key], f"{pointer}/{key}")
    elif isinstance(example, list):
        for place, value in enumerate(example):
            agree(value, real[place], f"{pointer}/{place}")
    elif isinstance(example, float):
        assert real == pytest.approx(example, rel=1e-6), pointer
    elif pointer != "/use_by/basis":
        assert real == example, pointer


@pytest.mark.parametrize("name", list(BODIES))
def test_a_recorded_preparation(running: Running, name: str) -> None:
    real = post(running, f"/v1/plans/{plan(running, SALT)}/preparations", BODIES[name])
    assert shape_faults(real, "Preparation") == []
    agree(PREPARATIONS[name], real)


def test_a_correction(running: Running) -> None:
    made = post(running, f"/v1/plans/{plan(running, SALT)}/preparations", BODIES["made"])
    real = post(running, f"/v1/preparations/{made['id']}/corrections", CORRECTIONS["misread"])
    assert shape_faults(real, "Preparation") == []
    agree(CORRECTED["corrected"], real)


def test_a_standardisation(running: Running) -> None:
    body = {"by": "PK", "used": [{"readings": ["4.05"], "unit": "g"}]}
    made = post(running, f"/v1/plans/{plan(running, '1 L of 0.1 M sodium hydroxide')}/preparations", body)
    real = post(running, f"/v1/preparations/{made['id']}/standardisations", TITRATED["against_a_weighed_standard"])
    assert shape_faults(real, "Standardisation") == []
    agree(STANDARDISED["accepted"], real)
    listed = running.get(f"/v1/preparations/{made['id']}/standardisations").json()
    assert shape_faults(listed, "StandardisationList") == []
    assert listed["standardisations"] == [real]
    assert shape_faults(running.get("/v1/preparations").json(), "PreparationList") == []


@pytest.mark.parametrize(
    "path",
    [
        "/v1/plans/{plan_id}/preparations",
        "/v1/preparations/{preparation_id}/corrections",
        "/v1/preparations/{preparation_id}/standardisations",
    ],
)
def test_the_examples_of_the_bodies_fit_their_shapes(path: str) -> None:
    body = committed()["paths"][path]["post"]["requestBody"]["content"]["application/json"]
    assert body["examples"]
    for example in body["examples"].values():
        assert faults(example["value"], body["schema"]) == []
