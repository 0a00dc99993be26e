"""From the requests of a day to its document and everything that is stored with it."""

import asyncio
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from grammar.request import Prepare, Request, Series
from service import requests
from service.approvals.archive import Holds
from service.approvals.settle import queue_write, settle
from service.bench import Bench
from service.days.class_sets import Answer, answered
from service.days.document import Apart, Made, compose, why_not
from service.days.line import Line, Replied
from service.days.merging import grouped, key_of, merged
from service.pipeline import consider
from service.plans.archive import Archive
from service.store.writer import Write

Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Room:
    """What a day is made with: the pipeline and its bench, the stored plans and the approvals."""

    answer: Answer
    bench: Bench
    archive: Archive
    holds: Holds


async def make_day(room: Room, on: date, lines: list[Line], who: str) -> tuple[Document, list[Write]]:
    """The document of the day, and the writes that store the reply of each preparation and of what stands apart."""
    alone = []
    for line in lines:
        await asyncio.sleep(0)  # others get their turn in between
        settled = await settle(room.holds, answered(room.answer, room.bench, line.words, line.asked), who, line.wish)
        alone.append(Replied((replace(line, request=_typed(settled.document)),), settled))
    apart = [(one, why) for one in alone if (why := _why(one, on)) is not None]
    left = [one for one in alone if _why(one, on) is None]
    made = []
    for group in grouped([(_key(room, one), one) for one in left]):
        await asyncio.sleep(0)
        for one in await _together(room, group, who):
            why = _why(one, on)
            if why is None:
                made.append(one)
            else:
                apart.append((one, why))
    writes: list[Write] = []

    def stored(one: Replied) -> str:
        draft = room.archive.draft(one.text, one.settled.document, who)
        held = queue_write(room.holds, one.settled, draft.id, who, one.wish)
        writes.extend([draft.write] if held is None else [draft.write, held])
        return draft.id

    apart.sort(key=lambda told: told[0].lines[0].number)
    preparations = []
    for one in made:
        request = _typed(one.settled.document)
        assert isinstance(request, Prepare | Series)
        preparations.append(Made(one, request, consider(request, room.bench).plan, stored(one)))
    document = compose(
        on,
        len(lines),
        preparations,
        [Apart(one, *why, stored(one)) for one, why in apart],
        alone[0].settled.document["versions"],
    )
    return document, writes


async def _together(room: Room, group: list[Replied], who: str) -> list[Replied]:
    """The group as one preparation, with the reply to all of it; as it came where making more of it changes what is made."""
    asked = [one.lines[0].request for one in group]
    typed = [request for request in asked if isinstance(request, Prepare)]
    if len(group) == 1 or len(typed) < len(group):
        return group
    whole = merged(typed)
    if key_of(whole, consider(whole, room.bench).plan) != _key(room, group[0]):
        return group
    lines = tuple(line for one in group for line in one.lines)
    document = room.answer(whole, room.bench).document
    together = Replied(lines, group[0].settled)
    return [replace(together, settled=await settle(room.holds, document, who, together.wish))]


def _why(one: Replied, on: date) -> tuple[str, str] | None:
    return why_not(one.settled.document, [line.wish.needed_by for line in one.lines if line.wish.needed_by], on)


def _key(room: Room, one: Replied) -> Any:
    request = one.lines[0].request
    return None if not isinstance(request, Prepare) else key_of(request, consider(request, room.bench).plan)


def _typed(document: Document) -> Request | None:
    """The request of a reply, typed; None where it has none."""
    return requests.read(document["request"]) if "request" in document else None
