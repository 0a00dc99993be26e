"""``prepwright rules`` and ``prepwright substances``: what the bench knows."""

import sys
from typing import Any

from clients.cli.page import Page, page_for
from clients.cli.render_parts import SEVERITY_WORDS
from clients.transport import desk


def rules(rule_id: str | None, group: str | None, server: str | None) -> int:
    """Print the rules, or one in full; the exit code."""
    page = page_for(sys.stdout)
    asked_at = desk(server)
    if rule_id:
        _rule(page, asked_at.rule(rule_id))
    else:
        found = asked_at.rules(group)
        width = max(len(r["id"]) for r in found) + 2
        last = ""
        for rule in found:
            if rule["group"] != last:
                last = rule["group"]
                page.heading(last.replace("_", " "))
            word, style = SEVERITY_WORDS[rule["severity"]]
            page.item(f"  {rule['id']:<{width}}{word:<9}", rule["title"], width + 11, style if page.colour else "")
            sources = "; ".join(f"{cite['source_id']}, {cite['locator']}" for cite in rule["citations"])
            page.item("", sources, width + 11, "", "faint")
        page.blank()
        page.lines.append(f"{len(found)} rules")
    sys.stdout.write(page.text())
    return 0


def _rule(page: Page, rule: dict[str, Any]) -> None:
    word, style = SEVERITY_WORDS[rule["severity"]]
    page.item(f"{word}  ", rule["title"], len(word) + 2, style, "strong")
    page.lines.append(page.paint(f"{rule['id']}, group {rule['group']}", "faint"))
    page.blank()
    for name, key in (("looks at", "applies_to"), ("why", "rationale"), ("remedy", "remedy")):
        page.item(f"  {name}", rule[key], 12)
    for cite in rule["citations"]:
        page.item("  from", f"{cite['source_id']}, {cite['locator']}", 12)
    page.heading("seen at work")
    for example in rule["examples"]:
        page.item(f"  {example['result'].replace('_', ' '):<16}", example["text"], 18, "faint")
        if example.get("message"):
            page.item("", " " * 18 + example["message"], 0)


def substances(words: str, server: str | None) -> int:
    """Print the substances that match; exit code 6 when none does."""
    page = page_for(sys.stdout)
    found = desk(server).substances(words)
    for one in found["substances"]:
        page.item(f"{one['name']}  ", ", ".join(filter(None, (one.get("formula"), "; ".join(one["forms"])))), 40)
    if not found["substances"]:
        page.lines.append("No substance has that name.")
        if found.get("suggestions"):
            page.lines.append(f"Spelt nearly like it: {', '.join(found['suggestions'])}")
    sys.stdout.write(page.text())
    return 0 if found["substances"] else 6
