"""Connections: how a store's file is opened, and why so.

Rollback journal, not write-ahead log. The log needs memory shared between all who have the
file open, which no network folder gives, and it can't be read where the folder may not be
written; the catalogue is small and seldom written, so the speed of the log buys nothing. The
journal has one more virtue: a closed catalogue is a single file that can be copied.

A second copy of the program waits: each write takes the lock at its start (``BEGIN
IMMEDIATE``), so it never has to give way in the middle, and whoever finds it taken waits up
to `TIMEOUT` before there is a sentence.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import StaticPool

TIMEOUT = 5.0
"""How long to wait for another copy of the program [s]."""

WRITES = "writes"
"""Execution option of a connection that will write."""

_as_json = partial(json.dumps, ensure_ascii=False, allow_nan=False)


def file_engine(path: Path, *, read_only: bool = False, timeout: float = TIMEOUT) -> Engine:
    """Return an engine for a SQLite file; nothing is opened yet.

    Parameters
    ----------
    path : Path
        The file; it is made at the first use unless `read_only`.
    read_only : bool
        Whether the file may be read only.
    timeout : float
        How long to wait for a lock [s], not negative.
    """
    where = quote(str(path.absolute()))
    mode = "ro" if read_only else "rwc"

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(
            f"file:{where}?mode={mode}", uri=True, timeout=timeout, check_same_thread=False
        )

    return _sqlite(
        create_engine("sqlite://", creator=connect, poolclass=StaticPool, json_serializer=_as_json)
    )


def memory_engine() -> Engine:
    """Return an engine for a database that lives in memory, as long as the engine does."""
    return _sqlite(
        create_engine(
            "sqlite://",
            poolclass=StaticPool,
            connect_args={"check_same_thread": False},
            json_serializer=_as_json,
        )
    )


def server_engine(url: str) -> Engine:
    """Return an engine for a database server, such as PostgreSQL."""
    return create_engine(url, json_serializer=_as_json, pool_pre_ping=True)


def _sqlite(engine: Engine) -> Engine:
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: sqlite3.Connection, record: Any) -> None:
    del record
    # The driver begins transactions late and ends them early by itself; we say when.
    connection.isolation_level = None
    with closing(connection.cursor()) as cursor:
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        # The file may come from anywhere: what it says is checked, nothing in it is run.
        cursor.execute("PRAGMA trusted_schema = OFF")
        cursor.execute("PRAGMA cell_size_check = ON")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
