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
_WANTED = {"refused": ("stop", "hold"), "held": ("stop", "ask", "caution")}  # the holds stand at the top of the page
_GRAVE = ("stop", "hold", "ask", "caution")
_VERBS = {"solute": "WEIGH", "stock": "TAKE", "solvent": "ADD", "component": "ADD"}
MARGIN = 11


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
            page.item(" " * MARGIN, "; ".join(hints), MARGIN)
    _make_up(page, plan)
    page.rule()


def _make_up(page: Page, plan: Document) -> None:
    """Where it is made up: through a stock, in several fillings, or in one vessel."""
    route, vessel = plan.get("route", {}), plan.get("vessel")
    if route.get("dilutions"):
        if "stock_vessel" in route:
            _big(page, "STOCK", "made up", f"in {route['stock_vessel']}")
        for step in route["dilutions"]:
            _big(
                page,
                "TAKE",
                step["take"]["display"],
                f"of that with {step['using']}, make up in {step['into']}: {step['label']}",
            )
    elif route.get("kind") in ("stock_then_dilute", "serial"):
        page.item(
            "  CARE",
            "A stock is made first and then diluted: do not make this up in one go, follow the steps.",
            MARGIN,
            "amber",
        )
    elif vessel and vessel.get("portions"):
        _big(
            page,
            "MAKE UP",
            _volume(plan, vessel),
            f"in {len(vessel['portions'])} fillings; the amounts above are for all together",
        )
        for place, portion in enumerate(vessel["portions"], 1):
            shares = " and ".join(amount["display"] for amount in portion.get("amounts", []))
            share = f"with {shares} " if shares else ""
            page.item(" " * MARGIN, f"{place}: {portion['volume']['display']} {share}in {portion['vessel']}", MARGIN)
    elif vessel:
        _big(page, "MAKE UP", _volume(plan, vessel), f"in {vessel['words']}{_tolerance(vessel)}")


def _volume(plan: Document, vessel: Document) -> str:
    whole = plan["product"].get("volume", vessel["nominal"])
    return str(whole["display"])


def _big(page: Page, verb: str, amount: str, what: str) -> None:
    gap = max(1, 14 - len(amount))
    head = f"{'  ' + verb:<{MARGIN}}"
    room = page.width - MARGIN - len(amount) - gap
    first, *rest = wrap(clean(what), max(10, room))
    page.lines.append(f"{page.paint(head, 'strong')}{page.paint(clean(amount), 'green')}{' ' * gap}{first}")
    page.lines.extend(" " * (MARGIN + len(amount) + gap) + line for line in rest)


def _tolerance(vessel: Document) -> str:
    said = f", ±{vessel['tolerance']['display']}"
    return f"{said} ({vessel['standard']})" if vessel.get("standard") else said


def checks(page: Page, document: Document) -> None:
    """What must be heeded, gravest first, then what could not be checked, and how many passed; notes come later.

    What the question or the refusal already says is not said twice, and a refused preparation gets no advice on details.
    """
    findings = document.get("findings", [])
    if not findings:
        return
    outcome = document["outcome"]
    said = {document.get("problem", {}).get("message"), document.get("question", {}).get("text")}
    wanted = _WANTED.get(outcome, _GRAVE)
    fired = [f for f in findings if f["result"] == "fired" and f["severity"] in wanted and f["message"] not in said]
    unchecked = [f for f in findings if f["result"] == "unchecked"] if outcome != "refused" else []
    passed = sum(f["result"] == "passed" for f in findings)
    if "plan" not in document and not fired and not unchecked:
        return
    page.heading("checks", f"{passed} passed, {len(fired)} to heed, {len(unchecked)} not checked")
    for severity in wanted:
        word, style = SEVERITY_WORDS[severity]
        for found in fired:
            if found["severity"] == severity:
                page.item(f"  {word}", found["message"], MARGIN, style)
                if found.get("remedy"):
                    page.item(" " * (MARGIN - 3) + "→", found["remedy"], MARGIN)
    for found in unchecked:
        page.item("  UNCHECKED ", f"{found['message']} [{found['rule']}]", 12, "amber")


def remarks(page: Page, findings: list[Document]) -> None:
    """The notes of the rules: good to know, nothing to do."""
    fired = [f for f in findings if f["result"] == "fired" and f["severity"] == "note"]
    if fired:
        page.heading("notes")
    for found in fired:
        page.item("  - ", found["message"], 4)


def steps(page: Page, plan: Document) -> None:
    """The bench card."""
    route = plan.get("route", {})
    page.heading("steps")
    if route.get("why"):
        page.item("  ", route["why"], 2, text_style="faint")
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
        page.item("  strength ", f"{value}{spread} (k = {found['k']:g}); mostly {main}", MARGIN)
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
        page.item("  is", ", ".join(facts), MARGIN)
    _hazards(page, plan.get("hazards"))
    if plan.get("ppe"):
        page.item("  wear", ", ".join(plan["ppe"]), MARGIN)
    kept = plan.get("storage")
    if kept:
        page.item("  store", ", ".join(filter(None, (kept["container"], kept["closure"], kept["condition"]))), MARGIN)
    until = plan.get("use_by")
    if until:
        page.item("  keeps", f"{until['days']} days: {until['basis']}" if until["days"] else until["basis"], MARGIN)
    for left in plan.get("waste", []):
        page.item("  waste", f"{left['stream']}: {left['advice']}", MARGIN)


def _hazards(page: Page, hazards: Document | None) -> None:
    """The class at the strength made; a substance that is not classified here is named, never passed over."""
    if not hazards:
        return
    if hazards["classes"]:
        said = "; ".join(f"{s['text']} ({s['code']})" for s in hazards["h_statements"])
        page.item(
            "  hazard", f"{hazards.get('signal_word', '')}: {said}".removeprefix(": "), MARGIN, text_style="amber"
        )
    elif not hazards.get("not_classified_here"):
        page.item("  hazard", f"no class at this strength under the policy '{hazards['policy']}'", MARGIN)
    if hazards.get("not_classified_here"):
        names = " and ".join(hazards["not_classified_here"])
        page.item("  hazard", f"{names}: no classification is held here; take the supplier's safety data sheet", MARGIN)
    for name in hazards.get("found_by_test_only", []):
        page.item("", f"settled only by a test on the mixture: {name}", MARGIN)


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
        page.item("", f"rules {versions.get('rules', '?')}, data {versions.get('data', '?')}", 0, text_style="faint")
