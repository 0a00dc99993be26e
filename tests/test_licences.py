"""The page of licences is that of the pinned libraries."""

from tests.licences import PAGE, page, pinned


def test_every_installed_library_stands_with_its_version_and_licence() -> None:
    there = set(PAGE.read_text("utf-8").splitlines())
    assert len(pinned()) > 50
    assert set(page().splitlines()) - there == set()
    named = {line.split("|")[1].strip() for line in there if line.startswith("| ")} - {"library"}
    assert named <= set(pinned())
