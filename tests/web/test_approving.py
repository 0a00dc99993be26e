"""Two people and a held plan: one asks, the other decides; and what each of them may see."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from service.app import create_app
from service.settings import Settings
from tests.conftest import Running
from tests.crash.servers import start_server
from tests.people.college import PASSWORD
from tests.web.conftest import CHROMIUM, OpenTab, Tab
from tests.web.test_access import HOSTILE, RULES, SHOWN

PEOPLE = {"sam": "maker", "jo": "safety-officer", "ada": "auditor", "kim": "admin"}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A service with accounts."""
    if not CHROMIUM.exists():
        pytest.skip("there is no /usr/bin/chromium to drive: 'apt-get install chromium' brings it")
    folder = tmp_path_factory.mktemp("college")
    database = folder / "plans.sqlite3"
    running = Running(create_app(Settings(f"sqlite:///{database}", folder / "head", log_level="ERROR")))
    for name, role in PEOPLE.items():
        running.run(running.services.door.accounts.add(name, [role], PASSWORD, f"{name.title()} of Alder Vale"))
    running.stop()
    server, port = start_server(str(database), folder)
    yield f"http://127.0.0.1:{port}"
    server.terminate()
    server.wait(20)


def come_in(t: Tab, name: str, password: str = PASSWORD) -> Tab:
    t.page.get_by_label("Name").fill(name)
    t.page.get_by_label("Password").fill(password)
    t.page.get_by_role("button", name="Log in").click()
    return t


def tabs(t: Tab) -> list[str]:
    expect(t.page.locator("#who button")).to_be_visible()
    return t.page.locator("#tabs a").all_text_contents()


def waiting(t: Tab, text: str) -> None:
    """Open the queue at the line with that text."""
    t.open("approve")
    t.page.locator(".queue summary", has_text=text).first.click()
    expect(t.page.locator(".queue .findings").first).to_be_visible()


def ask(tab: OpenTab, text: str) -> Tab:
    """The maker asks for it and opens the card."""
    maker = come_in(tab().open(), "sam")
    maker.say(text)
    expect(maker.outcome).to_have_text("Held")
    maker.page.get_by_role("link", name="Open the bench card").click()
    expect(maker.page.locator(".standing")).to_contain_text("Waiting")
    return maker


def test_an_officer_allows_what_a_maker_asked_for_and_the_card_opens(tab: OpenTab) -> None:
    maker = ask(tab, "1 L of 1 M nitric acid")
    expect(maker.page.locator(".steps input:enabled")).to_have_count(0)
    assert "Approve" not in tabs(maker)
    officer = come_in(tab().open(), "jo")
    assert "Approve" in tabs(officer)
    waiting(officer, "1 L of 1 mol/L nitric acid")
    line = officer.page.locator(".queue > li")
    expect(line).to_contain_text("Sam of Alder Vale")
    expect(line.locator(".findings")).to_contain_text(
        "6.1 % w/w nitric acid is above the explosives precursor limit of 3 %"
    )
    expect(line.locator(".findings .sources")).to_contain_text("Annex I")
    line.get_by_role("button", name="Allow it").click()
    expect(line.get_by_label("Reason")).to_be_focused()
    expect(line.locator(".fault").first).to_contain_text("reason")
    line.get_by_label("Reason").fill("For the plating practical only.")
    line.get_by_label("at most, mL").fill("500")
    line.get_by_role("button", name="Allow it").click()
    expect(line.locator(".fault", has_text="1000 mL")).to_be_visible()
    line.get_by_label("at most, mL").fill("1000")
    line.get_by_label("in this room").fill("Prep room 2")
    line.get_by_role("button", name="Allow it").click()
    expect(officer.page.locator(".queue")).to_contain_text("Nothing waits.")
    maker.page.reload()
    expect(maker.page.locator(".standing")).to_contain_text(
        "Allowed by Jo of Alder Vale: For the plating practical only."
    )
    expect(maker.page.locator(".standing")).to_contain_text("up to 1000 mL, in Prep room 2")
    maker.page.locator(".steps input").first.check()
    expect(maker.page.locator(".card")).to_have_class("card outcome-held allowed")
    expect(maker.page.locator(".held")).to_contain_text("has been allowed")


def test_what_is_declined_stays_closed(tab: OpenTab) -> None:
    maker = ask(tab, "100 mL of 0.150 M nickel chloride hexahydrate")
    officer = come_in(tab().open(), "jo")
    waiting(officer, "nickel chloride")
    officer.page.get_by_label("Reason").fill(HOSTILE)
    officer.page.get_by_role("button", name="Decline it").click()
    expect(officer.page.locator(".queue")).to_contain_text("Nothing waits.")
    maker.page.reload()
    expect(maker.page.locator(".standing")).to_contain_text(SHOWN)
    expect(maker.page.locator(".steps input:enabled")).to_have_count(0)
    officer.page.get_by_label("Show").select_option("declined")
    expect(officer.page.locator(".queue summary")).to_contain_text("nickel chloride")


def test_nobody_is_offered_to_decide_about_their_own(tab: OpenTab) -> None:
    officer = come_in(tab().open(), "jo")
    officer.say("2 L of 1 M nitric acid")
    waiting(officer, "2 L of 1 mol/L nitric acid")
    expect(officer.page.locator(".queue")).to_contain_text("Nobody decides about their own request")
    expect(officer.page.get_by_role("button", name="Allow it")).to_have_count(0)


def test_each_role_sees_what_it_may_use(tab: OpenTab) -> None:
    auditor = come_in(tab().open(), "ada")
    assert tabs(auditor) == ["Earlier", "Substances", "Made", "Shelf", "Days", "Approve", "Log", "Policy"]
    auditor.open("approve")
    expect(auditor.page.locator(".queue summary").first).to_be_visible()
    auditor.page.locator(".queue summary").first.click()
    expect(auditor.page.locator(".queue .findings")).to_be_visible()
    expect(auditor.page.get_by_role("button", name="Allow it")).to_have_count(0)
    assert tabs(come_in(tab().open(), "kim")) == []


def test_a_wrong_password_and_the_way_out(tab: OpenTab) -> None:
    t = come_in(tab().open(), "sam", "not the password")
    expect(t.page.get_by_role("alert")).to_contain_text("No active account has this name with this password.")
    come_in(t, "sam")
    t.say("250 mL of 0.1 M sodium chloride")
    t.page.context.clear_cookies()
    t.page.get_by_label("What is to be made?").fill("double it")
    t.page.get_by_role("button", name="Work it out").click()
    expect(t.page.get_by_role("heading", name="Log in")).to_be_visible()  # the session is over: no dead page
    come_in(t, "sam")
    t.page.get_by_role("button", name="Log out").click()
    expect(t.page.get_by_role("heading", name="Log in")).to_be_visible()


@pytest.mark.parametrize("paper", ["light", "dark"])
def test_no_barrier_is_found_at_the_door_and_in_the_queue(tab: OpenTab, paper: str) -> None:
    t = tab(color_scheme=paper, viewport={"width": 360, "height": 740}).open()
    expect(t.page.get_by_label("Name")).to_be_focused()
    for go in (lambda: None, lambda: waiting(come_in(t, "jo"), "nitric acid")):
        go()
        found = Axe().run(t.page, options=RULES)
        assert found.violations_count == 0, found.generate_report()
        assert t.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_log_is_searched_with_totals_and_taken_away(tab: OpenTab) -> None:
    maker = come_in(tab().open(), "sam")
    maker.say("100 mL of 0.02 M potassium dichromate")
    maker.say("100 mL of 0.005 M potassium dichromate")
    assert "Log" not in tabs(maker)
    auditor = come_in(tab().open(), "ada")
    auditor.open("log")
    rows = auditor.page.locator(".register li")
    expect(rows.first).to_be_visible()
    auditor.page.get_by_label("Stronger than, mol/L").fill("0.01")
    auditor.page.get_by_role("button", name="Search").click()
    expect(auditor.page.locator("#log-over-fault")).to_contain_text("needs a substance")
    auditor.page.get_by_label("Substance", exact=True).fill("potassium dichromate")
    auditor.page.get_by_role("button", name="Search").click()
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("0.02 mol/L potassium dichromate")
    expect(rows).to_contain_text("Sam of Alder Vale")
    expect(
        auditor.page.get_by_role("row", name="potassium-dichromate").or_(
            auditor.page.get_by_role("row", name="potassium dichromate")
        )
    ).to_contain_text("Sam of Alder Vale")
    expect(auditor.page.get_by_role("row").nth(1)).to_contain_text("0.5884 g")  # 2 mmol of 294.18 g/mol
    with auditor.page.expect_download() as awaited:
        auditor.page.get_by_role("link", name="Take away as a table (CSV)").click()
    assert "dichromate" in awaited.value.path().read_text("utf-8")
    found = Axe().run(auditor.page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    auditor.page.set_viewport_size({"width": 360, "height": 740})
    assert auditor.page.evaluate("document.documentElement.scrollWidth") <= 360
