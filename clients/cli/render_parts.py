"""The sections of a reply on the page."""

from typing import Any

from clients.cli.page import Page, clean, wrap

Document = dict[str, Any]

SEVERITY_WORDS = {
    "stop": ("STOP", "red"),
    "hold": ("HOLD", "red"),
    "ask": ("ASK", "amber"),
    "caution": ("CAUTION", "amber"),
    "note": ("NOTE", "blue"),
}
_ORDER = ("stop", "hold", "ask", "caution", "note")
_VERBS = {"solute": "WEIGH", "stock": "TAKE", "solvent": "ADD", "component": "ADD"}
_MARGIN = 11


def measures(page: Page, plan: Document) -> None:
    """What to weigh or pour and where to make it up: framed, first and strongest."""
    page.blank()
    page.rule()
    for line in plan["measure"]:
        amount = line["amount"]
        verb = _VERBS[line["role"]] if amount["unit"] == "g" or line["role"] == "solvent" else "MEASURE"
        _big(page, verb, amount["display"], line["what"])
        hints = []
        if "window" in line:
            hints.append(f"keep between {line['window']['low']['display']} and {line['window']['high']['display']}")
        if line.get("textbook") and line["textbook"] != amount["display"]:
            hints.append(f"textbook answer {line['textbook']}")
        if line.get("using"):
            hints.append(f"with {line['using']}")
        if hints:
            page.item(" " * _MARGIN, "; ".join(hints), _MARGIN)
    vessel = plan.get("vessel")
    if vessel:
        portions = vessel.get("portions", [])
        where = f"in {len(portions)} fillings" if portions else f"in {vessel['words']}{_tolerance(vessel)}"
        _big(page, "MAKE UP", _volume(plan, vessel), where)
        for place, portion in enumerate(portions, 1):
            page.item(" " * _MARGIN, f"{place}: {portion['volume']['display']} in {portion['vessel']}", _MARGIN)
    page.rule()


def _volume(plan: Document, vessel: Document) -> str:
    whole = plan["product"].get("volume", vessel["nominal"])
    return str(whole["display"])


def _big(page: Page, verb: str, amount: str, what: str) -> None:
    gap = max(1, 14 - len(amount))
    head = f"{'  ' + verb:<{_MARGIN}}"
    room = page.width - _MARGIN - len(amount) - gap
    first, *rest = wrap(clean(what), max(10, room))
    page.lines.append(f"{page.paint(head, 'strong')}{page.paint(clean(amount), 'green')}{' ' * gap}{first}")
    page.lines.extend(" " * (_MARGIN + len(amount) + gap) + line for line in rest)


def _tolerance(vessel: Document) -> str:
    said = f", ±{vessel['tolerance']['display']}"
    return f"{said} ({vessel['standard']})" if vessel.get("standard") else said


def checks(page: Page, document: Document) -> None:
    """What the rules found, gravest first, then what could not be checked, then how many passed.

    What the question or the refusal already says is not said twice, and a refused preparation gets no advice on details.
    """
    findings = document.get("findings", [])
    if not findings:
        return
    outcome = document["outcome"]
    said = {document.get("problem", {}).get("message"), document.get("question", {}).get("text")}
    wanted = ("stop", "hold") if outcome == "refused" else _ORDER
    fired = [f for f in findings if f["result"] == "fired" and f["severity"] in wanted and f["message"] not in said]
    unchecked = [f for f in findings if f["result"] == "unchecked"]
    passed = sum(f["result"] == "passed" for f in findings)
    page.heading("checks", f"{passed} passed, {len(fired)} to read, {len(unchecked)} not checked")
    for severity in _ORDER:
        word, style = SEVERITY_WORDS[severity]
        for found in fired:
            if found["severity"] == severity:
                page.item(f"  {word}", found.get("message", ""), _MARGIN, style)
                # A note needs no action, so its advice stays in the document.
                if found.get("remedy") and severity != "note":
                    page.item(" " * (_MARGIN - 3) + "→", found["remedy"], _MARGIN)
    for found in unchecked if outcome != "refused" else []:
        page.item("  UNCHECKED ", f"{found.get('message', '')} [{found['rule']}]", 12, "amber")


def steps(page: Page, plan: Document) -> None:
    """The bench card."""
    route = plan.get("route", {})
    page.heading("steps", route.get("why", ""))
    for step in plan["steps"]:
        page.item(f"{step['n']:>4}  ", step["text"], 6)
        if step.get("caution"):
            page.item("      ! ", step["caution"], 8, "amber", "amber")
    for other in route.get("alternatives", []):
        page.item("  or  ", other["summary"], 6, "faint", "faint")


def working(page: Page, plan: Document) -> None:
    """The sum, each way it can be written."""
    if not plan.get("working"):
        return
    page.heading("working")
    for part in plan["working"]:
        page.item("  ", part["method"], 2, text_style="faint")
        for line in part["lines"]:
            page.item("    ", line, 4)


def notes(page: Page, plan: Document) -> None:
    """How sure, what the solution is like, its hazards, and what becomes of it."""
    page.heading("the solution")
    found = plan.get("uncertainty")
    if found:
        main = ", ".join(
            f"{b['source']} {round(100 * b['share'])} %" for b in found["budget"][:3] if b["share"] >= 0.005
        )
        value = f"{found['concentration']['display']} " if "concentration" in found else ""
        spread = f"± {found['U']['display']}" if "U" in found else f"± {100 * found['k'] * found['u_rel']:.2g} %"
        page.item("  strength ", f"{value}{spread} (k = {found['k']:g}); mostly {main}", _MARGIN)
    made = plan.get("solution", {})
    facts = [
        f"{name} {made[key]['display']}".strip()
        for key, name in (("density", "density"), ("mass_fraction", ""), ("molality", ""))
        if key in made
    ]
    if "temperature_rise" in made:
        rise = made["temperature_rise"]
        facts.append(
            f"{'warms' if rise['value'] >= 0 else 'cools'} by about {rise['display'].lstrip('+-')} on dissolving"
        )
    if facts:
        page.item("  is", ", ".join(facts), _MARGIN)
    _hazards(page, plan.get("hazards"))
    if plan.get("ppe"):
        page.item("  wear", ", ".join(plan["ppe"]), _MARGIN)
    kept = plan.get("storage")
    if kept:
        page.item("  store", ", ".join(filter(None, (kept["container"], kept["closure"], kept["condition"]))), _MARGIN)
    until = plan.get("use_by")
    if until:
        page.item("  keeps", f"{until['days']} days: {until['basis']}" if until["days"] else until["basis"], _MARGIN)
    for left in plan.get("waste", []):
        page.item("  waste", f"{left['stream']}: {left['advice']}", _MARGIN)


def _hazards(page: Page, hazards: Document | None) -> None:
    """The class at the strength made; a substance that is not classified here is named, never passed over."""
    if not hazards:
        return
    if hazards["classes"]:
        said = "; ".join(f"{s['text']} ({s['code']})" for s in hazards["h_statements"])
        page.item(
            "  hazard", f"{hazards.get('signal_word', '')}: {said}".removeprefix(": "), _MARGIN, text_style="amber"
        )
    elif not hazards.get("not_classified_here"):
        page.item("  hazard", f"no class at this strength under the policy '{hazards['policy']}'", _MARGIN)
    if hazards.get("not_classified_here"):
        names = " and ".join(hazards["not_classified_here"])
        page.item(
            "  hazard", f"{names}: no classification is held here; take the supplier's safety data sheet", _MARGIN
        )
    for name in hazards.get("found_by_test_only", []):
        page.item("", f"settled only by a test on the mixture: {name}", _MARGIN)


def question(page: Page, asked: Document) -> None:
    """The question, its numbered answers, and what each would give."""
    page.blank()
    page.item("  ", asked["text"], 2, text_style="strong")
    for number, option in enumerate(asked["options"], 1):
        effect = f": {option['effect']}" if option.get("effect") else ""
        page.item(f"  {number:>2}  ", f"{option['label']}{effect}", 6, "strong")
    if asked.get("remedy"):
        page.item("  → ", asked["remedy"], 4)


def problem(page: Page, found: Document, typed: str) -> None:
    """What is wrong, where in the text, what was read, and what to try."""
    page.blank()
    page.item("  ", found["message"], 2, text_style="strong")
    if typed and found.get("span"):
        _caret(page, typed, found["span"][0], found["span"][1])
    for name, value in (found.get("understood") or {}).items():
        page.item("  read: ", f"{name} = {value}", 8)
    if found.get("remedy"):
        page.item("  → ", found["remedy"], 4)
    if found.get("suggestions"):
        page.item("  ", "Perhaps:", 2)
        for line in found["suggestions"]:
            page.item("    ", line, 4)


def _caret(page: Page, typed: str, start: int, end: int) -> None:
    """The typed line, cut to the width around the place, with a mark under it."""
    room = page.width - 8
    begin = max(0, min(start - room // 2, len(typed) - room))
    shown = clean(typed[begin : begin + room])
    if not shown.strip():
        return
    start, end = min(start, len(typed)), min(max(end, start + 1), max(len(typed), start + 1))
    length = max(1, min(end - start, room - (start - begin)))
    page.lines.append(("    " + ("…" if begin else "") + shown).rstrip())
    page.lines.append(" " * (4 + (1 if begin else 0) + start - begin) + page.paint("^" * length, "red"))


def close_up(page: Page, versions: Document) -> None:
    """Under which rules and data the reply was made."""
    if versions:
        page.blank()
        page.lines.append(page.paint(f"rules {versions.get('rules', '?')}, data {versions.get('data', '?')}", "faint"))
