"""The hazards of the made solution as they stand in the reply."""

from typing import Any

from rules.classify import MadeHazards
from rules.policies import Policy
from rules.tables.hazards import pictogram, precaution, statement


def hazards_document(made: MadeHazards, policy: Policy, names: dict[str, str]) -> dict[str, Any]:
    """Classes at the strength made with every limit compared; substances without a classification are named
    (``names`` by slug), never passed."""
    found: dict[str, Any] = {
        "policy": policy.name,
        "policy_title": policy.title,
        "classified_at": "w/w of the made solution",
        "classes": [
            {"class": c.hazard_class, "category": c.category, "h_code": c.h_code, "because": c.because}
            for c in made.classes
        ],
        "h_statements": [{"code": c, "text": statement(c).text} for c in made.h],
        "p_statements": [{"code": c, "text": precaution(c)} for c in made.p],
        "pictograms": [{"code": c, "name": pictogram(c)[0]} for c in made.pictograms],
        "limits_compared": [
            {
                "entry": c.entry,
                "class": c.hazard_class,
                "limit_pct": c.limit_pct,
                "actual_pct": c.actual_pct,
                "met": c.met,
                "source_id": c.source.source_id,
                "locator": c.source.locator,
            }
            for c in made.compared
        ],
    }
    if made.signal_word:
        found["signal_word"] = made.signal_word
    if made.unknown:
        found["not_classified_here"] = [names[slug] for slug in made.unknown]
    if made.untested:
        found["found_by_test_only"] = list(made.untested)
    return found
