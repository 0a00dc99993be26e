"""The reply to a text that was not read, and that names what nobody makes here: the reason, and no amounts."""

from typing import Any

from rules.forbidden import Forbidden
from service.reply import versions


def compose_refused(text: str, why: Forbidden) -> dict[str, Any]:
    """The whole document: outcome, text as typed, problem and versions."""
    problem = {"code": why.code, "message": why.message, "remedy": why.remedy}
    return {"outcome": "refused", "text": text, "problem": problem, "versions": versions()}
