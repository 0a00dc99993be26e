"""The sheet of a prep day, read back and compared with the day."""

import pytest

pytest.importorskip("typst", reason="the extra 'print' is not installed: pip install 'prepwright[print]'")
pages = pytest.importorskip("tests.paper.pages", reason="the extra 'dev' is not installed: nothing reads pages back")

from tests.conftest import Running  # noqa: E402
from tests.days.test_prep_day import made  # noqa: E402

REQUESTS = (
    "250 mL of 0.1 M sodium chloride",
    "24 students, 20 mL each of 0.1 M sodium chloride, 10 % spare",
    "1 L of 0.1 M sodium hydroxide, accurate",
    "250 mL of 0.0500 M potassium hydrogen phthalate, primary standard",
    "500 mL of 6 M nitric acid",
    "500 mL of 0.1 M copper sulfate",
)


def test_the_sheet_says_what_the_day_says(running: Running) -> None:
    day = made(running, *REQUESTS)
    response = running.get(f"/v1/days/{day['id']}/sheet")
    assert response.headers["content-type"] == "application/pdf"
    words = pages.text_of(response.content)
    assert "18 January 2027" in words
    assert pages.codes_of(response.content)[0] == day["id"]
    assert day["id"] in words
    assert set(pages.sizes_of(response.content)) == {(210.0, 297.0)}
    assert not pages.ink_beyond(response.content, 6.0)
    for line in day["pick_list"]:
        assert line["amount"]["display"] in words
        assert line["what"] in words
    for task in day["order"]:
        assert task["text"] in words
    for one in day["preparations"]:
        assert one["plan"] in words
        assert one["total"]["display"] in words
        for measure in one["measure"]:
            assert f"{measure['amount']['display']} {measure['what']}" in words
        for part in one["parts"]:
            for line in part.get("sum", ()):
                assert line in words
        assert one.get("vessel", "") in words
    assert "250 + 528 = 778 mL" in words
    assert "once dried, cooled" in words


def test_nothing_that_stands_apart_is_printed(running: Running) -> None:
    day = made(running, *REQUESTS)
    words = pages.text_of(running.get(f"/v1/days/{day['id']}/sheet").content).lower()
    assert "2 requests stand apart and are not on this sheet" in words
    for one in day["apart"]:
        assert one["plan"].lower() not in words
        assert one["message"].lower() not in words
    for name in ("nitric", "copper"):
        assert name not in words


@pytest.mark.parametrize("text", ["500 mL of 6 M nitric acid", "10 banana", "500 mL of 0.1 M copper sulfate"])
def test_a_day_of_which_nothing_may_be_printed(running: Running, text: str) -> None:
    refused = running.get(f"/v1/days/{made(running, text)['id']}/sheet")
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/nothing-to-make")


def test_what_was_withdrawn_is_not_printed(running: Running) -> None:
    day = made(running, "1 L of 1 M sodium chloride", "1 L of 0.1 M potassium chloride")
    for number, one in enumerate(day["preparations"]):
        running.call("POST", f"/v1/plans/{one['plan']}/withdrawal", json={"reason": "course called off"})
        sheet = running.get(f"/v1/days/{day['id']}/sheet")
        if number == 0:
            words = pages.text_of(sheet.content)
            assert one["plan"] not in words
            assert "1 preparation was withdrawn" in words
        else:
            assert sheet.status_code == 409


def test_words_of_a_course_are_never_markup(running: Running) -> None:
    to = "#pagebreak() *x* $y$ [z]"
    day = made(running, {"text": "250 mL of 0.1 M sodium chloride", "to": to})
    assert to in pages.text_of(running.get(f"/v1/days/{day['id']}/sheet").content)


def test_what_cannot_be_printed_is_made_visible(running: Running) -> None:
    day = made(running, {"text": "250 mL of 0.1 M sodium chloride", "room": "lab\u202e\x00 4"})
    assert running.get(f"/v1/days/{day['id']}/sheet").status_code == 200
