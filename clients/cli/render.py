"""A reply as a technician reads it at the bench: what to measure first, then the checks, the steps and the sum."""

from typing import Any

from clients.cli.page import Page, clean
from clients.cli.render_parts import (
    MARGIN,
    checks,
    close_up,
    measures,
    notes,
    problem,
    question,
    remarks,
    steps,
    working,
)

Document = dict[str, Any]

OUTCOMES = {
    "planned": ("PLANNED", "green"),
    "held": ("HELD", "red"),
    "question": ("QUESTION", "amber"),
    "refused": ("REFUSED", "red"),
    "answered": ("ANSWER", "green"),
    "not_understood": ("NOT UNDERSTOOD", "amber"),
}

VERDICTS = {"right": ("RIGHT", "green"), "close": ("CLOSE", "amber"), "wrong": ("NOT RIGHT", "red")}


def reply(page: Page, document: Document, typed: str = "") -> None:
    """Write the whole reply to the page; ``typed`` is the text it answers, for the caret."""
    word, style = OUTCOMES[document["outcome"]]
    page.item(f"{word}  ", document.get("read_as", ""), len(word) + 2, style, "strong")
    page.lines.append(
        page.paint(
            f"{'stored as' if not document['id'].startswith('draft-') else 'not stored:'} {document['id']}", "faint"
        )
    )
    if "problem" in document:
        problem(page, document["problem"], typed)
    if "answer" in document:
        _answer(page, document["answer"])
    if "question" in document:
        question(page, document["question"])
    plan = document.get("plan")
    findings = document.get("findings", [])
    if document["outcome"] == "held":
        _why_held(page, findings)
    if plan:
        measures(page, plan)
    checks(page, document)
    if plan:
        steps(page, plan)
        working(page, plan)
        notes(page, plan)
        remarks(page, findings)
    if document.get("assumptions"):
        page.heading("taken for granted")
        for line in document["assumptions"]:
            page.item("  - ", line, 4)
    close_up(page, document.get("versions", {}))


def _why_held(page: Page, findings: list[Document]) -> None:
    page.blank()
    page.item("", "Somebody who may allow it must look at this plan first. No label or sheet until then.", 0)
    for found in findings:
        if found["severity"] == "hold" and found["result"] != "passed":
            page.item("  HOLD", found["message"], MARGIN, "red")
            if found.get("remedy"):
                page.item(" " * (MARGIN - 3) + "→", found["remedy"], MARGIN)


def _answer(page: Page, answer: Document) -> None:
    page.blank()
    if "verdict" in answer:
        word, style = VERDICTS[answer["verdict"]]
        page.item(f"  {word}  ", answer["amount"]["display"] if "amount" in answer else "", len(word) + 4, style, "strong")
    elif "amount" in answer:
        page.lines.append("  " + page.paint(clean(answer["amount"]["display"]), "strong"))
    page.item("  ", answer["text"], 2)
    for slip in answer.get("slips", []):
        page.item("    slip  ", slip["name"], 10, "amber")
    for part in answer.get("working", []):
        for line in part["lines"] if isinstance(part, dict) else [part]:
            page.item("    ", line, 4)
    for cite in answer.get("citations", []):
        page.item("  from ", f"{cite['source_id']}, {cite['locator']}", 7, "faint")
