"""At the bench: readings typed in, the strength beside them, the record, its labels, a failed one, a titration."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Route, expect

from tests.web.conftest import OpenTab, Tab
from tests.web.test_access import HOSTILE, RULES, SHOWN

PHTHALATE = "250 mL of 0.100 M potassium hydrogen phthalate"
ALKALI = "1 L of 0.1 M sodium hydroxide"
#: g of phthalate and mL: 0.10160, 0.10155 and 0.10160 mol/L, 1000 x g / (204.222 x mL).
RUNS = [("0.5104", "24.60"), ("0.5087", "24.53"), ("0.5121", "24.68")]


def bench(t: Tab, text: str) -> Tab:
    """Ask for it and open the form."""
    t.card(text)
    t.page.get_by_role("link", name="Make it").click()
    expect(t.page.get_by_role("heading", name="Make it")).to_be_visible()
    return t


def write(t: Tab, reading: str, by: str = "PK") -> Tab:
    t.page.locator("#reading-0-0").fill(reading)
    t.page.get_by_label("By", exact=True).fill(by)
    t.page.get_by_role("button", name="Write it into the record").click()
    expect(t.page.locator(".real")).to_be_visible()
    return t


def clean(t: Tab) -> None:
    t.unfold()
    report = Axe().run(t.page, options=RULES)
    assert report.response["violations"] == [], report.generate_report()
    assert t.page.evaluate("document.documentElement.scrollWidth") <= (t.page.viewport_size or {})["width"]


def test_the_strength_stands_beside_the_reading_while_it_is_typed(tab: OpenTab) -> None:
    """5.1040 g x 1000 / (204.222 g/mol x 250 mL) is 0.09997 mol/L; 5.2040 g would be 0.10193."""
    t = bench(tab(), PHTHALATE)
    expect(t.page.locator(".live")).to_contain_text("the strength appears here")
    t.page.locator("#reading-0-0").fill("5.1040")
    expect(t.page.locator(".live .amount")).to_have_text("0.09997 mol/L")
    expect(t.page.locator(".live .verdict .tag")).to_have_text("It serves")
    t.page.locator("#reading-0-0").fill("5.2040")
    expect(t.page.locator(".live .amount")).to_have_text(re.compile(r"0\.1019\d? mol/L"))
    expect(t.page.locator(".live .verdict .tag")).to_have_text("It does not serve")
    t.page.get_by_role("button", name="Another reading").click()
    t.page.locator("#reading-0-0").fill("3.0000")
    t.page.locator("#reading-0-1").fill("2.1040")
    expect(t.page.locator(".live .amount")).to_have_text("0.09997 mol/L")
    t.page.locator("#reading-0-0").fill("three")
    expect(t.page.locator("#bench-fault-0")).not_to_be_empty()


def test_what_was_typed_survives_a_reload_and_a_lost_connection(tab: OpenTab) -> None:
    t = bench(tab(), PHTHALATE)
    t.page.locator("#reading-0-0").fill("5.1040")
    t.page.get_by_label("By", exact=True).fill("PK")
    expect(t.page.locator(".live .amount")).to_be_visible()
    t.page.reload()
    expect(t.page.locator("#reading-0-0")).to_have_value("5.1040")
    expect(t.page.locator(".live .amount")).to_have_text("0.09997 mol/L")
    t.page.route("**/preparations", lambda route: route.abort())
    t.page.get_by_role("button", name="Write it into the record").click()
    expect(t.page.get_by_role("alert").filter(has_text="kept here")).to_be_visible()
    expect(t.page.locator("#reading-0-0")).to_have_value("5.1040")
    t.page.unroute("**/preparations")

    def lost(route: Route) -> None:
        route.fetch()  # it is written, and the answer breaks off
        route.abort()

    t.page.route("**/preparations", lost)
    t.page.get_by_role("button", name="Write it into the record").click()
    expect(t.page.get_by_role("alert").filter(has_text="kept here")).to_be_visible()
    t.page.unroute("**/preparations")
    t.page.get_by_role("button", name="Write it into the record").click()
    expect(t.page.locator(".real .amount")).to_have_text("0.09997 mol/L")
    listed = t.page.request.get(f"{t.address}/v1/preparations").json()["preparations"]
    assert [line["id"] for line in listed].count(t.page.url.rsplit("/", 1)[1]) == 1
    of_plan = [t.page.request.get(f"{t.address}/v1/preparations/{line['id']}").json()["plan"] for line in listed]
    assert len(of_plan) == len(set(of_plan))  # each test makes its own plan once: nothing was written twice


def test_the_record_has_its_labels_and_a_correction_is_added_to_it(tab: OpenTab) -> None:
    t = write(bench(tab(), PHTHALATE), "5.1040")
    address = t.page.url
    expect(t.page.locator(".took")).to_contain_text("5.1040 g")
    expect(t.page.get_by_role("img", name="weighed 5.1040 g")).to_be_visible()
    label = t.page.get_by_role("link", name="Label, 105 x 74 mm")
    expect(label).to_be_visible()
    printed = t.page.request.get(t.address + (label.get_attribute("href") or ""))
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.body().startswith(b"%PDF")
    t.page.get_by_role("link", name="Correct the record").click()
    expect(t.page.locator("#reading-0-0")).to_have_value("5.1040")
    t.page.locator("#reading-0-0").fill("5.1140")
    t.page.get_by_label("Why it is corrected").fill("digits swapped when typed")
    t.page.get_by_role("button", name="Add the correction").click()
    expect(t.page.locator(".real .amount")).to_have_text("0.1002 mol/L")
    assert t.page.url == address
    expect(t.page.locator(".chain > li")).to_have_count(2)
    expect(t.page.locator(".chain")).to_contain_text("digits swapped when typed")
    expect(t.page.locator(".chain")).to_contain_text("5.1040 became 5.1140")


def test_a_correction_of_something_else_leaves_the_bottle_as_it_is(tab: OpenTab) -> None:
    t = bench(tab(), PHTHALATE)
    body = {"by": "PK", "name": "potassium hydrogen phthalate", "amount": "500", "unit": "g", "place": "cabinet C1"}
    bottle = t.page.request.post(f"{t.address}/v1/shelf", data=body).json()["id"]
    t.page.get_by_text("Bottle and instrument").click()
    t.page.get_by_label("Bottle on the shelf").fill(bottle)
    write(t, "5.1040")
    expect(t.page.locator(".took")).to_contain_text(bottle)
    t.page.get_by_role("link", name="Correct the record").click()
    t.page.get_by_text("Vessel, water, temperature, deviations").click()
    t.page.get_by_label("Water").fill("deionised, 0.06 uS/cm")
    t.page.get_by_label("Why it is corrected").fill("water was not written down")
    t.page.get_by_role("button", name="Add the correction").click()
    expect(t.page.locator(".chain > li")).to_have_count(2)
    assert t.page.request.get(f"{t.address}/v1/shelf/{bottle}").json()["left"] == "494.8960"
    t.page.get_by_role("link", name="Open the bench card").click()
    expect(t.page.locator(".panel", has_text="On the shelf")).to_contain_text("cabinet C1, 494.8960 g free")


def test_a_failed_one_says_where_it_goes_and_has_no_label(tab: OpenTab) -> None:
    t = bench(tab(), PHTHALATE)
    t.page.locator("#reading-0-0").fill("5.1040")
    t.page.get_by_label("It was").select_option("overshot")
    expect(t.page.locator(".live")).to_contain_text("The mark was passed")
    t.page.get_by_label("By", exact=True).fill("PK")
    t.page.get_by_role("button", name="Write it into the record").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Failed")
    expect(t.page.locator(".real")).to_contain_text("Begin again")
    expect(t.page.get_by_role("link", name="Label")).to_have_count(0)
    t.page.get_by_role("link", name="Begin again").click()
    expect(t.page.locator("#reading-0-0")).to_have_value("")


def test_titres_are_judged_and_give_the_solution_its_strength(tab: OpenTab) -> None:
    t = write(bench(tab(), ALKALI), "4.05")
    expect(t.page.locator(".real")).to_contain_text("Nominal")
    t.page.get_by_text("Titrate it").click()
    form = t.page.locator(".panel form")
    form.get_by_label("By", exact=True).fill("PK")
    form.get_by_label("Against").fill("potassium hydrogen phthalate")
    for n, (mass, titre) in enumerate(RUNS):
        form.locator(f"#mass-{n}").fill(mass)
        form.locator(f"#titre-{n}").fill(titre)
    t.page.reload()
    expect(form.locator("#titre-2")).to_have_value(RUNS[2][1])
    form.get_by_role("button", name="Judge the titres").click()
    expect(t.page.locator(".standing .tag")).to_have_text("Accepted")
    expect(t.page.locator(".standing")).to_contain_text("0.1016 mol/L")
    expect(t.page.locator(".real .amount")).to_have_text("0.1016 mol/L")
    expect(t.page.locator(".real")).to_contain_text("titration")


def test_the_list_finds_an_id_in_any_case(tab: OpenTab) -> None:
    t = write(bench(tab(), PHTHALATE), "5.1040")
    name = t.page.url.rsplit("/", 1)[1]
    t.open("made")
    expect(t.page.locator(".register a").first).to_contain_text("0.09997 mol/L")
    t.page.get_by_label("The id on the label").fill(name.lower())
    t.page.get_by_role("button", name="Look it up").click()
    expect(t.page.locator(".stored")).to_contain_text(name)
    t.open("made/0000000000")
    expect(t.page.get_by_role("alert")).to_be_visible()


def test_a_held_plan_has_no_way_to_the_bench(tab: OpenTab) -> None:
    t = tab()
    t.card("1 L of 1 M nitric acid")
    expect(t.page.get_by_role("link", name="Make it")).to_have_count(0)


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("paper", ["light", "dark"])
def test_everybody_can_use_the_bench_pages(tab: OpenTab, width: int, paper: str) -> None:
    t = bench(tab(viewport={"width": width, "height": 800}, color_scheme=paper), ALKALI)
    t.page.locator("#reading-0-0").fill("4.05")
    expect(t.page.locator(".live .amount")).to_be_visible()
    clean(t)
    write(t, "4.05")
    expect(t.page.get_by_role("link", name="The record, A4")).to_be_visible()
    clean(t)
    t.open("made")
    expect(t.page.locator(".register a").first).to_be_visible()
    clean(t)
    for target in t.page.locator("main button, main a, main input, main select").all():
        box = target.bounding_box()
        assert box is None or box["height"] >= 44


def test_hostile_text_is_shown_as_text(tab: OpenTab) -> None:
    t = bench(tab(), PHTHALATE)
    t.page.get_by_text("Bottle and instrument").click()
    t.page.get_by_label("Lot", exact=True).fill(HOSTILE[:150])
    t.page.get_by_text("Vessel, water, temperature, deviations").click()
    t.page.get_by_label("Deviations").fill(HOSTILE)
    write(t, "5.1040", HOSTILE[:50])
    expect(t.page.locator(".took")).to_contain_text(SHOWN[:150])
    expect(t.page.locator(".chain")).to_contain_text(SHOWN[:50])
    t.page.get_by_role("link", name="Correct the record").click()
    t.page.get_by_text("Vessel, water, temperature, deviations").click()
    expect(t.page.get_by_label("Deviations")).to_have_value(HOSTILE)


def test_an_answer_that_comes_late_does_not_take_the_place_of_a_newer_one(tab: OpenTab) -> None:
    t = bench(tab(), PHTHALATE)
    held: list[Route] = []

    def first_waits(route: Route) -> None:
        if held or "5.2040" not in (route.request.post_data or ""):
            route.continue_()
        else:
            held.append(route)

    t.page.route("**/trial", first_waits)
    t.page.locator("#reading-0-0").fill("5.2040")
    with t.page.expect_request("**/trial"):
        pass
    t.page.locator("#reading-0-0").fill("5.1040")
    expect(t.page.locator(".live .amount")).to_have_text("0.09997 mol/L")
    held[0].continue_()
    t.page.wait_for_timeout(600)
    expect(t.page.locator(".live .amount")).to_have_text("0.09997 mol/L")
