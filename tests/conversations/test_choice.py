"""Which option a message names."""

import pytest

from service.conversations.choice import chosen

ONE, TWO, DRY = (
    {"id": i, "label": label, "request": {"n": i}}
    for i, label in (("salt-5", "the Pentahydrate"), ("salt-7", "salt heptahydrate"), ("dry", "anhydrous salt"))
)
QUESTION = {"options": [ONE, TWO, DRY, {"id": "other", "label": "something else"}]}


@pytest.mark.parametrize(
    ("said", "option"),
    [
        ("1", ONE), ("a", ONE), ("the first", ONE), ("pentahydrate", ONE), ("use the pentahydrate please", ONE), ("salt-5", ONE),
        ("2", TWO), ("B.", TWO), ("the second one", TWO), ("option 2", TWO), ("number two", TWO), ("the heptahydrate", TWO),
        ("3", DRY), ("third", DRY), ("Anhydrous.", DRY), ("it's the anhydrous", DRY), ("2.", TWO), ("c)", DRY),
    ],
)  # fmt: skip
def test_an_option_is_named(said: str, option: dict[str, object]) -> None:
    assert chosen(QUESTION, said) is option


@pytest.mark.parametrize(
    "said",
    ["", "4", "last", "5", "0", "-1", "99", "e", "other", "salt", "the", "yes", "pentahydrate or anhydrous", "not the pentahydrate",
     "250 mL of 0.1 M sodium chloride", "²", "x" * 500],
)  # fmt: skip
def test_no_option_is_named(said: str) -> None:
    assert chosen(QUESTION, said) is None


def test_yes_takes_the_only_option() -> None:
    assert chosen({"options": [ONE]}, "yes please") is ONE
    assert chosen({"options": [ONE, TWO]}, "yes please") is None
    assert chosen({"options": []}, "1") is None


def test_the_latter_of_two() -> None:
    assert chosen({"options": [ONE, TWO]}, "the latter") is TWO
    assert chosen({"options": [ONE, TWO]}, "the former") is ONE
