"""Read the body of a decision, with every fault at its place."""

from dataclasses import dataclass
from typing import Any, Literal

from service.api import examples_approvals as examples
from service.api.described import Described, object_body
from service.api.wishes import day
from service.approvals.conditions import Conditions, Strength
from service.approvals.held import Held
from service.people.clock import now
from service.problems import FieldError, Problem

_FIELDS = ("decision", "reason", "conditions")
_CONDITIONS = ("up_to_volume_mL", "up_to_strength", "room", "people", "until")
LONGEST_REASON = 1000


@dataclass(frozen=True, slots=True)
class Read:
    """A decision as it was sent; the conditions are not looked at yet."""

    decision: Literal["approve", "decline"]
    reason: str
    conditions: dict[str, Any]


def decision_body() -> Described:
    """The request body of a decision."""
    return object_body(
        {
            "decision": {"type": "string", "enum": ["approve", "decline"]},
            "reason": {"type": "string", "minLength": 1, "maxLength": LONGEST_REASON},
            "conditions": {"$ref": "#/components/schemas/ConditionsShape"},
        },
        ["decision", "reason"],
        examples.DECIDED,
    )


def read_decision(document: dict[str, Any]) -> Read:
    """The decision a body holds. Raises Problem naming every field that is wrong."""
    errors = [FieldError(f"/{key}", "is no field here", _FIELDS) for key in document if key not in _FIELDS]
    decision, reason, conditions = document.get("decision"), document.get("reason"), document.get("conditions", {})
    if decision not in ("approve", "decline"):
        errors.append(FieldError("/decision", "must say what is decided", ("approve", "decline")))
    if not isinstance(reason, str) or not 0 < len(reason.strip()) <= LONGEST_REASON:
        errors.append(FieldError("/reason", f"must give a reason of at most {LONGEST_REASON} characters"))
    if not isinstance(conditions, dict):
        errors.append(FieldError("/conditions", "must be an object"))
    elif conditions and decision == "decline":
        errors.append(FieldError("/conditions", "go with an approval only"))
    else:
        unknown = (key for key in conditions if key not in _CONDITIONS)
        errors += [FieldError(f"/conditions/{key}", "is no condition", _CONDITIONS) for key in unknown]
    _refuse(errors)
    return Read(document["decision"], document["reason"].strip().replace("\x00", "\u2400"), conditions)


def conditions_of(sent: dict[str, Any], held: Held, ids: dict[str, str]) -> Conditions:
    """The conditions for a plan; ``ids`` gives the id of an account by id or name. Raises Problem."""
    errors: list[FieldError] = []

    def wrong(name: str, message: str, allowed: tuple[str, ...] = ()) -> None:
        errors.append(FieldError(f"/conditions/{name}", message, allowed))

    volume = sent.get("up_to_volume_mL")
    if volume is not None and not _positive(volume):
        wrong("up_to_volume_mL", "must be a number above 0")
    elif volume is not None and held.volume_mL is None:
        wrong("up_to_volume_mL", "cannot be set: the plan makes a mass")
    elif volume is not None and volume < (held.volume_mL or 0):
        wrong("up_to_volume_mL", f"is less than the plan makes ({held.volume_mL:g} mL): decline it instead")
    strength = sent.get("up_to_strength")
    if strength is not None:
        _check_strength(strength, held, wrong)
    room = sent.get("room")
    if room is not None and not (isinstance(room, str) and 0 < len(room.strip()) <= 100):
        wrong("room", "must be a text of 1 to 100 characters")
    people = sent.get("people", [])
    if not isinstance(people, list) or not all(isinstance(one, str) and one.lower() in _lower(ids) for one in people):
        wrong("people", "must be a list of accounts, each by id or name")
    until = sent.get("until")
    last = day(until)
    if until is not None and (last is None or last < now().date()):
        wrong("until", "must be a day to come, such as 2027-01-15")
    _refuse(errors)
    limit = None if strength is None else Strength(float(strength["value"]), strength["unit"])
    known = _lower(ids)
    return Conditions(
        None if volume is None else float(volume),
        limit,
        None if room is None else room.strip(),
        tuple(sorted({known[one.lower()] for one in people})),
        last,
    )


def _check_strength(strength: Any, held: Held, wrong: Any) -> None:
    if not isinstance(strength, dict) or set(strength) != {"value", "unit"} or not _positive(strength["value"]):
        wrong("up_to_strength", "must be a value above 0 and a unit")
    elif strength["unit"] not in held.strengths:
        wrong("up_to_strength/unit", "is no unit the plan is known in", tuple(held.strengths))
    elif strength["value"] < held.strengths[strength["unit"]] / (1 + 1e-9):
        made = f"{held.strengths[strength['unit']]:g} {strength['unit']}"
        wrong("up_to_strength/value", f"is less than the plan makes ({made}): decline it instead")


def _lower(ids: dict[str, str]) -> dict[str, str]:
    return {key.lower(): value for key, value in ids.items()}


def _positive(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < 1e12


def _refuse(errors: list[FieldError]) -> None:
    if errors:
        detail = "One field cannot be used." if len(errors) == 1 else f"{len(errors)} fields cannot be used."
        raise Problem("invalid-request", detail, tuple(errors))
