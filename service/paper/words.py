"""Words and figures as they are printed."""

import re
from datetime import date
from typing import Any

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_RUN = re.compile(r"\d+|\D+")


def formula_runs(formula: str) -> list[dict[str, Any]]:
    """The formula in runs ``{"text", "low"}``: counts set low, the water count level, a raised dot before the water."""
    runs: list[dict[str, Any]] = []
    for place, part in enumerate(re.split(r"\.(?=\d*H2O|\d+\.\d+H2O)", formula, maxsplit=1)):
        if place:
            runs.append({"text": "\u00b7", "low": False})
        for number, piece in enumerate(_RUN.findall(part)):
            level = place and number == 0
            runs.append({"text": piece, "low": piece.isdigit() and not level})
    return runs


def product_title(product: dict[str, Any]) -> str:
    """The full name on paper: "anhydrous sodium carbonate", "copper(II) sulfate pentahydrate"; a state of matter is no name."""
    form, substance = product.get("form", ""), product["substance"]
    if product.get("name") or form in ("", "solid", "liquid", "gas", "solution"):
        return str(product.get("name") or substance)
    return f"{form} {substance}" if form == "anhydrous" else f"{substance} {form}"


def capital(name: str) -> str:
    """The name with a capital first letter."""
    return name[:1].upper() + name[1:]


def spoken_date(iso: str) -> str:
    """ "25 November 2026" from a date or time that starts with YYYY-MM-DD: no order of numbers to mistake."""
    day = date.fromisoformat(iso[:10])
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_date(iso: str) -> str:
    """ "25 Nov 2026"."""
    day = date.fromisoformat(iso[:10])
    return f"{day.day} {_MONTHS[day.month - 1][:3]} {day.year}"
