"""The bench card: steps, drawings, checks with their sources, and what goes on paper."""

import re

from playwright.sync_api import expect

from tests.web.conftest import OpenTab

COPPER = "100 mL of 0.0500 M copper sulfate pentahydrate"


def test_ticked_steps_stay_and_the_vessel_fills(tab: OpenTab) -> None:
    t = tab()
    t.card(COPPER)
    steps = t.page.locator(".steps input")
    count = steps.count()
    assert count > 8
    expect(t.page.locator(".vessel figcaption")).to_contain_text(f"Step 1 of {count}")
    tops = []
    for place in range(count):
        liquid = t.page.locator(".vessel svg [clip-path]")
        tops.append(float(liquid.get_attribute("y") or 0) if liquid.count() else None)
        steps.nth(place).check()
    filled = [top for top in tops if top is not None]
    assert tops[0] is None and len(filled) >= 4
    assert filled == sorted(filled, reverse=True)  # it only rises until it is bottled
    expect(t.page.locator(".vessel figcaption")).to_contain_text("All steps are done.")
    t.page.reload()
    expect(t.page.locator(".steps input:checked")).to_have_count(count)
    t.page.get_by_role("button", name="Clear all ticks").click()
    expect(t.page.locator(".steps input:checked")).to_have_count(0)


def test_the_weighing_is_marked_on_the_window_and_its_strength_comes_from_the_service(tab: OpenTab) -> None:
    t = tab()
    t.card(COPPER)
    entry = t.page.get_by_label("The balance showed")
    entry.fill("1.2490")
    t.page.get_by_role("button", name="What does that make?").click()
    expect(t.page.locator(".weighed-result")).to_contain_text("0.05002 mol/L")
    inside = t.page.get_by_role("img", name="weighed 1.2490 g")
    expect(inside).to_be_visible()
    entry = t.page.get_by_label("The balance showed")
    entry.fill("1.2514")
    entry.press("Enter")
    expect(t.page.locator(".weighed-result")).to_contain_text("0.05012 mol/L")
    expect(t.page.locator(".weighed-result")).to_contain_text("outside the window")
    places = t.page.locator(".window svg").evaluate(
        """svg => { const box = (name) => svg.querySelector(name).getBBox();
        return [box('.within').x + box('.within').width, box('.weighed').x]; }"""
    )
    assert places[1] > places[0]


def test_checks_are_told_apart_by_word_and_shape_and_have_sources(tab: OpenTab) -> None:
    t = tab()
    t.card("1 L of phosphate-buffered saline")
    kinds = {}
    t.unfold()
    for name in ("Caution", "Unchecked", "Note", "Pass"):
        line = t.page.locator(".checks .finding", has=t.page.locator(".tag", has_text=name)).first
        expect(line.locator(".sources")).to_contain_text("rule ")
        expect(line.get_by_role("button", name="source").first).to_be_visible()
        kinds[name] = line.locator(".sign").inner_html()
    assert len(set(kinds.values())) == 4
    passed = t.page.locator(".passes .finding")
    with_source = passed.filter(has=t.page.get_by_role("button", name="source"))
    expect(with_source).to_have_count(passed.count())


def test_the_working_both_ways_the_budget_and_the_ways_to_make_it(tab: OpenTab) -> None:
    t = tab()
    t.card(COPPER)
    expect(t.page.locator(".working h3")).to_have_text(["unit factors", "formulas"])
    rows = t.page.locator(".budget tbody tr")
    expect(rows.first).to_contain_text("assay (98 to 102 %)")
    widths = rows.locator(".part").evaluate_all("nodes => nodes.map(node => Number(node.getAttribute('width')))")
    assert widths == sorted(widths, reverse=True) and 99 < widths[0] <= 100
    expect(t.page.locator(".ways li")).to_have_count(4)
    expect(t.page.locator(".ways li.chosen")).to_have_count(1)


def test_the_request_is_marked_on_the_solubility_curve(tab: OpenTab) -> None:
    t = tab()
    t.card("100 mL of 1.0 M copper sulfate pentahydrate")
    drawn = t.page.get_by_role("img", name="Solubility of copper(II) sulfate in water")
    share = t.page.locator(".facts dd", has_text="% w/w").first.text_content()
    expect(drawn).to_have_attribute("aria-label", re.compile(f"; the request is {re.escape(share or '')} at 20 degC$"))
    asked, saturated = drawn.evaluate(
        """svg => { const box = (node) => { const b = node.getBBox(); return [b.x + b.width / 2, b.y + b.height / 2]; };
        const asked = box(svg.querySelector('.asked'));
        const points = [...svg.querySelectorAll('.point')].map(box);
        return [asked, points.find(p => Math.abs(p[0] - asked[0]) < 1)]; }"""
    )
    assert asked[1] > saturated[1]  # lower on the screen: below what dissolves


def test_a_series_is_a_ladder_in_the_order_it_is_made(tab: OpenTab) -> None:
    t = tab()
    t.card("calibration standards of 1, 2, 5 and 10 mg/L copper, 100 mL each, from a 1000 mg/L stock")
    rungs = t.page.locator(".ladder li")
    expect(rungs).to_have_count(6)
    expect(rungs.nth(0)).to_contain_text("1000 mg/L copper")
    expect(rungs.nth(1)).to_contain_text("take 10.00 mL of 1000 mg/L copper")
    expect(rungs.nth(5)).to_contain_text("take 1.000 mL of intermediate (100 mg/L)")
    lefts = rungs.evaluate_all("nodes => nodes.map(node => node.getBoundingClientRect().left)")
    assert lefts[0] < lefts[1] < lefts[5]


def test_what_is_held_is_neither_ticked_nor_printed(tab: OpenTab) -> None:
    t = tab()
    t.card("1 L of 1 M nitric acid")
    expect(t.page.locator(".steps input:enabled")).to_have_count(0)
    expect(t.page.get_by_role("button", name="Print the card")).to_have_count(0)
    t.page.emulate_media(media="print")
    expect(t.page.locator(".held")).to_be_visible()
    for part in (".measures", ".bench", ".panels"):
        expect(t.page.locator(part)).to_be_hidden()


def test_paper_carries_the_card_and_nothing_of_the_screen(tab: OpenTab) -> None:
    t = tab(color_scheme="dark")
    t.card(COPPER)
    t.page.emulate_media(media="print")
    for part in (".masthead", ".weighing", ".card-foot", ".foot", ".steps-figure"):
        expect(t.page.locator(part).first).to_be_hidden()
    for part in (".amount", ".steps", ".working", ".budget"):
        expect(t.page.locator(part).first).to_be_visible()
    assert t.page.evaluate("getComputedStyle(document.documentElement).color") == "rgb(0, 0, 0)"
    assert len(t.page.pdf()) > 10_000


def test_an_unknown_card_says_so(tab: OpenTab) -> None:
    t = tab().open("card/0000000000")
    expect(t.page.get_by_role("alert")).to_have_text("No stored plan has this id.")
    t.open("nowhere")
    expect(t.page.get_by_role("heading", name="There is nothing here")).to_be_visible()
    t.open("%E0%A4%A")
    expect(t.page.get_by_role("heading", name="There is nothing here")).to_be_visible()
