"""Shapes of signed events: subscriptions, their secrets, and what was sent."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import Time, closed
from service.schemas.records import OwnId

EventType = Literal[
    "plan.held", "plan.approved", "plan.declined", "preparation.recorded", "preparation.quarantined", "policy.changed"
]
DeliveryState = Literal["waiting", "sent", "dead", "dropped"]
Secret = Annotated[
    str, Field(pattern=r"^whsec_[A-Za-z0-9+/]{43}=$", description="shown this once; keep it where it is used")
]


@closed
class WebhookBody(TypedDict):
    """Where to send events, and which."""

    url: Annotated[
        str,
        Field(
            min_length=1, max_length=500, description="https://; http:// for this machine only",
            json_schema_extra={"pattern": r"^[Hh][Tt][Tt][Pp][Ss]?://[!-~]+$"},
        ),
    ]  # fmt: skip
    types: Annotated[list[EventType], Field(min_length=1, max_length=20)]


@closed
class RotationBody(TypedDict):
    """How long the secrets before the new one sign beside it; 24 hours when left out."""

    overlap_hours: NotRequired[Annotated[float, Field(strict=True, ge=0, le=168, allow_inf_nan=False)]]


@closed
class SwitchBody(TypedDict):
    """Whether events are sent."""

    active: Annotated[bool, Field(strict=True)]


@closed
class Subscription(TypedDict):
    """A subscription; ``secrets``: how many sign now."""

    id: OwnId
    at: Time
    url: str
    types: list[EventType]
    active: bool
    secrets: int


@closed
class SubscriptionList(TypedDict):
    """One page, oldest first; ``next`` is the ``after`` of the page that follows."""

    webhooks: list[Subscription]
    next: NotRequired[int]


@closed
class NewSecret(Subscription):
    """A subscription with the secret that was just made."""

    secret: Secret


@closed
class DeliveryShape(TypedDict):
    """One event for one subscription. ``answer`` is what came of the last attempt; ``next_at`` is the next one."""

    n: Annotated[int, Field(description="the number of the audit entry it tells of")]
    message: Annotated[str, Field(description="webhook-id, the same in every attempt")]
    type: EventType
    at: Time
    state: DeliveryState
    attempts: int
    next_at: NotRequired[Time]
    done_at: NotRequired[Time]
    answer: NotRequired[str]


@closed
class DeliveryPage(TypedDict):
    """One page, newest first; ``next`` is the ``after`` of the page that follows."""

    deliveries: list[DeliveryShape]
    next: NotRequired[int]
