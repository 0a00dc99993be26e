"""The bytes of a reply document: as sent, as hashed, and with its id."""

import hashlib
from typing import Any

import orjson


def canonical(document: dict[str, Any]) -> bytes:
    """The document as canonical JSON: sorted keys, no spaces, UTF-8, shortest numbers that read back the same."""
    return orjson.dumps(document, option=orjson.OPT_SORT_KEYS)


def plan_hash(document: dict[str, Any]) -> str:
    """SHA-256 of the canonical document without its id: the same request, rules and data give the same hash."""
    return hashlib.sha256(canonical(document)).hexdigest()


def draft_id(document: dict[str, Any]) -> str:
    """The id of a reply that was made in process and stored nowhere."""
    return f"draft-{plan_hash(document)[:12]}"


def with_id(plan_id: str, body: bytes) -> bytes:
    """The JSON bytes of a document with ``id`` put first; the id is plain ASCII that needs no escaping."""
    return b'{"id":"%b",%b' % (plan_id.encode("ascii"), body[1:])
