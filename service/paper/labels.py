"""Labels: what stands on them, in four sizes, from a record or - where it says "nominal" - from a plan."""

from typing import Any, Literal

from service.paper.press import typeset
from service.paper.words import capital, formula_runs, product_title, short_date
from service.problems import Problem

Document = dict[str, Any]
SizeName = Literal["large", "medium", "small", "dropper"]

# Millimetres and points. Bottles up to 3 L: a label of at least 52 x 74 mm, pictograms with an edge of at least 16 mm where
# possible and never under 10 mm (Regulation (EC) 1272/2008, Annex I, table 1.3, from memory); across the corners that is
# 22.6 mm and 14.1 mm. The sizes themselves are common practice: A6, A7, a card and a strip around a dropping bottle.
SIZES: dict[str, Document] = {
    "large": {
        "for": "2.5 L bottle", "width": 148, "height": 105, "margin": 5, "gap": 1.6, "code": 27, "sign": 27,
        "name_height": 18, "strength_height": 16, "top_height": 40, "name_sizes": [24, 21, 18, 16, 14, 12, 10, 8],
        "strength_sizes": [32, 28, 24, 20, 16, 13, 11, 9], "signal": 20, "text_sizes": [10, 9, 8, 7, 6.5, 6, 5.5, 5], "small": 9,
        "precautions": True, "short": False,
    },
    "medium": {
        "for": "1 L or 500 mL bottle", "width": 105, "height": 74, "margin": 3.5, "gap": 1.1, "code": 21, "sign": 22.7,
         "name_height": 12.5, "strength_height": 12, "top_height": 30,
        "name_sizes": [17, 15, 13, 11.5, 10, 8.5, 7], "strength_sizes": [23, 20, 17, 14, 12, 10, 8], "signal": 15,
        "text_sizes": [7.5, 7, 6.5, 6, 5.5, 5], "small": 6.8, "precautions": False, "short": False,
    },
    "small": {
        "for": "250 or 100 mL bottle", "width": 85, "height": 55, "margin": 2.4, "gap": 0.7, "code": 16, "sign": 16,
         "name_height": 9, "strength_height": 8.2, "top_height": 21,
        "name_sizes": [12, 10.5, 9.5, 8.5, 7.5, 6.5, 5.5], "strength_sizes": [15, 13, 11.5, 10, 8.5, 7.5], "signal": 11,
        "text_sizes": [6, 5.5, 5, 4.6, 4.3], "small": 5.2, "precautions": False, "short": False,
    },
    "dropper": {
        "for": "30 mL dropping bottle", "width": 78, "height": 35, "margin": 1.2, "code": 13.5, "sign": 14.2,
        "name_height": 6.8, "strength_height": 4.6, "name_sizes": [9, 8, 7, 6.2, 5.6, 5], "strength_sizes": [10, 9, 8, 7],
        "signal": 8, "precautions": False, "short": True,
    },
}  # fmt: skip
_NO_CLASS = "No hazard class at this strength."
_UNKNOWN = "Not classified here: see the supplier's safety data sheet."


def label_of_record(record: Document, size: str, copies: int = 1, waste: bool = False) -> bytes:
    """The label of a preparation as a PDF, a page for each copy. Raises Problem where nothing real was made."""
    return _print(content_of_record(record, size, waste) | {"copies": copies})


def nominal_label(plan_id: str, plan: Document, size: str, copies: int = 1) -> bytes:
    """The label of a plan that says "nominal", with blanks for date and maker."""
    return _print(nominal_content(plan_id, plan, size) | {"copies": copies})


def content_of_record(record: Document, size: str, waste: bool = False) -> Document:
    """What stands on the label of a preparation. Raises Problem where it failed or has no known strength."""
    made = record.get("made")
    if made is None or ("concentration" not in made and "components" not in made):
        raise Problem("no-real-value", "There is no real strength on record for this preparation.")
    strength = made.get("concentration", {}).get("display", "")
    nominal = made.get("nominal", {}).get("display", "")
    standing = record.get("standardised")
    qualifier = f"standardised {short_date(standing['on'])}" if standing else ""
    if "nominal_until_standardised" in made:
        qualifier = "nominal, not standardised"
    facts = [("Made", f"{short_date(record['made_at'])}, {record['by']}")]
    if standing:
        facts.append(("Titrate again by", short_date(standing["due"])))
    use_by = record.get("use_by", {})
    facts.append(("Use by", short_date(use_by["date"]) if "date" in use_by else "not known"))
    short_facts = f"{record['by']} {short_date(record['made_at'])}"
    if "date" in use_by:
        short_facts += f", use by {short_date(use_by['date'])}"
    parts = made.get("components", ())
    if parts:
        strength = nominal = ""
    found = _content(record["id"], made["name"], "" if parts else made["formula"], strength, size, made, waste)
    return found | {
        "qualifier": qualifier,
        "uncertainty": "" if waste or qualifier.startswith("nominal") or parts or "uncertainty" not in made
        else f"\u00b1 {made['uncertainty']['U']['display']} (k = 2)",
        "asked": "" if waste or not nominal or nominal == strength else f"asked for: {nominal}",
        "components": [
            {"name": c["name"], "strength": c.get("concentration", {}).get("display", "as planned")} for c in parts
        ],
        "short_facts": short_facts,
    } | _facts(facts, made, waste)  # fmt: skip


def nominal_content(plan_id: str, plan: Document, size: str) -> Document:
    """What stands on a label that says "nominal", from a plan's own hazards and keeping."""
    product = plan["product"]
    name = product_title(product)
    parts = product.get("components", ())
    strength = "" if parts else product.get("concentration", {}).get("display", "")
    days = plan.get("use_by", {}).get("days")
    facts = [
        ("Made", "______________"),
        ("by", "________"),
        ("Use within", f"{days} days of making" if days else "not known"),
    ]
    found = _content(plan_id, name, "" if parts else product.get("formula", ""), strength, size, plan, False)
    return (
        found
        | {
            "qualifier": "nominal",
            "uncertainty": "",
            "asked": "",
            "components": [{"name": c["substance"], "strength": c["strength"]} for c in parts],
            "short_facts": "made ________ by ____",
        }
        | _facts(facts, plan, False)
    )


def _content(
    identity: str, name: str, formula: str, strength: str, size: str, dressed: Document, waste: bool
) -> Document:
    hazards = dressed.get("hazards")
    unknown = hazards is None or "not_classified_here" in hazards
    hazards = hazards or {}
    return {
        "size": SIZES[size],
        "waste": waste,
        "id": identity,
        "title": capital(name),
        "formula": formula_runs(formula) if formula else [],
        "strength": strength,
        "signal": hazards.get("signal_word", ""),
        "pictograms": [p["code"] for p in hazards.get("pictograms", ())],
        "h": hazards.get("h_statements", []),
        "p": hazards.get("p_statements", []) if SIZES[size]["precautions"] and not waste else [],
        "unclassified": _UNKNOWN if unknown else "" if hazards["classes"] else _NO_CLASS + _untested(hazards),
    }


def _untested(hazards: Document) -> str:
    found = hazards.get("found_by_test_only", ())
    return f" Not tested: {'; '.join(found)}." if found else ""


def _facts(facts: list[tuple[str, str]], dressed: Document, waste: bool) -> Document:
    """The line of facts at the foot, and where it is kept or thrown away."""
    if waste:
        facts = [("Filled since", "______________"), ("By", "________")]
        streams = dict.fromkeys(f"{w['stream'].replace('-', ' ')}: {w['advice']}" for w in dressed.get("waste", ()))
        keep = {"label": "Waste", "text": "; ".join(streams) or "stream not known: ask"}
    else:
        kept = dressed.get("storage", {})
        words = "; ".join(filter(None, (kept.get(k, "") for k in ("container", "closure", "condition"))))
        keep = {"label": "Keep", "text": words}
    return {"facts": [{"label": label, "text": text} for label, text in facts], "keep": keep}


def _print(data: Document) -> bytes:
    return typeset("label", data, data["id"], tuple(data["pictograms"]))
