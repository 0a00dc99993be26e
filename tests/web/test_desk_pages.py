"""The shelf, the policy, the check of the log, prep days and withdrawing, as two roles use them."""

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect

from service.app import create_app
from service.settings import Settings
from tests.conftest import Running
from tests.crash.servers import start_server
from tests.people.college import PASSWORD
from tests.web.conftest import CHROMIUM, OpenTab, Tab
from tests.web.test_access import HOSTILE, RULES, SHOWN, TARGETS
from tests.web.test_approving import PEOPLE, come_in

DATABASES: list[Path] = []


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A service with accounts, and a second officer."""
    if not CHROMIUM.exists():
        pytest.skip("there is no /usr/bin/chromium to drive: 'apt-get install chromium' brings it")
    folder = tmp_path_factory.mktemp("office")
    database = folder / "plans.sqlite3"
    DATABASES[:] = [database]
    running = Running(create_app(Settings(f"sqlite:///{database}", folder / "head", log_level="ERROR")))
    for name, role in {**PEOPLE, "lee": "safety-officer"}.items():
        running.run(running.services.door.accounts.add(name, [role], PASSWORD, f"{name.title()} of Alder Vale"))
    running.stop()
    server, port = start_server(str(database), folder)
    yield f"http://127.0.0.1:{port}"
    server.terminate()
    server.wait(20)


def free_of_barriers(page: Page) -> None:
    """Axe, no sideways scrolling at 360 px, and targets for a gloved finger; on both papers."""
    for paper in ("dark", "light"):
        page.emulate_media(color_scheme=paper)
        found = Axe().run(page, options=RULES)
        assert found.violations_count == 0, found.generate_report()
    page.set_viewport_size({"width": 360, "height": 740})
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.locator(f"main :is({TARGETS})").evaluate_all(
        """nodes => nodes.filter((node) => node.checkVisibility()).map((node) => {
            const box = (node.type === 'checkbox' ? node.closest('li') : node).getBoundingClientRect();
            return [node.textContent || node.id, Math.round(box.width), Math.round(box.height)];
        }).filter(([, width, height]) => width < 44 || height < 44)"""
    )
    assert small == []
    page.set_viewport_size({"width": 1280, "height": 800})


def put_up(t: Tab, **more: str) -> None:
    """Put up a bottle of zinc sulfate on the page."""
    t.open("shelf/add")
    known = {
        "Your initials": "PK",
        "What is in it": "zinc sulfate heptahydrate",
        "How much is in it": "500",
        "Where it stands": "cabinet B2",
        "Lot": "ZN-1204",
    }
    known |= more
    for label, text in known.items():
        t.page.get_by_label(label, exact=True).fill(text)
    t.page.get_by_role("button", name="Put it on the shelf").click()


def happen(t: Tab, word: str, send: str, **fields: str) -> None:
    t.page.get_by_role("button", name=word, exact=True).first.click()
    for label, text in {**fields, "Your initials": "PK"}.items():
        t.page.get_by_label(label).fill(text)
    t.page.locator(".acts form").get_by_role("button", name=send).click()


def api(t: Tab, method: str, path: str, body: Any = None) -> Any:
    """A call of the service as who has come in."""
    return t.page.evaluate(
        """async ([method, path, body]) => {
            const { csrf_token } = await (await fetch("/v1/session")).json();
            const headers = { "Content-Type": "application/json", "X-CSRF-Token": csrf_token };
            return (await fetch(path, { method, headers, body: body === null ? undefined : JSON.stringify(body) })).json();
        }""",
        [method, path, body],
    )


def test_a_bottle_is_put_up_taken_from_and_quarantined(tab: OpenTab) -> None:
    t = come_in(tab().open(), "sam")
    put_up(t, **{"How much is in it": "much"})
    expect(t.page.get_by_label("How much is in it")).to_be_focused()
    expect(t.page.locator("#bottle-amount-fault")).not_to_be_empty()
    free_of_barriers(t.page)
    put_up(t)
    expect(t.page.locator(".bottle-level .amount")).to_have_text("500 g")
    happen(t, "Take", "Take", **{"How much": "24.97", "What for": "stock for week 5"})
    expect(t.page.locator(".bottle-level .amount")).to_have_text("475.03 g")  # 500 - 24.97
    expect(t.page.locator(".happened")).to_contain_text("stock for week 5")
    happen(t, "Hand out", "Hand out", **{"How much": "25", "To": "Chemistry 2, room 14"})
    expect(t.page.locator(".family")).to_contain_text("Chemistry 2, room 14")
    happen(t, "Reserve", "Reserve", **{"How much": "400"})
    expect(t.page.locator(".bottle-level")).to_contain_text("50.03 g of it not reserved")  # 475.03 - 25 - 400
    happen(t, "Take", "Take", **{"How much": "60"})
    expect(t.page.locator(".acts [role=alert]")).to_contain_text("50.03 g left and not reserved")
    free_of_barriers(t.page)
    happen(t, "Quarantine", "Quarantine", Reason=HOSTILE[:150])
    expect(t.page.locator(".card > p .tag")).to_have_text("Quarantined")
    expect(t.page.locator(".card")).to_contain_text(SHOWN[:150])
    assert t.page.locator("main img, main script").count() == 0
    free_of_barriers(t.page)
    t.open("shelf")
    t.page.get_by_label("Show").select_option("quarantined")
    expect(t.page.locator(".register li")).to_have_count(1)
    t.page.get_by_label("Show").select_option("low")
    expect(t.page.locator(".register")).to_contain_text("No bottle fits.")
    t.page.get_by_label("Show").select_option("all")
    t.page.get_by_label("Substance").fill("banana")
    t.page.get_by_role("button", name="Look").click()
    expect(t.page.locator(".fault").first).to_contain_text("substance")
    officer = come_in(tab().open(), "jo")
    officer.open("shelf")
    officer.page.locator(".register a").first.click()
    expect(officer.page.locator(".happened")).to_be_visible()
    expect(officer.page.locator(".acts")).to_have_count(0)  # who keeps no records sees, and does nothing
    officer.open("shelf")
    expect(officer.page.locator(".register a").first).to_be_visible()
    free_of_barriers(officer.page)


def test_a_take_whose_answer_is_lost_counts_once_when_it_is_sent_again(tab: OpenTab) -> None:
    t = come_in(tab().open(), "sam")
    put_up(t, Lot="ZN-77")
    expect(t.page.locator(".bottle-level .amount")).to_have_text("500 g")
    lost = []

    def lose(route: Route) -> None:
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().status)
        route.abort()

    t.page.route("**/events", lose)
    happen(t, "Take", "Take", **{"How much": "100"})
    expect(t.page.locator(".acts [role=alert]")).to_contain_text("does not answer")
    expect(t.page.get_by_label("How much")).to_have_value("100")
    t.page.get_by_role("button", name="Send again").click()
    expect(t.page.locator(".bottle-level .amount")).to_have_text("400 g")
    assert lost == [201]  # it had been stored the first time


def test_a_policy_is_proposed_by_one_officer_and_confirmed_by_another(tab: OpenTab) -> None:
    maker = come_in(tab().open(), "sam")
    maker.say("1 L of 0.1 M zinc sulfate heptahydrate")
    officer = come_in(tab().open(), "jo")
    officer.open("policy")
    expect(officer.page.locator(".register")).to_contain_text("As shipped")
    free_of_barriers(officer.page)
    officer.page.get_by_role("link", name="Propose a new version").click()
    officer.page.get_by_label("name", exact=True).fill(HOSTILE.replace("\u202e", ""))
    officer.page.get_by_label("large, g").fill("5 kg")
    officer.page.get_by_role("button", name="Try what it changes").click()
    expect(officer.page.get_by_label("large, g")).to_be_focused()
    officer.page.get_by_label("large, g").fill("5000")
    asked_first = officer.page.locator(".policy-part", has=officer.page.locator("legend", has_text="ask first"))
    asked_first.get_by_role("button", name="Add an entry").click()
    asked_first.get_by_role("button", name="Take this entry out").click()
    asked_first.get_by_role("button", name="Add an entry").click()
    asked_first.get_by_label("reason").fill("The drain may not have it.")
    officer.page.get_by_role("button", name="Try what it changes").click()
    expect(officer.page.locator(".trouble")).to_contain_text("must name a substance or a group")
    asked_first.get_by_label("substance").fill("zinc-sulfate")
    asked_first.get_by_label("above, mol/L").fill("strong")
    officer.page.get_by_role("button", name="Try what it changes").click()
    expect(asked_first.get_by_label("above, mol/L")).to_be_focused()  # the fault of an entry stands at the entry
    asked_first.get_by_label("above, mol/L").fill("0.01")
    officer.page.get_by_role("button", name="Try what it changes").click()
    expect(officer.page.locator(".card")).to_contain_text("0.1 mol/L zinc sulfate heptahydrate")
    free_of_barriers(officer.page)
    officer.page.get_by_role("button", name="Propose it").click()
    expect(officer.page.locator("#policy-reason-fault")).not_to_be_empty()
    officer.page.get_by_label("Why it is proposed").fill("The drains are measured from January.")
    officer.page.get_by_role("button", name="Propose it").click()
    expect(officer.page.locator(".card")).to_contain_text("another person must confirm it")
    expect(officer.page.get_by_role("button", name="Put it in force")).to_have_count(0)
    second = come_in(tab().open(), "lee")
    second.open("policy")
    second.page.locator(".register a").first.click()
    expect(second.page.locator(".tally")).to_contain_text("Planned then")
    expect(second.page.locator("h1")).to_contain_text("<script>")
    free_of_barriers(second.page)
    second.page.get_by_role("button", name="Put it in force").click()
    expect(second.page.locator("#decide-reason-fault")).not_to_be_empty()
    second.page.get_by_label("Reason").fill("Agreed.")
    second.page.get_by_role("button", name="Put it in force").click()
    expect(second.page.locator(".card > p .tag").first).to_have_text("In force")
    expect(second.page.locator(".card")).to_contain_text("Lee of Alder Vale")
    free_of_barriers(second.page)
    maker.say("1 L of 0.1 M zinc sulfate heptahydrate, please")
    expect(maker.outcome).to_have_text("Held")


def test_the_log_is_whole_until_somebody_changes_it(tab: OpenTab) -> None:
    t = come_in(tab().open(), "ada")
    t.open("log")
    t.page.get_by_role("button", name="Is the log whole?").click()
    expect(t.page.locator(".whole .tag")).to_have_text("Whole")
    with t.page.expect_download() as awaited:
        t.page.get_by_role("link", name="Take away in full (JSON lines)").click()
    lines = awaited.value.path().read_text("utf-8").splitlines()
    assert [json.loads(line)["seq"] for line in lines] == list(range(1, len(lines) + 1))
    free_of_barriers(t.page)
    with sqlite3.connect(DATABASES[0]) as database:
        (actor,) = database.execute("select actor from audit where seq = 2").fetchone()
        database.execute("update audit set actor = 'nobody' where seq = 2")
    database.commit()
    t.page.get_by_role("button", name="Is the log whole?").click()
    expect(t.page.locator(".whole")).to_contain_text("First bad entry: 2.")
    free_of_barriers(t.page)
    with sqlite3.connect(DATABASES[0]) as database:
        database.execute("update audit set actor = ? where seq = 2", (actor,))
    t.page.get_by_role("button", name="Is the log whole?").click()
    expect(t.page.locator(".whole .tag")).to_have_text("Whole")


def test_a_plan_is_withdrawn_with_a_reason_and_its_card_closes(tab: OpenTab) -> None:
    t = come_in(tab().open(), "sam")
    t.card("250 mL of 0.1 M sodium chloride")
    expect(t.page.locator(".steps input:enabled").first).to_be_visible()
    t.page.locator(".withdraw summary").click()
    t.page.get_by_role("button", name="Withdraw it for good").click()
    expect(t.page.locator(".withdraw .fault")).to_contain_text("reason")
    t.page.get_by_label("Why it is withdrawn").fill(HOSTILE)
    t.page.get_by_role("button", name="Withdraw it for good").click()
    expect(t.page.locator(".standing")).to_contain_text(SHOWN)
    expect(t.page.locator(".steps input:enabled")).to_have_count(0)
    t.page.emulate_media(media="print")
    expect(t.page.locator(".measures")).not_to_be_visible()
    t.page.emulate_media(media="screen")
    free_of_barriers(t.page)


def test_a_prep_day_is_shown_with_what_to_fetch_and_when_each_is_ready(tab: OpenTab) -> None:
    t = come_in(tab().open(), "sam")
    asked = ["500 mL of 0.1 M potassium chloride", "250 mL of 0.1 M potassium chloride", "1 L of 1 M nitric acid"]
    expect(t.page.locator("#who button")).to_be_visible()
    made = api(t, "POST", "/v1/days", {"date": "2027-01-11", "requests": [{"text": text} for text in asked]})
    t.open("days")
    t.page.locator(".register a").first.click()
    expect(t.page.locator("h1")).to_have_text("Prep day 2027-01-11")
    expect(t.page.get_by_role("region", name="To fetch")).to_contain_text(made["pick_list"][0]["amount"]["display"])
    expect(t.page.get_by_role("region", name="When each is ready")).to_contain_text(made["preparations"][0]["ready"])
    expect(t.page.locator(".held")).to_contain_text("nitric acid")
    assert t.page.get_by_role("link", name="The sheet (PDF)").get_attribute("href") == f"/v1/days/{made['id']}/sheet"
    free_of_barriers(t.page)
    t.page.route("**/v1/days/*", lambda route: route.abort())
    t.page.reload()
    expect(t.page.get_by_role("alert")).to_contain_text("does not answer")
    t.page.unroute("**/v1/days/*")
    t.page.get_by_role("button", name="Send again").click()
    expect(t.page.locator("h1")).to_have_text("Prep day 2027-01-11")


def test_the_queue_says_how_many_people_and_who_may_make_it(tab: OpenTab) -> None:
    maker = come_in(tab().open(), "sam")
    maker.say("1 L of 1 M nitric acid")
    officer = come_in(tab().open(), "jo")
    officer.open("approve")
    officer.page.locator(".queue summary", has_text="nitric acid").first.click()
    form = officer.page.locator(".decision", has_text="Only if")
    form.get_by_label("Reason").fill("For the plating practical.")
    form.get_by_label("made by").fill("nobody-here")
    form.get_by_role("button", name="Allow it").click()
    expect(form.get_by_label("made by")).to_be_focused()
    form.get_by_label("made by").fill("sam")
    free_of_barriers(officer.page)
    form.get_by_role("button", name="Allow it").click()
    officer.page.get_by_label("Show").select_option("approved")
    officer.page.locator(".queue summary", has_text="nitric acid").first.click()
    expect(officer.page.locator(".standing").first).to_contain_text("for 1 named person")
