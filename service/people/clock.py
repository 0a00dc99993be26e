"""Times as the tables keep them: text, UTC, ISO 8601 with microseconds."""

from datetime import UTC, datetime, timedelta


def now() -> datetime:
    """The time of this machine, UTC."""
    return datetime.now(UTC)


def stamp(when: datetime) -> str:
    """As the tables keep it; such texts sort as the times do."""
    return when.isoformat(timespec="microseconds").replace("+00:00", "Z")


def after(**time: float) -> str:
    """The stamp of a moment from now, ``timedelta`` arguments."""
    return stamp(now() + timedelta(**time))
