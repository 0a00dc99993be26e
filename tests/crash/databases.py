"""A database made anew on a PostgreSQL server, and dropped afterwards."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url


@contextmanager
def new_database(server_url: str) -> Iterator[str]:
    """The URL of an empty database on that server."""
    name = f"prepwright_{uuid.uuid4().hex[:12]}"
    server = create_engine(server_url, isolation_level="AUTOCOMMIT", pool_pre_ping=True)
    with server.connect() as connection:
        connection.execute(text(f"create database {name}"))
    try:
        yield make_url(server_url).set(database=name).render_as_string(hide_password=False)
    finally:
        with server.connect() as connection:
            connection.execute(text(f"drop database {name} with (force)"))
        server.dispose()
