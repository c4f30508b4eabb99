"""The catalogue that commands read: the user's own where there is one, else what is shipped.

The database library is loaded here and only where there is a catalogue to read: most commands
are typed before the user has any part of their own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

from catalog.codec import Part
from catalog.errors import UserError
from catalog.home import catalogue_path
from catalog.library import Library, load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from retrofit.cli.terminal import Terminal

SHIPPED_REVISION = 1
"""Revision of every shipped part where there is no catalogue that counts them."""


@dataclass(frozen=True)
class Catalogue:
    """The parts that a command can name.

    Attributes
    ----------
    library : Library
        The parts that are not retired, the shipped ones and the user's.
    own : frozenset of str
        Keys of the parts that the user made or edited.
    revisions : mapping of str to int
        Revision of each part in the user's catalogue; empty where there is none.
    """

    library: Library
    own: frozenset[str] = frozenset()
    revisions: Mapping[str, int] = field(default_factory=dict)


def read_catalogue(terminal: Terminal) -> Catalogue:
    """Return the parts of the user's catalogue, or the shipped ones where there is none.

    The file is only read, unless an upgrade of the program has to be taken in first.

    A part that cannot be read is told on the terminal and left out: the others serve.
    """
    if not catalogue_path().exists():
        return Catalogue(load_generic())
    with open_catalogue(terminal, writing=False) as store:
        records = store.search(limit=None).records
        parts = _readable(store, [record.key for record in records], terminal)
    return Catalogue(
        Library(
            tuple(part for part in parts if isinstance(part, Sender)),
            tuple(part for part in parts if isinstance(part, Gauge)),
        ),
        frozenset(record.key for record in records if record.own),
        {record.key: record.revision for record in records},
    )


def _readable(store: Any, keys: Sequence[str], terminal: Terminal) -> Sequence[Part]:
    try:
        return tuple(store.parts())
    except UserError as error:
        terminal.complain(error)
    found: list[Part] = []
    for key in keys:
        with suppress(UserError):
            found.append(store.part(key))
    return found


def open_catalogue(terminal: Terminal, *, writing: bool) -> Any:
    """Open the user's catalogue; the shipped parts, in memory, where there is none to read yet.

    What could not be done as usual is told on the terminal.
    """
    opening = import_module("catalog.store.open")
    if writing:
        return opening.open_store()
    if not catalogue_path().exists():
        return opening.open_files()
    store = opening.open_to_read()
    if store is not None:
        return store
    opened = opening.open_store_or_files()
    if opened.messages:
        terminal.complain(UserError(opened.messages))
    return opened.store
