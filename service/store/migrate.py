"""Bring a database to the shape this version needs, at start-up."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.util import CommandError
from sqlalchemy import Engine, text

from service.store.engine import is_sqlite, writing

_LOCK = 7_370_729  # any fixed number: several workers that start at once take turns on it


class DatabaseTooNewError(RuntimeError):
    """The database was made by a later version of the program."""


def migrate(engine: Engine) -> None:
    """Apply the migrations that are missing. Safe when several workers start at once.

    Raises DatabaseTooNewError when the database is ahead of this program.
    """
    with writing(engine.connect()) as connection, connection.begin():
        if not is_sqlite(connection):
            connection.execute(text("select pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
        config = Config()
        config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
        config.attributes["connection"] = connection
        try:
            command.upgrade(config, "head")
        except CommandError as error:
            raise DatabaseTooNewError(
                "The database was made by a later version of Prepwright; install that version."
            ) from error
