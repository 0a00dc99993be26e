"""Everybody can use every page, and nothing that is typed or sent can take it over."""

import json
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect

from tests.web.conftest import OpenTab, Tab

HOSTILE = (
    "<img src=x onerror=alert(1)><script>alert(2)</script>\"'><svg onload=alert(3)>{{7*7}}javascript:alert(4)\u202egpj"
)
SHOWN = HOSTILE.replace("\u202e", "\ufffd")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
TARGETS = "button, a, input, select, textarea, summary"
#: Words the page chooses its signs and drawings by; everything else in a reply may be any text.
_NAMES = {
    "id",
    "outcome",
    "severity",
    "result",
    "kind",
    "role",
    "unit",
    "verdict",
    "action",
    "rule",
    "source_id",
    "slug",
    "state",
    "decision",
}


def _ask(text: str) -> Any:
    def go(t: Tab) -> None:
        t.open()
        t.say(text)

    return go


def _card(text: str) -> Any:
    def go(t: Tab) -> None:
        t.card(text)
        expect(t.page.locator(".card")).not_to_contain_text("Looking up")
        t.unfold()
        expect(t.page.locator(".passes .sources button").first).to_be_visible()

    return go


def _check(t: Tab) -> None:
    t.open("check")
    t.page.locator(".chip-button").first.click()
    expect(t.page.locator(".slips")).to_be_visible()


def _faulty(t: Tab) -> None:
    t.open("check")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator("#about-fault")).not_to_be_empty()


def _earlier(t: Tab) -> None:
    _ask("10 banana")(t)
    t.open("earlier")
    expect(t.page.locator(".register a").first).to_be_visible()


def _search(t: Tab) -> None:
    t.open("known")
    t.page.get_by_label("Which one?").fill("copper")
    t.page.get_by_label("Which one?").press("Enter")
    expect(t.page.locator(".register a").first).to_be_visible()


def _substance(t: Tab) -> None:
    t.open("known/copper-ii-sulfate")
    t.page.locator("summary").click()
    expect(t.page.locator(".curve")).to_be_visible()


def _offline(t: Tab) -> None:
    t.open()
    t.page.route("**/v1/conversations", lambda route: route.abort())
    t.page.get_by_label("What is to be made?").fill("1 L PBS")
    t.page.get_by_role("button", name="Work it out").click()
    expect(t.page.get_by_role("alert")).to_contain_text("does not answer")


def _talk(t: Tab) -> None:
    _ask("250 mL of 0.1 M sodium chloride")(t)
    t.say("double it")
    t.page.locator(".strip summary").click()
    expect(t.page.locator(".strip .measures")).to_be_visible()


PAGES: dict[str, Any] = {
    "start": lambda t: t.open(),
    "planned": _ask("100 mL of 0.0500 M copper sulfate pentahydrate"),
    "question": _ask("500 mL of 0.1 M copper sulfate"),
    "held": _ask("1 L of 1 M nitric acid"),
    "refused": _ask("1 L of 0.1 M limewater"),
    "not understood": _ask("make 1oo frobs of banana"),
    "suggestions": _ask("1 L of 0.1 M soddium chloride"),
    "talk": _talk,
    "offline": _offline,
    "card": _card("100 mL of 0.0500 M copper sulfate pentahydrate"),
    "card held": _card("1 L of 1 M nitric acid"),
    "card of several": _card("1 L of phosphate-buffered saline"),
    "card in steps": _card("100 mL of 0.00020 M potassium permanganate"),
    "card of a series": _card("calibration standards of 1, 2 and 5 mg/L copper, 100 mL each, from a 1000 mg/L stock"),
    "check": _check,
    "check faulty": _faulty,
    "earlier": _earlier,
    "search": _search,
    "substance": _substance,
}


def _settled(page: Page) -> None:
    page.evaluate("() => Promise.all(document.getAnimations().map((one) => one.finished))")


@pytest.mark.parametrize("paper", ["light", "dark"])
@pytest.mark.parametrize("name", PAGES)
def test_no_barrier_is_found(tab: OpenTab, name: str, paper: str) -> None:
    t = tab(color_scheme=paper)
    PAGES[name](t)
    t.page.get_by_role("heading", level=1).first.wait_for()  # the page draws itself after it has loaded
    _settled(t.page)
    found = Axe().run(t.page, options=RULES)
    assert found.response["passes"], "nothing was looked at"
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("name", PAGES)
def test_it_fits_a_narrow_screen_and_a_gloved_finger(tab: OpenTab, name: str) -> None:
    t = tab(viewport={"width": 360, "height": 740}, has_touch=True)
    PAGES[name](t)
    assert t.page.evaluate("document.documentElement.scrollWidth") <= 360
    small = t.page.locator(f"body :is({TARGETS})").evaluate_all(
        """nodes => nodes.filter((node) => node.checkVisibility() && !node.classList.contains('skip')).map((node) => {
            const box = (node.type === 'checkbox' ? node.closest('li') : node).getBoundingClientRect();
            return [node.textContent || node.id, Math.round(box.width), Math.round(box.height)];
        }).filter(([, width, height]) => width < 44 || height < 44)"""
    )
    assert small == []


def test_the_paper_is_chosen_and_kept(tab: OpenTab) -> None:
    t = tab(color_scheme="light").open()
    ground = "getComputedStyle(document.documentElement).backgroundColor"
    light = t.page.evaluate(ground)
    t.page.get_by_role("button", name="Dark paper").click()
    dark = t.page.evaluate(ground)
    assert light != dark
    t.page.reload()
    assert t.page.evaluate(ground) == dark
    t.page.get_by_role("button", name="Light paper").click()
    assert t.page.evaluate(ground) == light


@pytest.mark.parametrize(("wish", "moving"), [("reduce", "none"), ("no-preference", "laid")])
def test_nothing_moves_for_those_who_wish_it(tab: OpenTab, wish: str, moving: str) -> None:
    t = tab(reduced_motion=wish)
    _ask("10 banana")(t)
    assert t.page.locator(".sheet").evaluate("node => getComputedStyle(node).animationName") == moving


def test_the_way_past_the_head_of_the_page(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.locator("body").press("Tab")
    skip = t.page.get_by_role("link", name="To the work")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()


def test_hostile_words_in_every_field_are_words(tab: OpenTab) -> None:
    t = tab().open()
    t.page.get_by_label("What is to be made?").fill(HOSTILE)
    expect(t.page.locator(".reading")).to_contain_text("Not read yet")
    t.page.get_by_role("button", name="Work it out").click()
    expect(t.page.locator(".said-before")).to_contain_text(SHOWN)
    t.say(f"250 mL of 0.1 M {HOSTILE}")
    t.open("check")
    t.page.get_by_label("What was to be made").fill(f"250 mL of 0.1 M {HOSTILE}")
    t.page.get_by_label("The answer that was given").fill("5 g")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator(".sheet")).to_contain_text("src=x onerror=alert(1)><script>")
    t.page.get_by_label("The answer that was given").fill(HOSTILE)
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator("#claimed-fault")).not_to_be_empty()
    t.open("known")
    t.page.get_by_label("Which one?").fill(HOSTILE)
    t.page.get_by_role("button", name="Look up").click()
    expect(t.page.locator(".register li").first).to_be_visible()
    t.open("earlier")
    expect(t.page.locator(".register")).to_contain_text(SHOWN)
    t.card("250 mL of 0.1 M sodium chloride")
    t.page.get_by_label("The balance showed").fill(HOSTILE[:20])
    t.page.get_by_role("button", name="What does that make?").click()
    expect(t.page.locator(".weighed-result p")).to_be_visible()
    _untouched(t)


@pytest.mark.parametrize("text", [
    "100 mL of 0.0500 M copper sulfate pentahydrate",
    "500 mL of 0.1 M copper sulfate",
    "1 L of 1 M nitric acid",
    "1 L of 0.1 M limewater",
    "1 L of 0.1 M soddium chloride",
    "1 L of phosphate-buffered saline",
    "I got 7.98 g for 500 mL of 0.1 M copper sulfate pentahydrate - right?",
])  # fmt: skip
def test_hostile_words_in_every_part_of_a_reply_are_words(tab: OpenTab, text: str) -> None:
    t = tab()

    def poison(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=json.dumps(_poisoned(answer.json())))

    for part in ("**/messages", "**/v1/plans/*", "**/v1/rules", "**/v1/sources/*"):
        t.page.route(part, poison)
    t.open()
    t.page.get_by_label("What is to be made?").fill(text)
    t.page.get_by_role("button", name="Work it out").click()
    expect(t.page.locator(".sheet")).to_contain_text(SHOWN)
    onwards = t.page.get_by_role("link", name="Open the bench card")
    if onwards.count():
        onwards.click()
        expect(t.page.locator(".card")).to_contain_text(SHOWN)
        t.unfold()
    _untouched(t)


def _poisoned(part: Any, name: str = "") -> Any:
    if isinstance(part, dict):
        return {key: _poisoned(value, key) for key, value in part.items()}
    if isinstance(part, list):
        return [_poisoned(value, name) for value in part]
    return HOSTILE if isinstance(part, str) and name not in _NAMES else part


def _untouched(t: Tab) -> None:
    """No element came of the text; that no script ran and no policy was broken is seen when the tab closes."""
    assert t.page.locator("body img").count() == 1  # the mark in the head of the page
    assert t.page.locator("body script, [onerror], [onload]").count() == 0


def test_what_was_given_the_focus_stays_on_the_way_of_the_tab_key(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.get_by_role("button", name="Check it").click()
    about = t.page.get_by_label("What was to be made")
    expect(about).to_be_focused()
    t.page.keyboard.press("Tab")
    expect(t.page.get_by_label("The answer that was given")).to_be_focused()
    t.page.keyboard.press("Shift+Tab")
    expect(about).to_be_focused()
