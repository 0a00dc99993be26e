"""One entry of a preparation: how it is written, how it reads, and what it lends to what is made from it."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from types import SimpleNamespace
from typing import Any

import orjson

from service.audit.chain import Event
from service.records.used import SourceValue
from service.store.tables import preparation_uses, preparations
from service.store.writer import Write

Document = dict[str, Any]

_CHAIN_KEYS = ("entry_by", "why", "changed")


@dataclass(frozen=True, slots=True)
class Standing:
    """A preparation as its newest entry has it: the stored document, how many entries, and the rows themselves."""

    id: str
    plan_id: str
    document: Document
    rows: tuple[Any, ...]

    @property
    def entries(self) -> int:
        """How many entries the chain has."""
        return len(self.rows)

    @property
    def made_at(self) -> datetime:
        """When it was first recorded."""
        return datetime.fromisoformat(self.rows[0].at)

    def published(self) -> Document:
        """The document as clients get it: ids, times and the chain added."""
        return {
            "id": self.id,
            "plan": self.plan_id,
            "read_as": self.document["read_as"],
            "status": self.document["status"],
            "entry": self.entries,
            "at": self.rows[-1].at,
            "made_at": self.rows[0].at,
            "by": self.document["recorded"]["by"],
            **{k: v for k, v in self.document.items() if k not in (*_CHAIN_KEYS, "read_as", "status", "versions")},
            "chain": [_link(n, row) for n, row in enumerate(self.rows, 1)],
            "versions": self.document["versions"],
        }


def first_entry(preparation: str, plan_id: str, document: Document, at: str) -> Document:
    """A preparation of one entry as clients get it, before its row can be read back."""
    row = SimpleNamespace(at=at, kind="recorded", document=orjson.dumps(document))
    return Standing(preparation, plan_id, document, (row,)).published()


def source_value(preparation: str, document: Document) -> SourceValue | None:
    """The strength of a preparation for what is made from it; None when it failed or its strength is not per litre."""
    made = document.get("made", {})
    strength = made.get("concentration")
    if strength is None or strength["unit"] not in ("mol/L", "g/L"):
        return None
    return SourceValue(preparation, made["substance"], made["name"], strength["value"], strength["unit"],
                       made["uncertainty"]["u_rel"], document["use_by"].get("date"),
                       "nominal_until_standardised" not in made)  # fmt: skip


def entry_writes(
    client: str, kind: str, preparation: str, entry: int, plan_id: str, document: Document, linked: bool = True
) -> list[Write]:
    """The writes of one entry: its row, and a row for each thing it was made from."""
    body = orjson.dumps(document)
    told = {
        "entry": entry,
        "plan": plan_id,
        "status": document["status"],
        "by": document["entry_by"],
        "hash": hashlib.sha256(body).hexdigest(),
    }
    row = {
        "id": preparation,
        "entry": entry,
        "plan_id": plan_id,
        "kind": kind,
        "status": document["status"],
        "document": body,
    }
    writes = [Write(Event(client, f"preparation.{kind}", preparation, _sorted(told)), preparations, row)]
    if kind in ("recorded", "corrected") and linked:
        for used in document["used"]:
            link = {"entry": entry, "what": used["what"], "lot": used.get("lot"), "source_id": used.get("source")}
            writes.append(Write(Event(client, "preparation.used", preparation, _sorted(link)), preparation_uses,
                                {"preparation_id": preparation, **link}))  # fmt: skip
    return writes


def _sorted(told: Document) -> bytes:
    return orjson.dumps(told, option=orjson.OPT_SORT_KEYS)


def said(document: Document) -> str:
    """The strength in words, or that it failed."""
    return str(document.get("made", {}).get("concentration", {}).get("display", document["status"]))


def _link(number: int, row: Any) -> Document:
    document = orjson.loads(row.document)
    found: Document = {"entry": number, "at": row.at, "by": document["entry_by"], "kind": row.kind}
    found |= {key: document[key] for key in ("why", "changed") if key in document}
    if "concentration" in document.get("made", {}):
        found["concentration"] = document["made"]["concentration"]["display"]
    return found


def line(standing: Standing) -> Document:
    """The preparation as one line of a list."""
    found: Document = {
        "id": standing.id,
        "plan": standing.plan_id,
        "at": standing.rows[0].at,
        "status": standing.document["status"],
    }
    if "made" in standing.document:
        found["name"] = standing.document["made"]["name"]
        found["concentration"] = said(standing.document)
    return found
