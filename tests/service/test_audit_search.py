"""The officer's questions to the log: who asked for what, how strong and how much; every filter by an index."""

import csv
import io
from datetime import date, timedelta
from typing import Any

import orjson
import pytest
from sqlalchemy import insert, text

from service.audit import lines, log, search
from service.audit.chain import EMPTY, Event, link
from service.audit.search import Filters
from service.audit.terms import terms_of
from service.people.clock import now
from service.pipeline import answer
from service.store.engine import open_engine
from service.store.migrate import migrate
from service.store.tables import audit, plans, preparation_uses
from service.store.tables_audit import Term, audit_terms
from tests.conftest import StartApp
from tests.contract.shapes import shape_faults
from tests.people.college import College
from tests.people.conftest import _quick_hashes

__all__ = ["_quick_hashes"]

WEAK = "500 mL of 0.005 M potassium chromate"
STRONG = "500 mL of 0.02 M potassium chromate"
DICHROMATE = "100 mL of 0.1 M potassium dichromate"
SALT = "250 mL of 0.1 M sodium chloride"


@pytest.fixture
def filled(start: StartApp, database: str) -> College:
    college = College(start(database))
    for who, what in (
        ("maker", WEAK),
        ("maker", STRONG),
        ("requester", DICHROMATE),
        ("maker", SALT),
        ("requester", STRONG),
    ):
        assert college.ask(who, what).status_code == 200
    return college


def _found(college: College, query: str) -> dict[str, Any]:
    response = college.by_key("auditor", "GET", f"/v1/audit?{query}")
    assert response.status_code == 200, response.text
    page: dict[str, Any] = response.json()
    assert shape_faults(page, "AuditPage") == []
    return page


def _texts(page: dict[str, Any]) -> list[str]:
    return [entry.get("text", entry["event"]) for entry in page["entries"]]


def test_every_chromate_above_a_strength_this_year_who_and_how_much(filled: College) -> None:
    page = _found(filled, f"class=chromate-vi&over=0.01&since={now().year}-01-01&event=plan.answered")
    assert _texts(page) == [STRONG, DICHROMATE, STRONG]
    assert page["entries"][0]["name"] == "The requester of Alder Vale"
    assert page["entries"][0]["substances"][0]["strength_mol_L"] == 0.02
    sums = {(t["substance"], t["name"]): (t["count"], t["amount_g"]) for t in page["totals"]}
    # 500 mL x 0.02 mol/L x 194.19 g/mol; 100 mL x 0.1 mol/L x 294.18 g/mol
    assert sums == {
        ("potassium-chromate", "The maker of Alder Vale"): (1, pytest.approx(1.9419, abs=1e-3)),
        ("potassium-chromate", "The requester of Alder Vale"): (1, pytest.approx(1.9419, abs=1e-3)),
        ("potassium-dichromate", "The requester of Alder Vale"): (1, pytest.approx(2.9418, abs=1e-3)),
    }
    assert page["without_strength"] == 0


def test_what_has_no_strength_in_mol_per_litre_is_counted_apart(filled: College) -> None:
    filled.ask("maker", "5 % w/w potassium chromate 200 g")
    page = _found(filled, "substance=K2CrO4&over=0.01")
    assert page["without_strength"] == 1
    assert _texts(page) == [STRONG, STRONG]
    everything = _found(filled, "substance=potassium chromate")
    assert [t["amount_g"] for t in everything["totals"] if t["name"].startswith("The maker")] == [
        pytest.approx(12.427, abs=1e-2)
    ]


def test_each_filter_alone(filled: College) -> None:
    assert _texts(_found(filled, "substance=sodium chloride")) == [SALT]
    mine = _found(filled, "person=requester&event=plan.answered")
    assert _texts(mine) == [STRONG, DICHROMATE]
    assert _texts(_found(filled, f"person={filled.ids['requester']}&event=plan.answered")) == [STRONG, DICHROMATE]
    assert _texts(_found(filled, "outcome=planned")) == [SALT]
    assert _texts(_found(filled, "class=Carc. 1B")) == [STRONG, DICHROMATE, STRONG, WEAK]
    assert _texts(_found(filled, "class=carc.")) == [STRONG, DICHROMATE, STRONG, WEAK]
    assert _texts(_found(filled, "class=chromate-vi&substance=potassium dichromate")) == [DICHROMATE]
    assert {e["event"] for e in _found(filled, "event=plan.held")["entries"]} == {"plan.held"}
    today = now().date()
    assert _found(filled, f"until={today - timedelta(days=1)}")["entries"] == []
    assert _found(filled, f"since={today + timedelta(days=1)}")["entries"] == []
    assert len(_found(filled, f"since={today}&until={today}&limit=200")["entries"]) > 5


def test_a_refused_or_unsettled_request_is_found_by_its_substance(filled: College) -> None:
    filled.ask("maker", "1 L of 0.1 M picric acid")
    filled.ask("maker", "250 mL of 0.1 M copper sulfate")
    assert _found(filled, "substance=picric acid")["entries"][0]["outcome"] == "refused"
    assert _found(filled, "substance=copper sulfate")["entries"][0]["outcome"] == "question"
    assert _found(filled, "substance=copper sulfate")["totals"][0]["unknown_amounts"] == 1


def test_pages_go_back_in_time_and_totals_cover_all(filled: College) -> None:
    first = _found(filled, "class=chromate-vi&limit=2")
    assert (_texts(first), sum(t["count"] for t in first["totals"])) == ([STRONG, DICHROMATE], 4)
    filled.ask("maker", STRONG)
    rest = _found(filled, f"class=chromate-vi&limit=9&after={first['next']}")
    assert _texts(rest) == [STRONG, WEAK]
    assert "next" not in rest
    assert "totals" not in rest


def test_the_log_is_read_by_who_may(filled: College) -> None:
    for role, status in (("auditor", 200), ("safety-officer", 200), ("maker", 403), ("machine", 403)):
        assert filled.by_key(role, "GET", "/v1/audit").status_code == status
        assert filled.by_key(role, "GET", "/v1/audit/export").status_code == status


@pytest.mark.parametrize(
    "query",
    ["substance=nonsense", "class=nonsense", "over=1", "person=nobody.here", "since=soon", "over=x&substance=NaCl",
     "since=0001-01-01", "until=9999-12-31", "after=0", "substance=NaCl&class=chromate-vi", "outcome=done"],
)  # fmt: skip
def test_what_cannot_be_looked_for_is_named(filled: College, query: str) -> None:
    response = filled.by_key("auditor", "GET", f"/v1/audit?{query}")
    assert response.status_code == 422
    assert shape_faults(response.json(), "ProblemDocument") == []


def test_an_export_holds_the_whole_log_and_checks_offline(filled: College) -> None:
    exported = filled.by_key("auditor", "GET", "/v1/audit/export").content
    entries = list(lines.read_lines(io.BytesIO(exported)))
    with filled.running.services.engine.connect() as connection:
        assert entries == list(log.entries(connection))
    filtered = filled.by_key("auditor", "GET", "/v1/audit/export?event=plan.answered").content
    assert len(list(lines.read_lines(io.BytesIO(filtered)))) == 5
    with pytest.raises(ValueError, match="line 2"):
        list(lines.read_lines([*exported.split(b"\n")[:1], b'{"seq":1}']))


@pytest.mark.parametrize("start_of_cell", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx"])
def test_no_cell_of_the_csv_is_run_as_a_formula(start: StartApp, start_of_cell: str) -> None:
    running = start()
    running.ask(start_of_cell + '","b')
    running.ask(STRONG)
    table = list(csv.DictReader(io.StringIO(running.get("/v1/audit/export?format=csv").text, newline="")))
    asked = [row["asked"] for row in table if row["event"] == "plan.answered"]
    assert asked == ["'" + start_of_cell + '","b', STRONG]
    assert all(not str(cell).startswith(("=", "+", "-", "@", "\t", "\r")) for row in table for cell in row.values())
    found = running.get("/v1/audit/export?format=csv&class=chromate-vi").text
    row = next(csv.DictReader(io.StringIO(found, newline="")))
    assert (row["substance"], row["strength_mol_L"], float(row["amount_g"])) == (
        "potassium-chromate", "0.02", pytest.approx(1.9419, abs=1e-3),
    )  # fmt: skip


def test_a_lot_leads_to_what_was_made_from_it(start: StartApp, database: str) -> None:
    running = start(database)
    running.ask(SALT)
    with running.services.engine.begin() as connection:
        row = {"seq": 1, "at": "x", "preparation_id": "A", "entry": 1, "what": "sodium chloride", "lot": "4711"}
        connection.execute(insert(preparation_uses), [row])
    assert [e["seq"] for e in running.get("/v1/audit?lot=4711").json()["entries"]] == [1]
    assert running.get("/v1/audit?lot=4712").json()["entries"] == []


def test_terms_of_a_series_and_of_a_mixture() -> None:
    series = terms_of(
        answer("calibration standards of 1 and 2 mg/L copper, 100 mL each, from a 1000 mg/L stock").document
    )
    assert [(t.value, t.amount_g) for t in series] == [("copper", None)]
    both = terms_of(answer("100 mL of 0.5 M nitric acid and 0.1 M nickel chloride hexahydrate").document)
    assert {t.value: t.strength for t in both if t.kind == "substance"} == {
        "nitric-acid": 0.5,
        "nickel-ii-chloride": 0.1,
    }
    assert terms_of({"outcome": "not_understood", "versions": {}}) == ()


ROWS = 4000
_SUBSTANCES = ("sodium-chloride", "potassium-chromate", "nitric-acid", "glucose")


@pytest.fixture
def many(database: str) -> Any:
    """A log of a few thousand replies by twenty people over four hundred days."""
    engine = open_engine(database, 30.0)
    migrate(engine)
    began = date(2026, 1, 1)
    with engine.begin() as connection:
        head, entries, replies, terms = EMPTY, [], [], []
        for n in range(1, ROWS + 1):
            day = (began + timedelta(days=n // 10)).isoformat()
            event = Event(f"P{n % 20}", "plan.answered" if n % 3 else "plan.held", f"S{n:09}", b"{}")
            entry = link(head, f"{day}T10:00:00.{n:06}Z", [event])[0]
            head = type(head)(entry.seq, entry.hash)
            entries.append({
                "seq": n, "at": entry.at, "actor": entry.actor, "event": entry.event, "subject": entry.subject,
                "body": entry.body, "prev_hash": entry.prev_hash, "hash": entry.hash,
            })  # fmt: skip
            replies.append({
                "id": entry.subject, "seq": n, "at": entry.at, "client": entry.actor, "document": b"{}",
                "outcome": ("planned", "held", "refused")[n % 3], "plan_hash": "", "rules_version": "", "data_version": "",
            })  # fmt: skip
            term = Term("substance", _SUBSTANCES[n % 4], n / ROWS, 1.0)
            terms += [{**term._asdict(), "seq": n}, {**Term("class", "carc. 1b")._asdict(), "seq": n}]
        for table, rows in ((audit, entries), (plans, replies), (audit_terms, terms)):
            connection.execute(insert(table), rows)
        connection.execute(text("analyze"))
    yield engine
    engine.dispose()


@pytest.mark.parametrize(
    "wanted",
    [
        Filters(),
        Filters(substances=("glucose",)),
        Filters(substances=("glucose", "nitric-acid"), over_mol_L=0.9),
        Filters(classes=("carc. 1b",), person="P7"),
        Filters(person="P7"),
        Filters(outcome="refused"),
        Filters(event="plan.held"),
        Filters(lot="4711"),
        Filters(since=date(2026, 3, 1), until=date(2026, 3, 2)),
        Filters(
            ("potassium-chromate",), (), 0.5, "P5", None, "held", "plan.answered", date(2026, 2, 1), date(2026, 12, 1)
        ),
    ],
    ids=str,
)
def test_no_filter_reads_the_whole_log(many: Any, wanted: Filters) -> None:
    rows, _ = search.page(many, wanted, None, 50)
    assert rows or wanted.lot
    with many.connect() as connection:
        query = search.page_query(connection, wanted, 3900, 50)
        plain = str(query.compile(many, compile_kwargs={"literal_binds": True}))
        if many.dialect.name == "sqlite":
            steps = [
                row[3] for row in connection.execute(text(f"explain query plan {plain.replace(':', chr(92) + ':')}"))
            ]
            assert not [s for s in steps if s.startswith("SCAN") and not s.startswith("SCAN anon")], steps
        else:
            connection.execute(text("set enable_seqscan = off"))
            steps = [row[0] for row in connection.execute(text(f"explain {plain.replace(':', chr(92) + ':')}"))]
            assert not [s for s in steps if "Seq Scan" in s], steps


def test_the_answers_of_the_index_are_those_of_reading_everything(many: Any) -> None:
    wanted = Filters(
        ("potassium-chromate", "nitric-acid"), (), 0.25, "P5", None, None, None, date(2026, 2, 1), date(2026, 9, 30)
    )
    rows, _ = search.page(many, wanted, None, 10_000)
    by_hand = [
        n
        for n in range(ROWS, 0, -1)
        if n % 4 in (1, 2) and n / ROWS > 0.25 and n % 20 == 5
        and date(2026, 2, 1) <= date(2026, 1, 1) + timedelta(days=n // 10) <= date(2026, 9, 30)
    ]  # fmt: skip
    assert by_hand
    assert [row.seq for row in rows] == by_hand
    assert sum(t.count for t in search.totals(many, wanted)) == len(by_hand)
    assert orjson.loads(rows[0].body) == {}
