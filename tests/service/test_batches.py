"""Twelve lines of next week at once: tried, shown with the faults by row and column, saved when confirmed."""

import csv
import io
from typing import Any

import orjson
import pytest

from service.audit import log
from service.plans.archive import altered_plan
from service.store.writer import StoreDownError
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College

GOOD = [f"d{n},{50 * n} mL of 0.100 M sodium chloride,2027-01-18,Lab {n}" for n in range(1, 9)]
WEEK = "\r\n".join(
    [
        "id,text,needed_by,room",
        *GOOD[:4],
        "x1,10 banana,,",
        *GOOD[4:],
        "x2,,2027-01-18,",
        "x3,250 mL of 0.1 M sodium chloride,soon,",
        "h1,100 mL of 0.150 M nickel chloride hexahydrate,2027-01-20,Prep room 2",
        "",
    ]
)


def _send(running: Running, content: str | bytes, query: str = "", kind: str = "text/csv", **headers: str) -> Any:
    content = content.encode() if isinstance(content, str) else content
    return running.call("POST", f"/v1/batches{query}", content=content, headers={"Content-Type": kind, **headers})


def _entries(running: Running) -> int:
    with running.services.engine.connect() as connection:
        return log.head(connection).seq


def test_rows_with_faults_are_named_and_nothing_is_saved_until_confirmed(start: StartApp, database: str) -> None:
    running = start(database)
    tried = _send(running, WEEK)
    assert shape_faults(tried.json(), "Batch") == []
    document = tried.json()
    assert (document["confirmed"], document["saved"], len(document["rows"])) == (False, 0, 9)
    assert [(e["row"], e["ref"], e["column"]) for e in document["errors"]] == [
        (6, "x1", "text"), (11, "x2", "text"), (12, "x3", "needed_by"),
    ]  # fmt: skip
    assert all("plan" not in row for row in document["rows"])
    assert _entries(running) == 0
    saved = _send(running, WEEK, "?confirm=true").json()
    assert shape_faults(saved, "Batch") == []
    assert (saved["confirmed"], saved["saved"]) == (True, 9)
    assert saved["errors"] == document["errors"]
    assert [{k: v for k, v in row.items() if k != "plan"} for row in saved["rows"]] == document["rows"]
    assert _entries(running) == 10  # nine replies, and the held one in the queue
    queue = running.get("/v1/approvals").json()["approvals"]
    assert [(line["plan"], line["approval"]["needed_by"]) for line in queue] == [
        (saved["rows"][-1]["plan"], "2027-01-20")
    ]
    first = running.get(f"/v1/plans/{saved['rows'][0]['plan']}").json()
    assert first["plan"]["product"]["volume"]["value"] == 50
    assert log.verify(running.services.engine) is None
    assert altered_plan(running.services.engine) is None


def test_a_batch_is_saved_whole_or_not_at_all(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    async def fail(*_: object) -> None:
        raise StoreDownError("x")

    with monkeypatch.context() as broken:
        broken.setattr("service.store.writer.Writer.write", fail)
        assert _send(running, WEEK, "?confirm=true").status_code == 503
    assert running.get("/v1/plans").json() == {"plans": []}


def test_a_confirmed_batch_sent_again_under_its_key_saves_nothing_more(start: StartApp, database: str) -> None:
    running = start(database)
    key = {"Idempotency-Key": "week-3"}
    first = _send(running, WEEK, "?confirm=true", **key)
    again = _send(running, WEEK, "?confirm=true", **key)
    assert (again.content, again.headers["idempotency-replayed"]) == (first.content, "true")
    assert _entries(running) == 10
    assert _send(running, WEEK + "y,50 mL of 0.1 M sodium chloride,,\r\n", "?confirm=true", **key).status_code == 422


def test_json_lines_hold_texts_and_typed_requests(running: Running) -> None:
    typed = {
        "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.1", "unit": "C38"}}],
        "total": {"value": "250", "unit": "MLT"},
    }
    lines = [
        {"id": "a", "text": "250 mL of 0.1 M sodium chloride"},
        {"id": "b", "request": typed},
        {"id": "c", "request": {**typed, "total": {"value": "-5", "unit": "furlong"}}},
        {"id": 7, "text": "x"},
        {"text": "x", "colour": "blue"},
    ]
    content = b"\n".join([*(orjson.dumps(line) for line in lines), b"{broken", b"[]", b""])
    document = _send(running, content, kind="application/jsonl").json()
    assert [row["ref"] for row in document["rows"]] == ["a", "b"]
    assert document["rows"][0]["read_as"] == document["rows"][1]["read_as"]
    assert {(e["row"], e["column"]) for e in document["errors"]} == {
        (3, "request/total/value"), (3, "request/total/unit"), (4, "id"), (5, "colour"), (6, ""), (7, ""),
    }  # fmt: skip


def test_a_cell_that_was_made_harmless_comes_back_as_it_was(running: Running) -> None:
    document = _send(running, "id,text\n'=a,250 mL of 0.1 M sodium chloride\n'b,10 banana\n").json()
    assert [r["ref"] for r in (*document["rows"], *document["errors"])] == ["=a", "'b"]


def _export(running: Running, content: str | bytes, query: str = "?confirm=true&format=csv", **more: str) -> bytes:
    answer = _send(running, content, query, **more)
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    return answer.content


def test_an_export_sent_back_changes_nothing(start: StartApp, database: str) -> None:
    running = start(database)
    first = _export(running, WEEK)
    entries = _entries(running)
    again = _send(running, first, "?confirm=true").json()
    assert shape_faults(again, "Batch") == []
    assert (again["saved"], len(again["rows"])) == (0, 9)
    assert all(row["unchanged"] for row in again["rows"])
    assert _entries(running) == entries
    assert _export(running, first) == first
    lines = list(csv.DictReader(io.StringIO(first.decode())))
    assert [line["plan"] for line in lines if line["plan"]] == [row["plan"] for row in again["rows"]]
    assert {line["id"]: line["error"].partition(":")[0] for line in lines if line["error"]} == {
        "x1": "text", "x2": "text", "x3": "needed_by",
    }  # fmt: skip


def test_a_row_that_was_changed_or_mended_is_saved_and_the_others_are_not(start: StartApp, database: str) -> None:
    running = start(database)
    lines = list(csv.DictReader(io.StringIO(_export(running, WEEK).decode())))
    by_id = {line["id"]: line for line in lines}
    by_id["x1"]["text"] = "10 mL of 0.1 M sodium chloride"
    by_id["d1"]["text"] = "60 mL of 0.100 M sodium chloride"
    by_id["h1"]["needed_by"] = "2027-01-21"
    by_id["d2"]["plan"] = "0000000000"
    by_id["d3"]["plan"] = "x"
    out = io.StringIO()
    table = csv.DictWriter(out, list(lines[0]))
    table.writeheader()
    table.writerows(lines)
    document = _send(running, out.getvalue(), "?confirm=true").json()
    assert document["saved"] == 2
    assert [row["ref"] for row in document["rows"] if "unchanged" not in row] == ["d1", "x1"]
    assert [(e["ref"], e["column"]) for e in document["errors"]] == [
        ("d2", "plan"), ("d3", "plan"), ("x2", "text"), ("x3", "needed_by"), ("h1", "needed_by"),
    ]  # fmt: skip


def test_typed_requests_come_back_from_a_spreadsheet(running: Running) -> None:
    typed = {
        "components": [{"solute": {"name": "sodium chloride"}, "strength": {"value": "0.1", "unit": "C38"}}],
        "total": {"value": "250", "unit": "MLT"},
    }
    first = _export(running, orjson.dumps({"id": "b", "request": typed}), kind="application/jsonl")
    assert _export(running, first) == first
    broken = first.replace(b'""total"":', b'""total"" ')
    assert [e["column"] for e in _send(running, broken).json()["errors"]] == ["request"]


@pytest.mark.parametrize("mark", ["=", "+", "-", "@", "\t", "'=", "''-"])
def test_a_cell_that_a_spreadsheet_would_run_goes_out_harmless_and_comes_back_as_it_was(running: Running, mark: str) -> None:
    cells = {"id": f"{mark}SUM(A1)", "text": "250 mL of 0.1 M sodium chloride", "room": f"{mark}1+2"}
    first = _export(running, orjson.dumps(cells), kind="application/jsonl")
    line = next(csv.DictReader(io.StringIO(first.decode())))
    assert all(not value.startswith(("=", "+", "-", "@", "\t")) for value in line.values())
    assert (line["id"], line["room"]) == (f"'{cells['id']}", f"'{cells['room']}")
    assert [row["ref"] for row in _send(running, first).json()["rows"]] == [cells["id"]]
    assert _export(running, first) == first


def test_the_plan_of_somebody_else_is_no_plan(start: StartApp) -> None:
    college = College(start())
    plan = college.ask("maker", "250 mL of 0.1 M sodium chloride").json()["id"]
    content = f"text,plan\n250 mL of 0.1 M sodium chloride,{plan}\n".encode()
    kind = {"Content-Type": "text/csv"}
    answer = college.by_key("requester", "POST", "/v1/batches", content=content, headers=kind)
    assert [e["column"] for e in answer.json()["errors"]] == ["plan"]
    answer = college.by_key("maker", "POST", "/v1/batches", content=content, headers=kind)
    assert answer.json()["rows"][0]["unchanged"] is True


@pytest.mark.parametrize(
    "content",
    [b"", b"text\n", b"name\nx\n", b"text,text\nx,y\n", b"text,colour\nx,y\n", b"text\n\xff\n", b'text\n"open\n',
     b"text\n" + b"10 mL\n" * 201],
)  # fmt: skip
def test_what_is_no_batch_is_refused_whole(running: Running, content: bytes) -> None:
    response = _send(running, content)
    assert (response.status_code, response.json()["type"]) == (400, "/problems/batch-unreadable")


def test_other_kinds_of_body_are_refused(running: Running) -> None:
    response = _send(running, "{}", kind="application/json")
    assert (response.status_code, response.json()["type"]) == (415, "/problems/content-not-batch")
    assert _send(running, "text\nx,y\n").json()["errors"][0]["message"] == "has more cells than the header"
