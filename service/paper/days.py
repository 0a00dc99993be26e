"""The sheet of a prep day, A4: what to fetch, what to do in which order, what it adds up to and when it is ready."""

from typing import Any

from service.paper.press import typeset
from service.paper.words import capital, short_date, spoken_date

Document = dict[str, Any]
_WAITS = {
    "drying": "dried",
    "cooling": "cooled",
    "standing": "stood or boiled, and filtered",
    "standardising": "standardised",
}


def day_sheet(day: Document) -> bytes:
    """The sheet as a PDF; ``day`` is a PrepDay of which something may be printed."""
    return typeset("day", content(day), day["id"])


def content(day: Document) -> Document:
    """What stands on the sheet: nothing of what stands apart or was withdrawn but how many there are."""
    made = [one for one in day["preparations"] if "withdrawn" not in one]
    apart = len(day["apart"])
    gone = len(day["preparations"]) - len(made)
    return {
        "id": day["id"],
        "kind": "prep day",
        "title": spoken_date(day["date"]),
        "headline": _count(len(made), "preparation")
        + " from "
        + _count(sum(len(one["parts"]) for one in made), "request"),
        "left_out": " ".join(filter(None, (_left_out(apart, "stands apart", "stand apart"), _gone(gone)))),
        "pick": [_fetched(line) for line in day["pick_list"]],
        "order": [
            {"n": str(t["n"]), "text": t["text"], "note": f"preparation {t['preparation']}: {t['because']}"}
            for t in day["order"]
        ],
        "preparations": [_preparation(one) for one in made],
        "versions": f"rules {day['versions']['rules']}, data {day['versions']['data']}",
    }


def _fetched(line: Document) -> Document:
    places = [
        f"{p['place']}: {p['free']} {p['unit']}" + (f", lot {p['lot']}" if "lot" in p else "")
        for p in line.get("places", ())
    ]
    if "made_here" in line:
        places = [f"preparation {line['made_here']} of this day"]
    return {
        "what": line["what"],
        "amount": line["amount"]["display"],
        "for": ", ".join(str(n) for n in line["preparations"]),
        "place": "; ".join(places),
        "short": f"Short: {line['short']}." if "short" in line else "",
    }


def _preparation(one: Document) -> Document:
    waits = ", ".join(dict.fromkeys(_WAITS[wait["kind"]] for wait in one["waits"]))
    ready = [f"ready {short_date(one['ready'])}" + (f", once {waits}" if waits else "")]
    if "needed_by" in one:
        ready.append(f"needed {short_date(one['needed_by'])}")
    if "use_by" in one:
        ready.append(f"use by {short_date(one['use_by'])}")
    return {
        "n": str(one["n"]),
        "plan": one["plan"],
        "name": capital(one["name"]),
        "headline": ", ".join(filter(None, (one.get("total", {}).get("display"), one.get("strength"))))
        or one["read_as"],
        "signal": one.get("signal_word", "").upper(),
        "measures": [f"{m['amount']['display']} {m['what']}" for m in one["measure"]],
        "vessel": one.get("vessel", ""),
        "ready": "; ".join(ready),
        "waits": [capital(wait["text"]) + "." for wait in one["waits"]],
        "cautions": one["cautions"],
        "sum": one.get("sum", []),
        "parts": [_part(part) for part in one["parts"]],
    }


def _part(part: Document) -> Document:
    who = [_printable(part[key]) for key in ("to", "room") if key in part]
    if "needed_by" in part:
        who.append(f"by {short_date(part['needed_by'])}")
    return {
        "total": part.get("total", {}).get("display", ""),
        "who": ", ".join(who) or f"request {part['line']}",
        "sum": "; ".join(part.get("sum", ())),
    }


def _printable(text: str) -> str:
    """The text with what cannot be printed made visible."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


def _count(number: int, what: str) -> str:
    return f"{number} {what}" + ("" if number == 1 else "s")


def _left_out(number: int, one: str, many: str) -> str:
    words = f"{one} and is" if number == 1 else f"{many} and are"
    return f"{_count(number, 'request')} {words} not on this sheet." if number else ""


def _gone(number: int) -> str:
    return f"{_count(number, 'preparation')} {'was' if number == 1 else 'were'} withdrawn." if number else ""
