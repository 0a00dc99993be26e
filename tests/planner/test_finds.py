"""Texts that a soak of mutated requests found a fault with (``python -m tests.bench.soak``); each stays."""

import pytest

from service.pipeline import answer


@pytest.mark.parametrize(
    ("text", "outcome"),
    [
        ("molarity 0 g of 97 % pure NaOH in 250 mL", "refused"),
        ("00 ug urea 19 mL", "refused"),
        ("dissolve 0 g NaCl in 100 mL", "refused"),
        ("is 9.58 g of washing soda in 655 mL right or 0.00 M?", "answered"),
        ("1 M NaCl 250 mL in a 0.0 mL conical flask", "planned"),
    ],
)
def test_a_text_that_once_failed_is_answered(text: str, outcome: str) -> None:
    document = answer(text).document
    assert document["outcome"] == outcome
    assert not [f for f in document.get("findings", ()) if "failed to run" in f["message"]]
