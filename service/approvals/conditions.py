"""The conditions of an approval, and whether a later request lies within them. Pure."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from service.approvals.held import Held

_ROUNDING = 1 + 1e-9


@dataclass(frozen=True, slots=True)
class Strength:
    """The greatest strength allowed, in a unit of the plan it was allowed for."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Conditions:
    """What an approval is tied to; None is not tied. ``people`` are ids; ``until`` is the last day."""

    up_to_volume_mL: float | None = None
    up_to_strength: Strength | None = None
    room: str | None = None
    people: tuple[str, ...] = ()
    until: date | None = None

    def document(self) -> dict[str, Any]:
        """As JSON values; what is not tied is left out."""
        strength = self.up_to_strength
        found = {
            "up_to_volume_mL": self.up_to_volume_mL,
            "up_to_strength": None if strength is None else {"value": strength.value, "unit": strength.unit},
            "room": self.room,
            "people": list(self.people) or None,
            "until": None if self.until is None else self.until.isoformat(),
        }
        return {key: value for key, value in found.items() if value is not None}


def from_document(document: dict[str, Any]) -> Conditions:
    """The conditions as they were kept."""
    strength, until = document.get("up_to_strength"), document.get("until")
    return Conditions(
        document.get("up_to_volume_mL"),
        None if strength is None else Strength(strength["value"], strength["unit"]),
        document.get("room"),
        tuple(document.get("people", ())),
        None if until is None else date.fromisoformat(until),
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks now, for which room (when said), on which day."""

    person: str
    room: str | None
    today: date


def departs(conditions: Conditions, allowed: Held, now: Held, asked: Asked) -> str | None:
    """Why a request is not covered by an approval of ``allowed`` under these conditions; None when it is covered."""
    if conditions.until is not None and asked.today > conditions.until:
        return f"it ended on {conditions.until.isoformat()}"
    more = now.rules - allowed.rules
    if more:
        return f"{', '.join(sorted(more))} holds this request and was not part of it"
    if conditions.people and asked.person not in conditions.people:
        return "it names other people"
    if conditions.room is not None and _plain(asked.room or "") != _plain(conditions.room):
        return f"it is for the room {conditions.room}" + ("" if asked.room else ", and the request names no room")
    return _amount(conditions, allowed, now) or _strength(conditions, allowed, now)


def _amount(conditions: Conditions, allowed: Held, now: Held) -> str | None:
    if now.volume_mL is not None:
        most = conditions.up_to_volume_mL if conditions.up_to_volume_mL is not None else allowed.volume_mL
        if most is not None and now.volume_mL <= most * _ROUNDING:
            return None
        return f"{now.volume_mL:g} mL is more than it allows" + ("" if most is None else f" ({most:g} mL)")
    if conditions.up_to_volume_mL is None and now.mass_g is not None and allowed.mass_g is not None:
        if now.mass_g <= allowed.mass_g * _ROUNDING:
            return None
        return f"{now.mass_g:g} g is more than it allows ({allowed.mass_g:g} g)"
    return "the amount cannot be compared with what it allows"


def _strength(conditions: Conditions, allowed: Held, now: Held) -> str | None:
    limit = conditions.up_to_strength
    limits = allowed.strengths if limit is None else {limit.unit: limit.value}
    for unit, most in limits.items():
        if unit not in now.strengths:
            return "the strength cannot be compared with what it allows"
        if now.strengths[unit] > most * _ROUNDING:
            return f"{now.strengths[unit]:g} {unit} is stronger than it allows ({most:g} {unit})"
    return None


def _plain(room: str) -> str:
    return " ".join(room.casefold().split())
