"""The shelf as a table: tried, put up whole or not at all, taken out and brought back without loss."""

import csv
import io
from pathlib import Path
from typing import Any

import pytest

from rules.tables.substances import all_substances
from service.api.examples_shelf import SAVED, TABLE, TRIED
from service.audit import log
from service.shelf import rows
from service.store.writer import StoreDownError
from tests.conftest import Running, StartApp
from tests.contract.shapes import shape_faults
from tests.records.bench import post, record

Document = dict[str, Any]
EXAMPLE = (Path(__file__).parents[2] / "clients" / "data" / "example_shelf.csv").read_bytes()
HEADER = "substance,amount,unit,place,by"
CONFIRM = "?confirm=true"


def _send(running: Running, table: str | bytes, query: str = "", **headers: str) -> Any:
    content = table.encode() if isinstance(table, str) else table
    return running.call(
        "POST", f"/v1/shelf/import{query}", content=content, headers={"Content-Type": "text/csv", **headers}
    )


def _export(running: Running, query: str = "") -> bytes:
    response = running.get(f"/v1/shelf/export{query}")
    assert response.headers["content-type"] == "text/csv; charset=utf-8"
    return response.content


def _bottles(running: Running, query: str = "limit=200") -> list[Document]:
    page = running.get(f"/v1/shelf?{query}").json()
    assert shape_faults(page, "ShelfPage") == []
    found: list[Document] = page["bottles"]
    return found


def _entries(running: Running) -> int:
    with running.services.engine.connect() as connection:
        return log.head(connection).seq


def _cells(table: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(table.decode(), newline="")))


def _table(lines: list[dict[str, str]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, list(lines[0]))
    writer.writeheader()
    writer.writerows(lines)
    return out.getvalue()


def _stands(bottle: Document) -> Document:
    """A bottle without when and how it came to stand so; of reservations their amounts."""
    reserved = [line["amount"] for line in bottle.get("reservations", [])]
    return {**{key: value for key, value in bottle.items() if key not in ("at", "history")}, "reservations": reserved}


def test_the_example_loads_in_one_request_and_a_second_time_changes_nothing(start: StartApp, database: str) -> None:
    running = start(database)
    first = _send(running, EXAMPLE, CONFIRM)
    assert shape_faults(first.json(), "Imported") == []
    assert (first.json()["saved"], first.json()["errors"]) == (57, [])
    bottles = _bottles(running)
    by_state = [b["state"] for b in bottles if b["state"] != "in use"]
    assert sorted(by_state) == ["expired", "quarantined"]
    assert [b["name"] for b in _bottles(running, "low_pct=5")] == ["potassium iodide"]  # 6.2 of 250 g is 2.5 %
    assert all(b["id"].startswith("AVC0000") and "invented" in b["supplier"] for b in bottles)
    entries = _entries(running)
    again = _send(running, EXAMPLE, CONFIRM).json()
    assert (again["saved"], len(again["rows"]), all(r["unchanged"] for r in again["rows"])) == (0, 57, True)
    assert _entries(running) == entries
    assert log.verify(running.services.engine) is None


def test_an_export_into_an_empty_shelf_gives_the_same_bottles_and_the_same_export(
    start: StartApp, database: str
) -> None:
    old = start(database)
    assert _send(old, EXAMPLE, CONFIRM).json()["saved"] == 57
    salt, silver, odd = "AVC0000001", "AVC0000031", "AVC0000030"
    for bottle, body in (
        (salt, {"kind": "take", "amount": "42.50", "unit": "g"}),
        (silver, {"kind": "hand-out", "amount": "3.10", "unit": "g", "to": "Chemistry 2, room 14"}),
        (odd, {"kind": "reserve", "amount": "55", "unit": "g"}),
        (odd, {"kind": "withdraw", "reason": "=SUM(A1), bottle cracked"}),
    ):
        post(old, f"/v1/shelf/{bottle}/events", {"by": "PK", **body})
    table = _export(old)
    # 742.5 - 42.50 of sodium chloride, 21.73 - 3.10 of silver nitrate; of which 60 and 8.5 g stay reserved
    left = {line["id"]: (line["left"], line["reserved"]) for line in _cells(table)}
    assert (left[salt], left[silver]) == (("700.00", "60"), ("18.63", "8.5"))
    new = start() if database.startswith("postgresql") else start(f"{database}-new")
    assert _send(new, table, CONFIRM).json()["saved"] == 57
    assert _export(new) == table
    assert [_stands(b) for b in _bottles(new)] == [_stands(b) for b in _bottles(old)]
    assert _send(old, table, CONFIRM).json()["saved"] == 0


def test_every_form_of_the_tables_is_known_again_by_its_cells() -> None:
    forms = [(kind, form) for kind in all_substances() for form in kind.forms]
    found = [rows.form_on(kind.name, form.label)[:2] for kind, form in forms]
    assert found == [(kind.slug, form.label) for kind, form in forms]
    assert len(found) > 900


def test_rows_with_faults_are_named_and_nothing_is_put_up(start: StartApp, database: str) -> None:
    running = start(database)
    table = "\n".join(
        [
            "substance,form,amount,unit,place,opened,expiry,assay_pct,left,state,by,strength,strength_unit",
            "sodium chloride,,500,g,cabinet A1,,,99.8,,,PK,,",
            "copper sulfate,,500,g,cabinet A1,,,,,,PK,,",
            "copper(II) sulfate,heptahydrate,500,g,cabinet A1,,,,,,PK,,",
            "unobtainium oxide,,500,g,cabinet A1,,,,,,PK,,",
            'sodium chloride,,"1,5",kg,,30/06/2031,2031-02-30,high,,,PK,,',
            "sodium chloride,,500,g,cabinet A1,,,,501,,PK,,",
            "sodium chloride,,500,g,cabinet A1,,,,,quarantined,PK,,",
            "sodium chloride,,500,g,cabinet A1,,,,,,,,",
            "hydrochloric acid,,500,mL,cabinet A1,,,,,,PK,,% w/w",
            "sodium chloride,,500,g,cabinet A1,,,,,,PK,,,x",
        ]
    )
    tried = _send(running, table).json()
    assert shape_faults(tried, "Imported") == []
    assert [r["row"] for r in tried["rows"]] == [2]
    faults = [(e["row"], e["column"]) for e in tried["errors"]]
    assert faults == [
        (3, "substance"), (4, "form"), (5, "substance"),
        (6, "amount"), (6, "unit"), (6, "place"), (6, "assay_pct"), (6, "opened"), (6, "expiry"),
        (7, "left"), (8, "reason"), (9, "by"), (10, "strength"), (11, ""),
    ]  # fmt: skip
    said = {(e["row"], e["column"]): e["message"] for e in tried["errors"]}
    assert "pentahydrate" in said[3, "substance"]
    assert "pentahydrate" in said[4, "form"]
    assert "decimal point" in said[6, "amount"]
    assert "2031-06-30" in said[6, "opened"]
    assert "'g' or 'mL'" in said[6, "unit"]
    refused = _send(running, table, CONFIRM)
    assert (refused.status_code, refused.json()["type"]) == (422, "/problems/rows-not-usable")
    assert [e["pointer"] for e in refused.json()["errors"]] == [f"/rows/{row}/{column}" for row, column in faults]
    assert (_bottles(running), _entries(running)) == ([], 0)
    assert _send(running, f"{HEADER}\nsodium chloride,500,g,cabinet A1,\n", "?by=PK").json()["errors"] == []


def test_a_table_is_put_up_whole_or_not_at_all(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    async def fail(*_: object) -> None:
        raise StoreDownError("x")

    with monkeypatch.context() as broken:
        broken.setattr("service.store.writer.Writer.write", fail)
        assert _send(running, EXAMPLE, CONFIRM).status_code == 503
    assert _bottles(running) == []
    assert _send(running, EXAMPLE).json()["saved"] == 0
    assert _entries(running) == 0


def test_the_same_key_puts_up_nothing_more(start: StartApp, database: str) -> None:
    running = start(database)
    table, key = f"{HEADER}\nsodium chloride,500,g,cabinet A1,PK\n", {"Idempotency-Key": "delivery-7"}
    first, again = _send(running, table, CONFIRM, **key), _send(running, table, CONFIRM, **key)
    assert (again.content, again.headers["idempotency-replayed"]) == (first.content, "true")
    assert len(_bottles(running)) == 1
    assert _send(running, table.replace("500", "250"), CONFIRM, **key).json()["type"] == "/problems/key-reused"
    known, other = _export(running), {"Idempotency-Key": "delivery-8"}
    for _ in range(2):  # nothing is new, so nothing is stored under the key, and it is not held back either
        assert _send(running, known, CONFIRM, **other).json()["rows"][0]["unchanged"] is True
    third = {"Idempotency-Key": "delivery-9"}  # a table that is refused does not use up its key
    assert _send(running, table.replace("500", "x"), CONFIRM, **third).status_code == 422
    assert _send(running, table, CONFIRM, **third).json()["saved"] == 1


@pytest.mark.parametrize("mark", ["=", "+", "-", "@", "'="])
def test_a_cell_that_a_spreadsheet_would_run_goes_out_harmless_and_comes_back_as_it_was(
    start: StartApp, database: str, mark: str
) -> None:
    running = start(database)
    body = {"by": f"{mark}P", "name": "sodium chloride", "amount": "5", "unit": "g"}
    body |= {"place": f"{mark}1+2", "lot": f"{mark}A1"}
    post(running, "/v1/shelf", body)
    table = _export(running)
    line = _cells(table)[0]
    assert [line[name] for name in ("by", "place", "lot")] == [f"'{body[name]}" for name in ("by", "place", "lot")]
    again = _send(running, table, CONFIRM).json()
    assert (again["errors"], again["saved"]) == ([], 0)
    copied = _cells(table)[0] | {"id": ""}
    assert _send(running, _table([copied]), CONFIRM).json()["saved"] == 1
    assert {(b["place"], b["lot"], b["by"]) for b in _bottles(running)} == {(body["place"], body["lot"], body["by"])}


def test_a_bottle_on_the_shelf_is_compared_and_never_changed(start: StartApp, database: str) -> None:
    running = start(database)
    _send(running, EXAMPLE, CONFIRM)
    post(running, "/v1/shelf/AVC0000001/events", {"by": "PK", "kind": "take", "amount": "2.5", "unit": "g"})
    entries = _entries(running)
    lines = {line["id"]: line for line in _cells(EXAMPLE)}
    lines["AVC0000002"]["expiry"] = "2030-01-01"
    lines["AVC0000003"]["amount"] = "500.0"  # the same number
    lines["AVC0000004"] |= {"substance": "calcium chloride dihydrate", "form": "", "id": "avc-0000004"}
    lines["AVC0000005"]["id"] = "AVC0000006"
    lines["AVC0000007"]["id"] = "nobody"
    document = _send(running, _table(list(lines.values()))).json()
    assert shape_faults(document, "Imported") == []
    faults = {(e["ref"], e["column"]) for e in document["errors"]}
    assert {("AVC0000002", "expiry"), ("AVC0000006", "form"), ("AVC0000006", "id"), ("nobody", "id")} <= faults
    assert {ref for ref, _ in faults} == {"AVC0000002", "AVC0000006", "nobody"}
    assert [e["message"] for e in document["errors"] if e["column"] == "id" and e["ref"] == "AVC0000006"] == [
        "stands in row 6 already"
    ]
    first = document["rows"][0]
    assert (first["left"], first["unchanged"]) == ("740.0", True)
    assert "740.0 on the shelf and stays so, not 742.5" in first["notes"][0]
    assert {r["bottle"] for r in document["rows"]} >= {"AVC0000003", "AVC0000004"}
    assert _entries(running) == entries


def test_a_bottle_of_a_preparation_keeps_to_its_record(start: StartApp, database: str) -> None:
    running = start(database)
    made = record(running, "250 mL of 0.100 M sodium chloride", "1.4610")["id"]
    header = f"{HEADER},preparation"
    saved = _send(running, f"{header}\n,250,mL,shelf 4,PK,{made.lower()}\n", CONFIRM).json()
    assert (saved["saved"], saved["rows"][0]["name"]) == (1, "sodium chloride")
    assert _send(running, _export(running), CONFIRM).json()["rows"][0]["unchanged"] is True
    wrong = _send(running, f"{header}\ncopper sulfate,250,mL,shelf 4,PK,{made}\n,250,mL,shelf 4,PK,0000000000\n").json()
    assert [(e["row"], e["column"]) for e in wrong["errors"]] == [(2, "substance"), (3, "preparation")]
    taken = _send(running, f"id,{HEADER}\n{made},sodium chloride,5,g,shelf 4,PK\n").json()
    assert [e["column"] for e in taken["errors"]] == ["id"]


def test_a_recalled_lot_that_was_used_here_is_not_slipped_in_by_a_table(start: StartApp, database: str) -> None:
    running = start(database)
    made = record(running, "1 L of 0.1 M sodium hydroxide", "4.05", lot="NA-210")["id"]
    table = f"{HEADER},lot,state,reason\nsodium hydroxide,500,g,cabinet C1,PK,NA-210,quarantined,recalled\n"
    document = _send(running, table).json()
    assert made in document["errors"][0]["message"]
    assert document["errors"][0]["column"] == "state"
    assert _send(running, table.replace("NA-210", "NA-211"), CONFIRM).json()["saved"] == 1


def test_a_second_bottle_of_the_same_lot_is_pointed_out(running: Running) -> None:
    table = f"{HEADER},lot\nsodium chloride,500,g,cabinet A1,PK,L7\n"
    assert "notes" not in _send(running, table, CONFIRM).json()["rows"][0]
    row = _send(running, table).json()["rows"][0]
    assert "one more" in row["notes"][0]
    assert "bottle" not in row  # no id before it is stored


def test_the_shelf_is_searched_by_state_and_by_what_is_left(start: StartApp, database: str) -> None:
    running = start(database)
    _send(running, EXAMPLE, CONFIRM)
    assert [b["id"] for b in _bottles(running, "state=quarantined")] == ["AVC0000037"]
    assert [b["id"] for b in _bottles(running, "state=expired&expiring_within_days=0")] == ["AVC0000055"]
    assert len(_bottles(running, "low_pct=100&limit=200")) == 57
    copper = _cells(_export(running, "?substance=copper(II) sulfate pentahydrate"))
    assert [line["lot"] for line in copper] == ["EX-1201", "EX-1202"]
    assert running.get("/v1/shelf/export?substance=unobtainium").status_code == 422
    found: list[str] = []
    after = ""
    for _ in range(60):
        page = running.get(f"/v1/shelf?place=poisons cupboard&limit=3{after}").json()
        found += [b["id"] for b in page["bottles"]]
        if "next" not in page:
            break
        after = f"&after={page['next']}"
    assert found == [line["id"] for line in _cells(EXAMPLE) if line["place"] == "poisons cupboard"][::-1]


@pytest.mark.parametrize(
    "content",
    [b"", HEADER.encode() + b"\n", b"substance,amount,unit\nx,1,g\n", HEADER.encode() + b",colour\nx,1,g,p,PK,red\n",
     HEADER.encode() + b",by\nx,1,g,p,PK,PK\n", HEADER.encode() + b"\n\xff,1,g,p,PK\n", HEADER.encode() + b'\n"open\n',
     HEADER.replace(",", ";").encode() + b"\nx;1;g;p;PK\n", HEADER.encode() + b"\n" + b"sodium chloride,1,g,p,PK\n" * 501],
)  # fmt: skip
def test_what_is_no_table_is_refused_whole(running: Running, content: bytes) -> None:
    response = _send(running, content)
    assert (response.status_code, response.json()["type"]) == (400, "/problems/table-unreadable")
    assert ("semicolons" in response.json()["detail"]) == (b";" in content)


def test_other_kinds_of_body_are_refused(running: Running) -> None:
    assert _send(running, "{}", **{"Content-Type": "application/json"}).json()["type"] == "/problems/content-not-csv"


def test_the_published_examples_are_the_real_answers(running: Running) -> None:
    broken = TABLE.replace(",2500,mL", ",,mL", 1)
    assert _send(running, broken).json() == TRIED
    assert _send(running, TABLE, CONFIRM).json() == SAVED
    assert _export(running).decode() == TABLE
