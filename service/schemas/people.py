"""Shapes of logins, tokens and accounts."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.schemas.common import closed

AccountId = Annotated[str, Field(description="ten characters; local for the one user of a service without accounts")]


@closed
class Session(TypedDict):
    """Who is logged in and what they may do. ``csrf_token`` goes into X-CSRF-Token with every change."""

    id: AccountId
    name: str
    via: Annotated[str, Field(description="local, session, key or token")]
    rights: list[str]
    csrf_token: NotRequired[str]


@closed
class LoggedOut(TypedDict):
    """The session is over."""

    logged_out: bool


@closed
class Token(TypedDict):
    """A token for a machine, as OAuth 2 names its fields."""

    access_token: str
    token_type: str
    expires_in: Annotated[int, Field(description="seconds")]
    scope: str


@closed
class PersonShape(TypedDict):
    """One account."""

    id: AccountId
    name: str
    full_name: NotRequired[str]
    roles: list[str]
    active: bool


@closed
class PersonList(TypedDict):
    """One page, by name; ``next`` is the ``after`` of the page that follows."""

    people: list[PersonShape]
    next: NotRequired[str]


@closed
class PublicKey(TypedDict):
    """A public RSA key, as RFC 7517 names its fields."""

    kty: Literal["RSA"]
    kid: str
    alg: Literal["RS256"]
    use: Literal["sig"]
    n: str
    e: str


@closed
class KeyList(TypedDict):
    """The public keys of this service as a tool of a learning system."""

    keys: list[PublicKey]
