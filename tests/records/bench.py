"""Calls of the bench record that the tests share."""

from typing import Any

import httpx

from tests.conftest import Running

Document = dict[str, Any]


def post(running: Running, path: str, body: Document, status: int = 201) -> Document:
    response: httpx.Response = running.call("POST", path, json=body)
    assert response.status_code == status, response.text
    found: Document = response.json()
    return found


def plan(running: Running, text: str) -> str:
    reply = running.ask(text).json()
    assert reply["outcome"] in ("planned", "held"), reply
    found: str = reply["id"]
    return found


def record(running: Running, text: str, *readings: str, unit: str = "g", status: int = 201, **more: Any) -> Document:
    """A preparation of the first thing measured; keywords of ``used`` and of the body may be mixed."""
    inner = ("lot", "assay", "balance", "ware", "source", "density_g_mL")
    used: Document = {"readings": list(readings), "unit": unit, **{k: v for k, v in more.items() if k in inner}}
    body: Document = {"by": "PK", "used": [used], **{k: v for k, v in more.items() if k not in inner}}
    return post(running, f"/v1/plans/{plan(running, text)}/preparations", body, status)


def get(running: Running, preparation: str) -> Document:
    found: Document = running.get(f"/v1/preparations/{preparation}").json()
    return found


# Three titrations of about 0.1 mol/L sodium hydroxide, grams of phthalate and mL: 0.10160, 0.10155 and 0.10160 mol/L
# with a blank of 0.02 mL (1000 x 0.5104 / (204.222 x 24.60) and so on).
PHTHALATE_RUNS = [
    {"mass_g": "0.5104", "titre_mL": "24.62"},
    {"mass_g": "0.5087", "titre_mL": "24.55"},
    {"mass_g": "0.5121", "titre_mL": "24.70"},
]
TITRATED: Document = {
    "by": "PK",
    "against": "potassium hydrogen phthalate",
    "assay": {"value": "100.0", "half_width": "0.05"},
    "balance": "BA",
    "blank_mL": "0.02",
    "runs": PHTHALATE_RUNS,
}
