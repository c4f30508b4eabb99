"""What the database refused, as a sentence for the user.

Only what the machine around us causes becomes a UserError (a lock, a full disk, a folder
that may not be written, a damaged file); a wrong statement of ours stays an exception.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from catalog.errors import UserError, user_error

_UNWRITABLE = {
    sqlite3.SQLITE_AUTH,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_READONLY,
}
_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_FORMAT, sqlite3.SQLITE_NOTADB}
_DISK_FULL_STATE = "53100"  # PostgreSQL's SQLSTATE "disk_full"


@contextmanager
def explained(place: str) -> Iterator[None]:
    """Turn what the database refuses into a UserError that names the `place`.

    Raises
    ------
    UserError
        ``store.locked``, ``store.full``, ``store.unwritable``, ``store.damaged``,
        ``store.input_output``, ``store.unreachable`` or ``store.collided``.
    """
    try:
        yield
    except IntegrityError as error:
        raise user_error("store.collided", path=place) from error
    except DBAPIError as error:
        told = _told(error.orig, place)
        ours = isinstance(error.orig, sqlite3.Error)  # no server in between: a wrong statement
        if told is None and not ours and isinstance(error, OperationalError):
            told = user_error("store.unreachable", path=place, reason=_first_line(error.orig))
        if told is None:
            raise
        raise told from error
    except sqlite3.Error as error:
        told = _told(error, place)
        if told is None:
            raise
        raise told from error


def _told(error: BaseException | None, place: str) -> UserError | None:
    if getattr(error, "sqlstate", None) == _DISK_FULL_STATE:
        return user_error("store.full", path=place)
    code = getattr(error, "sqlite_errorcode", None)
    if not isinstance(code, int):
        return None
    primary = code & 0xFF  # the rest of an extended code says where in SQLite it happened
    reason = _first_line(error)
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return user_error("store.locked", path=place)
    if primary == sqlite3.SQLITE_FULL:
        return user_error("store.full", path=place)
    if primary in _UNWRITABLE:
        return user_error("store.unwritable", path=place, reason=reason)
    if primary in _DAMAGED:
        return user_error("store.damaged", path=place, reason=reason)
    if primary == sqlite3.SQLITE_IOERR:
        return user_error("store.input_output", path=place, reason=reason)
    return None


def _first_line(error: BaseException | None) -> str:
    lines = str(error).splitlines()
    return lines[0].rstrip(".") if lines else type(error).__name__
