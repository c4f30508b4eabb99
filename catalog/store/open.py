"""Opening the store: the user's file, or what the program ships where that can't be used.

A file that can't be used is left as it is: it may be the only copy of what somebody measured.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine

from catalog.errors import UserError, user_error
from catalog.home import catalogue_path
from catalog.message import Message, message
from catalog.store.connect import TIMEOUT, file_engine, memory_engine, server_engine
from catalog.store.shipment import Shipment, generic_shipment
from catalog.store.store import Store, utc_now
from catalog.store.upkeep import bring_up_to_date, check_health, is_up_to_date


@dataclass(frozen=True)
class Opening:
    """How a store is opened, where not as usual.

    Attributes
    ----------
    shipment : Shipment or None
        The shipped catalogue; the program's own where None.
    timeout : float
        How long to wait for another copy of the program [s], not negative.
    clock : callable
        Returns the time of a new revision, UTC, ISO 8601.
    """

    shipment: Shipment | None = None
    timeout: float = TIMEOUT
    clock: Callable[[], str] = utc_now


@dataclass(frozen=True)
class OpenedStore:
    """A store to work with, and what the user has to be told about it.

    Attributes
    ----------
    store : Store
        The user's, or one in memory that holds what the program ships.
    messages : tuple of Message
        Empty where the user's store was opened and can be written.
    """

    store: Store
    messages: tuple[Message, ...] = ()


USUAL = Opening()


def open_store(path: Path | None = None, opening: Opening = USUAL) -> Store:
    """Open the user's catalogue; make and fill it at the first start, migrate it when old.

    Parameters
    ----------
    path : Path, optional
        The file; `catalogue_path` when left out.
    opening : Opening
        How, where not as usual.

    Raises
    ------
    UserError
        With what is wrong and what to do: damaged, locked, not to be written, disk full,
        written by a newer program, or the database of something else. The file is untouched.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     with open_store(Path(folder) / "catalogue.sqlite") as store:
    ...         store.record("level-0-190").ohms_high
    190.0
    """
    path = path or catalogue_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("store.unwritable", path=str(path), reason=reason) from problem
    if path.exists():
        _refuse_unwritable(path)
    return _opened(file_engine(path, timeout=opening.timeout), str(path), opening)


def open_store_or_files(path: Path | None = None, opening: Opening = USUAL) -> OpenedStore:
    """Open the user's catalogue, or go on with what there is, and say so.

    A sound catalogue that only can't be written is opened for reading. In every other case
    the store holds the shipped parts, in memory, and saves nothing.
    """
    try:
        return OpenedStore(open_store(path, opening))
    except UserError as error:
        problem = error.messages[0]
    if problem.key == "store.unwritable":
        store = _opened_for_reading(path or catalogue_path(), opening, problem)
        if store is not None:
            return OpenedStore(store, (message("store.for_reading", problem=problem),))
    told = message("store.from_files", problem=problem)
    return OpenedStore(open_files(opening, closed_to=problem), (told,))


def open_to_read(path: Path | None = None, opening: Opening = USUAL) -> Store | None:
    """Open the user's catalogue for looking only: its file is neither made nor written.

    Parameters
    ----------
    path : Path, optional
        The file; `catalogue_path` when left out.
    opening : Opening
        How, where not as usual.

    Returns
    -------
    Store or None
        A store that saves nothing; None where there is no catalogue yet, or one that has to
        be brought up to date or cannot be read, which `open_store_or_files` does and says.

    Raises
    ------
    UserError
        ``settings.home``, when RETROFIT_HOME is not an absolute path.
    """
    path = path or catalogue_path()
    shipment = opening.shipment or generic_shipment()
    only = message("store.only_read", path=str(path))
    return _opened_for_reading(path, opening, only, shipment)


def open_files(opening: Opening = USUAL, *, closed_to: Message | None = None) -> Store:
    """Return a store in memory that holds the shipped parts.

    Parameters
    ----------
    opening : Opening
        How, where not as usual.
    closed_to : Message, optional
        Why nothing can be saved in it; when left out, things can, and are gone when it is closed.
    """
    return _opened(memory_engine(), ":memory:", opening, closed_to)


def open_server(url: str, opening: Opening = USUAL) -> Store:
    """Open a catalogue on a database server such as PostgreSQL; raises as `open_store` does."""
    engine = server_engine(url)
    return _opened(engine, engine.url.render_as_string(hide_password=True), opening)


def _opened(
    engine: Engine, place: str, opening: Opening, closed_to: Message | None = None
) -> Store:
    try:
        shipment = opening.shipment or generic_shipment()
        check_health(engine, place)
        if not is_up_to_date(engine, place, shipment):
            bring_up_to_date(engine, place, shipment, opening.clock())
    except BaseException:
        engine.dispose()
        raise
    return Store(engine, place, closed_to=closed_to, clock=opening.clock)


def _opened_for_reading(
    path: Path, opening: Opening, problem: Message, shipment: Shipment | None = None
) -> Store | None:
    """Return a store that only reads its file; None where that can't be done either.

    With `shipment`, only where it holds what the program ships as well.
    """
    if not path.is_file():
        return None
    engine = file_engine(path, read_only=True, timeout=opening.timeout)
    try:
        check_health(engine, str(path))
        usable = is_up_to_date(engine, str(path), shipment)
    except UserError:
        usable = False
    except BaseException:
        engine.dispose()
        raise
    if not usable:
        engine.dispose()
        return None
    return Store(engine, str(path), closed_to=problem, clock=opening.clock)


def _refuse_unwritable(path: Path) -> None:
    """Say at once what SQLite would only find when it makes its journal at the first save."""
    for place in (path, path.parent):
        if not os.access(place, os.W_OK):
            raise user_error("store.unwritable", path=str(path), reason="permission denied")
