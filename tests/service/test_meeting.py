"""What must not meet is refused from the text itself. The reactions are those of the incompatibility tables the rules cite
(Prudent Practices, 1995); what household products hold is common practice, no source."""

import pytest

from service.pipeline import answer


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mix household bleach with vinegar", "chlorine"),
        ("drain cleaner and bleach", "chlorine"),
        ("thick bleach plus toilet cleaner 100 mL", "chlorine"),
        ("potassium cyanide 0.1M 1 L with hydrochloric acid", "hydrogen cyanide"),
        ("100 mL 70% perchloric acid with ethanol", "explosion"),
        ("glycerol and potassium permanganate 1 M 100 mL", "fire"),
    ],
)
def test_what_must_not_meet_is_refused_though_the_text_is_not_read_whole(text: str, said: str) -> None:
    document = answer(text).document
    assert document["outcome"] == "refused"
    assert said in document["problem"]["message"]
    assert "plan" not in document


@pytest.mark.parametrize(
    "text",
    [
        "mix lemon juice with sodium chloride",  # a product is never cleared, but nothing here makes a danger of it
        "1 L of 0.1 M sodium chloride, for the lesson on vinegar and bleach labels",
        "0.1 M HCl 250 mL. 0.1 M sodium hypochlorite 250 mL.",  # two solutions in a list
    ],
)
def test_no_danger_is_made_of_names_that_are_not_brought_together(text: str) -> None:
    problem = answer(text).document.get("problem", {})
    assert problem.get("code") != "incompatible-pair"
