"""The phrasebook as other programs get it."""

from tests.conftest import Running


def test_the_phrasebook_is_served_whole(running: Running) -> None:
    book = running.get("/v1/phrasebook").json()
    assert len(book["requests"]) >= 400
    assert len(book["refusals"]) >= 80
    assert all(line["read_as"] and line["request"] for line in book["requests"])
    assert all(line["code"] and line["message"] and line["remedy"] for line in book["refusals"])
    assert len({line["code"] for line in book["refusals"]}) >= 30
