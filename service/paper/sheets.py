"""The bench sheet of a plan and the record of a preparation, A4: large amounts, tick boxes, blanks, cautions, code."""

from typing import Any

from service.paper.press import typeset
from service.paper.words import capital, formula_runs, product_title, spoken_date

Document = dict[str, Any]

_EMPTY: Document = {
    "warnings": [], "measures": [], "measures_head": "", "rows": [], "rows_head": "", "tables": [], "steps": [], "notes": [],
    "signs": [], "signal": "", "hazards": [], "hazards_head": "hazards of the solution made", "blanks": [], "outcomes": [],
    "under": "", "notes_head": "handling",
}  # fmt: skip
_BLANKS = (
    "vessel, number on it",
    "water",
    "temperature, \u00b0C",
    "made by",
    "date and time",
    "what was done otherwise",
)
_OUTCOMES = ("made", "overshot", "spilt", "did not dissolve", "given up")


def bench_sheet(reply: Document) -> bytes:
    """The sheet to work from, as a PDF; ``reply`` is a stored reply with its plan."""
    return _pages(sheet_content(reply))


def record_sheet(record: Document, standardisations: list[Document]) -> bytes:
    """The record of a preparation as a PDF, with its chain and its standardisations."""
    return _pages(record_content(record, standardisations))


def _pages(data: Document) -> bytes:
    return typeset("sheet", data, data["id"], tuple(data["signs"]))


def sheet_content(reply: Document) -> Document:
    """What stands on the bench sheet."""
    plan = reply["plan"]
    product = plan["product"]
    name = product_title(product)
    total = (product.get("volume") or product.get("mass") or {}).get("display", "")
    parts = product.get("components", ())
    strength = "" if parts else product.get("concentration", {}).get("display", "")
    fired = [f for f in reply["findings"] if f["result"] == "fired" and f["severity"] in ("hold", "caution")]
    return _EMPTY | {
        "kind": "bench sheet",
        "id": reply["id"],
        "title": capital(name),
        "formula": [] if parts else formula_runs(product.get("formula", "")),
        "headline": ", ".join(filter(None, (total, strength))),
        "under": reply["read_as"],
        "warnings": [f["message"] for f in fired],
        "measures_head": "take",
        "measures": [_measure(n, m) for n, m in enumerate(plan["measure"], 1)],
        "rows_head": "into",
        "rows": _vessel(plan),
        "steps": [{"n": s["n"], "text": s["text"], "caution": s.get("caution") or ""} for s in plan["steps"]],
        **_hazards(plan.get("hazards", {})),
        "notes": _notes(plan, reply.get("assumptions", [])),
        "blanks": list(_BLANKS),
        "outcomes": list(_OUTCOMES),
        "versions": _versions(reply),
    }


def record_content(record: Document, standardisations: list[Document]) -> Document:
    """What stands on the record of a preparation."""
    made = record.get("made", {})
    failed = record.get("failed")
    strength = made.get("concentration", {}).get("display", "") if "components" not in made else ""
    total = (made.get("volume") or made.get("mass") or {}).get("display", "")
    name = failed["name"] if failed else made["name"]
    tables = [_components(made)] if made.get("components") else []
    if "uncertainty" in made:
        tables.append(_budget(made["uncertainty"]))
    tables += [_titres(one) for one in standardisations]
    tables.append(_chain(record["chain"]))
    return _EMPTY | {
        "kind": "record of a failed preparation" if failed else "preparation record",
        "id": record["id"],
        "title": capital(name),
        "formula": formula_runs(made["formula"]) if strength else [],
        "headline": "discarded" if failed else ", ".join(filter(None, (strength, total))),
        "under": record["read_as"],
        "warnings": [failed["reason"], failed["restart"]] if failed else record.get("cautions", []),
        "measures_head": "really taken",
        "measures": [_used(one) for one in record["used"]],
        "rows_head": "found",
        "rows": _found(record, made),
        "tables": tables,
        **_hazards(made.get("hazards", {})),
        "notes_head": "how it was made",
        "notes": _record_notes(record, made, failed),
        "versions": _versions(record),
    }


def _measure(number: int, measure: Document) -> Document:
    window = measure.get("window")
    detail = [measure["using"]] if measure.get("using") else []
    if window:
        detail.append(f"keeps the strength from {window['low']['display']} to {window['high']['display']}")
    return {
        "n": number,
        "amount": measure["amount"]["display"],
        "what": measure["what"],
        "detail": "; ".join(detail),
        "real": [],
    }


def _used(used: Document) -> Document:
    real = [f"planned {used['planned']['display']}"]
    real += [f"{label} {used[key]}" for key, label in (("lot", "lot"), ("source", "from")) if key in used]
    if "assay_pct" in used:
        real.append(f"assay {used['assay_pct']:g} %")
    readings = " + ".join(used["readings"]) + f" {used['unit']}" if len(used["readings"]) > 1 else ""
    detail = "; ".join(filter(None, (used.get("using", ""), readings)))
    return {
        "n": used["measure"],
        "amount": used["amount"]["display"],
        "what": used["what"],
        "detail": detail,
        "real": real,
    }


def _row(label: str, text: str, strong: bool = False) -> Document:
    return {"label": label, "text": text, "strong": strong}


def _vessel(plan: Document) -> list[Document]:
    vessel = plan.get("vessel", {})
    portions = vessel.get("portions", ())
    if len(portions) < 2:
        return [_row("vessel", vessel["words"], True)] if vessel else []
    return [
        _row(f"portion {n}", f"{p['vessel']}: {', '.join(a['display'] for a in p['amounts'])}", True)
        for n, p in enumerate(portions, 1)
    ]


def _found(record: Document, made: Document) -> list[Document]:
    if not made:
        return []
    rows = []
    if "concentration" in made and "components" not in made:
        spread = made["uncertainty"]
        how = {"measured": "from what was weighed and poured", "standardised": "standardised"}[made["basis"]]
        rows.append(
            _row(
                "strength",
                f"{made['concentration']['display']} \u00b1 {spread['U']['display']} (k = {spread['k']:g}), {how}",
                True,
            )
        )
        rows.append(_row("asked for", f"{made['nominal']['display']}; difference {made['difference']['display']}"))
    if "keeps_request" in made:
        rows.append(_row("figures asked for", "hold. " if made["keeps_request"]["holds"] else "do not hold. "))
        rows[-1]["text"] += made["keeps_request"]["text"]
    if "largest_cause" in made and "components" not in made:
        cause = made["largest_cause"]
        rows.append(_row("largest doubt", f"{cause['source']} ({100 * cause['share']:.0f} %). {cause['cure']}"))
    if "nominal_until_standardised" in made:
        rows.append(_row("nominal", made["nominal_until_standardised"]))
    use_by = record.get("use_by", {})
    rows.append(
        _row(
            "use by", f"{spoken_date(use_by['date'])}: {use_by['basis']}" if "date" in use_by else use_by["basis"], True
        )
    )
    return rows


def _components(made: Document) -> Document:
    lines = [
        [c["name"], c.get("concentration", {}).get("display", "not worked out"), c.get("nominal", {}).get("display", ""),
         c.get("difference", {}).get("display", ""), c.get("uncertainty", {}).get("U", {}).get("display", "")]
        for c in made["components"]
    ]  # fmt: skip
    return {"head": "components", "widths": [5, 3, 3, 2, 3], "columns": ["component", "made", "asked for", "difference", "U (k = 2)"],
            "lines": lines}  # fmt: skip


def _budget(uncertainty: Document) -> Document:
    lines = [[b["source"], f"{100 * b['u_rel']:.3f} %", f"{100 * b['share']:.1f} %"] for b in uncertainty["budget"]]
    return {"head": "where the doubt comes from", "widths": [6, 2, 2],
            "columns": ["source", "standard uncertainty", "share"], "lines": lines}  # fmt: skip


def _titres(one: Document) -> Document:
    lines = [
        [(r.get("mass") or r.get("volume") or {}).get("display", ""), r["titre"]["display"], r["titre_net"]["display"],
         r["strength"]["display"], r.get("left_out", "")]
        for r in one["runs"]
    ]  # fmt: skip
    lines.append(["mean", "", "", one["mean"]["display"], f"RSD {one['rsd_pct']:.3f} %" if "rsd_pct" in one else ""])
    lines.append(
        ["", "", "", "accepted" if one["accepted"] else "not accepted", f"due {spoken_date(one['next_due']['date'])}"]
    )
    head = f"standardised against {one['standard']['name']}, {spoken_date(one['at'])}, {one['by']}"
    return {
        "head": head,
        "widths": [3, 3, 3, 3, 4],
        "columns": ["standard", "titre", "less blank", "strength", ""],
        "lines": lines,
    }


def _chain(chain: list[Document]) -> Document:
    lines = []
    for entry in chain:
        changed = "; ".join(
            f"{c['field']}: {c.get('was', 'nothing')} to {c.get('now', 'nothing')}" for c in entry.get("changed", ())
        )
        why = ". ".join(filter(None, (entry.get("why", ""), changed)))
        lines.append([str(entry["entry"]), entry["at"][:16].replace("T", " ") + " UTC", entry["by"], entry["kind"],
                      entry.get("concentration", ""), why])  # fmt: skip
    return {
        "head": "entries",
        "widths": [1, 4, 2, 3, 3, 7],
        "columns": ["", "at", "by", "what", "strength", "why"],
        "lines": lines,
    }


def _hazards(hazards: Document) -> Document:
    lines = [f"{h['code']} {h['text']}." for h in hazards.get("h_statements", ())]
    if "not_classified_here" in hazards:
        lines.append(f"Not classified here: {', '.join(hazards['not_classified_here'])}. See the safety data sheet.")
    elif hazards and not hazards["classes"]:
        lines.append("No hazard class at this strength.")
    return {
        "signs": [p["code"] for p in hazards.get("pictograms", ())],
        "signal": hazards.get("signal_word", ""),
        "hazards": lines,
    }


def _notes(plan: Document, assumptions: list[str]) -> list[Document]:
    notes = []
    if plan.get("ppe"):
        notes.append({"label": "wear", "text": "; ".join(plan["ppe"])})
    if "storage" in plan:
        kept = plan["storage"]
        notes.append(
            {"label": "keep", "text": "; ".join(filter(None, (kept["container"], kept["closure"], kept["condition"])))}
        )
    if plan.get("use_by", {}).get("days") is not None:
        notes.append(
            {
                "label": "use within",
                "text": f"{plan['use_by']['days']} days ({plan['use_by']['basis'].replace('-', ' ')})",
            }
        )
    notes += _waste(plan)
    if assumptions:
        notes.append({"label": "taken as", "text": " ".join(assumptions)})
    return notes


def _waste(dressed: Document) -> list[Document]:
    found = "; ".join(f"{w['stream'].replace('-', ' ')}: {w['advice']}" for w in dressed.get("waste", ()))
    return [{"label": "waste", "text": found}] if found else []


def _record_notes(record: Document, made: Document, failed: Document | None) -> list[Document]:
    told = record["recorded"]
    notes = [
        {"label": "made by", "text": f"{record['by']}, {spoken_date(record['made_at'])} {record['made_at'][11:16]} UTC"}
    ]
    vessels = told.get("vessels", [])
    if vessels:
        each = [f"{v['nominal_mL']} mL {v.get('kind', 'volumetric-flask').replace('-', ' ')}" for v in vessels]
        each = [f"{words}, {v['mark']}" if "mark" in v else words for words, v in zip(each, vessels, strict=True)]
        notes.append({"label": "vessel", "text": "; ".join(each)})
    elif "made_in" in made:
        notes.append({"label": "vessel", "text": f"{made['made_in']} (as planned)"})
    for key, label in (
        ("water", "water"),
        ("temperature_degC", "temperature, \u00b0C"),
        ("measured_pH", "pH measured"),
    ):
        if key in told:
            notes.append({"label": label, "text": told[key]})
    if told.get("deviations"):
        notes.append({"label": "done otherwise", "text": "; ".join(told["deviations"])})
    notes += _waste({"waste": failed["discard"]} if failed else made)
    if record.get("assumptions"):
        notes.append({"label": "taken as", "text": " ".join(record["assumptions"])})
    return notes


def _versions(document: Document) -> str:
    return f"rules {document['versions']['rules']}, data {document['versions']['data']}"
