"""Checking an answer, and the lists of earlier replies and of substances."""

from playwright.sync_api import expect

from tests.web.conftest import OpenTab


def test_a_wrong_answer_has_its_slip_named(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.get_by_label("What was to be made").fill("500 mL of 0.100 M copper sulfate pentahydrate")
    t.page.get_by_label("The answer that was given").fill("7.98 g")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Not right")
    expect(t.page.locator(".answer .amount")).to_have_text("12.48 g")
    expect(t.page.locator(".slips")).to_contain_text("water of crystallisation forgotten")
    t.page.get_by_label("The answer that was given").fill("12.48 g")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Right")
    expect(t.page.locator(".slips")).to_have_count(0)


def test_a_check_may_need_a_form_first(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.get_by_label("What was to be made").fill("500 mL of 0.100 M copper sulfate")
    t.page.get_by_label("The answer that was given").fill("7.98 g")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Question")
    t.page.locator(".option", has_text="anhydrous").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Right")


def test_fields_say_what_is_wrong_with_them(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.get_by_role("button", name="Check it").click()
    about = t.page.get_by_label("What was to be made")
    expect(about).to_be_focused()
    expect(about).to_have_attribute("aria-invalid", "true")
    expect(t.page.locator("#about-fault")).to_have_text("Say what was to be made.")
    about.fill("250 mL of 0.1 M sodium chloride")
    t.page.get_by_label("The answer that was given").fill("lots")
    t.page.get_by_role("button", name="Check it").click()
    expect(t.page.locator("#claimed-fault")).to_contain_text("one number and one unit")
    expect(t.page.locator("#about-fault")).to_be_empty()


def test_a_check_survives_a_dropped_connection(tab: OpenTab) -> None:
    t = tab().open("check")
    t.page.get_by_label("What was to be made").fill("250 mL of 0.1 M sodium chloride")
    t.page.get_by_label("The answer that was given").fill("1.46 g")
    t.page.context.set_offline(True)
    t.page.get_by_role("button", name="Check it").click()
    alert = t.page.get_by_role("alert")
    expect(alert).to_contain_text("does not answer")
    t.page.context.set_offline(False)
    alert.get_by_role("button", name="Send again").click()
    expect(t.page.locator(".outcome .tag")).to_have_text("Right")


def test_earlier_replies_are_listed_by_outcome_and_open(tab: OpenTab) -> None:
    t = tab().open()
    t.say("250 mL of 0.1 M sodium chloride")
    t.say("10 banana")
    t.open("earlier")
    rows = t.page.locator(".register a")
    expect(rows.nth(0)).to_contain_text("10 banana")
    expect(rows.nth(1)).to_contain_text("Make 250 mL of 0.1 mol/L sodium chloride")
    t.page.get_by_label("Show").select_option("Planned")
    expect(rows.nth(0)).to_contain_text("Planned")
    expect(rows.filter(has_text="Not understood")).to_have_count(0)
    rows.nth(0).click()
    expect(t.page.locator(".card .amount").first).to_have_text("1.461 g")
    expect(t.page.get_by_role("heading", level=1)).to_be_focused()


def test_a_long_list_goes_further_back(tab: OpenTab) -> None:
    t = tab().open()
    t.page.evaluate(
        """async () => { for (let n = 1; n <= 30; n += 1) await fetch('/v1/plans', {method: 'POST',
        headers: {'Content-Type': 'application/json'}, body: JSON.stringify({text: `${n} mL of 0.1 M sodium chloride`})}); }"""
    )
    t.open("earlier")
    rows = t.page.locator(".register a")
    expect(rows).to_have_count(25)
    t.page.get_by_role("button", name="Further back").click()
    expect(rows.filter(has_text="Make 1 mL of")).to_have_count(1)


def test_a_substance_shows_its_forms_and_its_curve(tab: OpenTab) -> None:
    t = tab().open("known")
    t.page.get_by_label("Which one?").fill("sodium carb")
    t.page.get_by_label("Which one?").press("Enter")
    t.page.get_by_role("link", name="sodium carbonate Na2CO3").click()
    expect(t.page.get_by_role("row", name="decahydrate Na2CO3.10H2O").first).to_be_visible()
    drawn = t.page.get_by_role("img", name="Solubility of sodium carbonate in water")
    expect(drawn).to_be_visible()
    t.page.locator("summary", has_text="The points and their sources").click()
    expect(t.page.get_by_role("row", name="20 degC")).to_be_visible()
    t.open("known")
    t.page.get_by_label("Which one?").fill("soddium chloride")
    t.page.get_by_role("button", name="Look up").click()
    t.page.get_by_role("button", name="perhaps sodium chloride").click()
    expect(t.page.get_by_role("link", name="sodium chloride NaCl")).to_be_visible()
