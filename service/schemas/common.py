"""Shapes and words that several documents share."""

from typing import Annotated, Literal, NotRequired

from pydantic import ConfigDict, Field, with_config
from typing_extensions import TypedDict

Outcome = Literal["planned", "held", "question", "refused", "answered", "not_understood"]
Severity = Literal["note", "caution", "ask", "hold", "stop"]
Result = Literal["fired", "passed", "not_applicable", "unchecked"]
Hash = Annotated[str, Field(pattern="^[0-9a-f]{64}$", description="SHA-256, hexadecimal")]
PlanId = Annotated[
    str,
    Field(
        pattern="^([0-9A-HJKMNP-TV-Z]{10}|draft-[0-9a-f]{12})$",
        description="ten characters for a stored reply; draft- and twelve digits for one that is stored nowhere",
    ),
]
Time = Annotated[str, Field(description="UTC, ISO 8601 with microseconds")]
closed = with_config(ConfigDict(extra="forbid"))


@closed
class Amount(TypedDict):
    """A number somebody acts on: unrounded in the fixed unit, and as the asker would read it."""

    value: float
    unit: Annotated[str, Field(description="g, mL, mol, mol/L, g/L, %, mol/kg, degC, g/mL or g/mol")]
    display: str


@closed
class Citation(TypedDict):
    """Where a fact comes from: GET /v1/sources/{source_id} has the full reference, ``locator`` the place in it."""

    source_id: str
    locator: str


@closed
class Working(TypedDict):
    """The sum, one line each."""

    method: str
    lines: list[str]


@closed
class Versions(TypedDict):
    """Under which rules, data and policy a reply was made: of the policy the number of GET /v1/policies, and a digest."""

    rules: str
    data: str
    policy: NotRequired[str]
