"""Every setting of the service, in one typed place; read from ``PREPWRIGHT_*`` in the environment."""

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "::1")


class SettingsError(ValueError):
    """A setting has a value that cannot be used; the message names the variable."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How the service runs.

    ``database`` is a URL, ``sqlite:///PATH`` or ``postgresql+psycopg://...``; ``head_file`` holds the newest
    audit entry outside the database. Sizes are bytes, times seconds. ``allowed_hosts`` empty means any. An account is
    locked for ``lock_seconds`` after ``wrong_passwords`` in a row; logins are counted by address, calls by account, in
    each process. ``webhook_sender``: whether this process sends signed events; ``webhook_private``: also to addresses
    inside the network; one that is not taken within ``webhook_hours`` is given up; the outbox is looked at every
    ``webhook_poll`` seconds. ``public_url``: where browsers reach this service, for sign-in elsewhere. ``oidc_roles``: pairs
    ``value=role``, of which the values stand in the claim ``oidc_role_claim`` (dots lead into objects). ``lti_platforms``
    names a JSON file of learning systems, ``lti_private_key`` a PEM file with the key that head counts are asked by.
    """

    database: str
    head_file: Path
    body_limit: int = 64 * 1024
    group_limit: int = 64
    queue_limit: int = 4096
    store_timeout: float = 10.0
    allowed_hosts: tuple[str, ...] = ()
    log_level: str = "INFO"
    log_requests: bool = False
    session_hours: float = 10.0
    token_life: int = 900
    wrong_passwords: int = 5
    lock_seconds: float = 300.0
    logins_a_minute: int = 20
    calls_a_minute: int = 6000
    webhook_sender: bool = True
    webhook_private: bool = False
    webhook_hours: float = 72.0
    webhook_poll: float = 1.0
    public_url: str = ""
    sign_ins_a_minute: int = 300
    oidc_issuer: str = ""
    oidc_client_id: str = ""
    oidc_client_secret: str = field(default="", repr=False)
    oidc_role_claim: str = "groups"
    oidc_roles: tuple[str, ...] = ()
    lti_platforms: str = ""
    lti_private_key: str = ""

    @property
    def signs_in_elsewhere(self) -> bool:
        """Whether people come in by an account that another service keeps."""
        return bool(self.oidc_issuer or self.lti_platforms)

    def changed(self, **values: object) -> "Settings":
        """A copy with some values replaced."""
        return replace(self, **values)  # type: ignore[arg-type]


def from_environment(environ: Mapping[str, str] | None = None, database: str | None = None) -> Settings:
    """Settings from ``PREPWRIGHT_*``; ``database`` (a URL or a file path) wins over ``PREPWRIGHT_DATABASE``.

    Raises SettingsError for a value that cannot be read.
    """
    env = os.environ if environ is None else environ
    url = database_url(database or env.get("PREPWRIGHT_DATABASE") or str(data_folder(env) / "prepwright.sqlite3"))
    head = env.get("PREPWRIGHT_HEAD_FILE")
    settings = Settings(database=url, head_file=Path(head) if head else _head_file_for(url, env))
    for item in fields(Settings):
        typed = env.get(f"PREPWRIGHT_{item.name.upper()}")
        if typed is not None and item.name not in ("database", "head_file"):
            settings = settings.changed(**{item.name: _read(item.name, typed, getattr(settings, item.name))})
    return settings


def data_folder(environ: Mapping[str, str]) -> Path:
    """Where plans are kept when nothing else is said: the user's data folder of the XDG convention."""
    base = environ.get("XDG_DATA_HOME") or str(Path(environ.get("HOME", "~")).expanduser() / ".local" / "share")
    return Path(base) / "prepwright"


def database_url(typed: str) -> str:
    """A SQLAlchemy URL from a URL or a plain file path; PostgreSQL always by psycopg.

    Raises SettingsError for a database of another kind.
    """
    if "://" not in typed:
        return f"sqlite:///{Path(typed).expanduser().absolute()}"
    scheme, rest = typed.split("://", 1)
    if scheme in ("postgresql", "postgres", "postgresql+psycopg"):
        return f"postgresql+psycopg://{rest}"
    if scheme == "sqlite":
        return typed
    raise SettingsError(
        f"PREPWRIGHT_DATABASE: {scheme}:// is not supported; use a file path, sqlite:/// or postgresql://"
    )


def _head_file_for(url: str, environ: Mapping[str, str]) -> Path:
    if url.startswith("sqlite:///"):
        return Path(url.removeprefix("sqlite:///") + ".audit-head")
    address = url.rpartition("@")[2]
    return data_folder(environ) / f"audit-head-{hashlib.sha256(address.encode()).hexdigest()[:12]}"


def _read(name: str, typed: str, default: object) -> object:
    variable = f"PREPWRIGHT_{name.upper()}"
    if isinstance(default, bool):
        if typed.lower() in ("1", "true", "yes", "on"):
            return True
        if typed.lower() in ("0", "false", "no", "off", ""):
            return False
        raise SettingsError(f"{variable}: {typed!r} is neither yes nor no")
    if isinstance(default, int | float):
        try:
            number = type(default)(typed)
        except ValueError:
            raise SettingsError(f"{variable}: {typed!r} is not a number") from None
        if not 0 < number < float("inf"):
            raise SettingsError(f"{variable}: {typed!r} must be above 0")
        return number
    if isinstance(default, tuple):
        return tuple(part.strip() for part in typed.split(",") if part.strip())
    return typed
