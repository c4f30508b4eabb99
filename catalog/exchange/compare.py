"""What taking files over would change in a catalogue, part by part; nothing is changed yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from catalog.codec import Part, content_hash, encode
from catalog.errors import UserError
from catalog.exchange.files import Incoming
from catalog.exchange.flat import Scalar, flat
from catalog.exchange.problems import Place, Problems
from catalog.message import Message
from catalog.store.records import Change, Found, PartRecord, RevisionRecord

State = Literal["new", "same", "changed", "conflict"]
"""New: no part has the key. Same: nothing differs. Changed: what the program ships under the key
differs, and nothing of the user's is touched. Conflict: the user's own part or edit differs."""


class Catalogue(Protocol):
    """What is needed of the store."""

    def search(self, words: str = "", *, include_retired: bool, limit: int | None) -> Found:
        """Return the records of the parts that hold the words."""
        ...

    def part(self, key: str, revision: int | None = None) -> Part:
        """Return a part, whole."""
        ...

    def history(self, key: str) -> tuple[RevisionRecord, ...]:
        """Return the revisions of a part."""
        ...

    def save_all(self, changes: Sequence[Change], label: str) -> tuple[PartRecord, ...]:
        """Save many parts: all, or none."""
        ...


@dataclass(frozen=True)
class Difference:
    """One field that differs.

    Attributes
    ----------
    field : str
        Its path in the JSON form.
    mine, theirs : str or None
        What the catalogue and the file say; None where it is left out.
    """

    field: str
    mine: str | None
    theirs: str | None


@dataclass(frozen=True)
class Line:
    """One part that came in, beside what the catalogue has under its key.

    Attributes
    ----------
    theirs : Sender or Gauge
        As the file has it.
    place : Place
        Where the file has it.
    state : str
        "new", "same", "changed" or "conflict".
    mine : Sender or Gauge or None
        As the catalogue has it; None for a new part.
    revision : int or None
        Current revision of that.
    retired : bool
        Whether the catalogue's part is retired; taking theirs leaves it so.
    earlier : int or None
        Revision of the catalogue that said the same as theirs: the file holds an older state.
    differences : tuple of Difference
        Empty for new and same ones.
    """

    theirs: Part
    place: Place
    state: State
    mine: Part | None = None
    revision: int | None = None
    retired: bool = False
    earlier: int | None = None
    differences: tuple[Difference, ...] = ()

    @property
    def key(self) -> str:
        """Key of the part."""
        return self.theirs.key


@dataclass(frozen=True)
class Import:
    """All that taking files over would change.

    Attributes
    ----------
    lines : tuple of Line
        The parts, in the order of the files.
    keys : frozenset of str
        Every key that the catalogue has.
    problems : tuple of Message
        Nothing can be taken over while there are any.
    """

    lines: tuple[Line, ...]
    keys: frozenset[str]
    problems: tuple[Message, ...] = ()

    def of(self, state: State) -> tuple[Line, ...]:
        """Return the parts in one state."""
        return tuple(line for line in self.lines if line.state == state)


def compare(incoming: Incoming, catalogue: Catalogue) -> Import:
    """Return what taking over what came in would change.

    Parameters
    ----------
    incoming : Incoming
        What the files hold.
    catalogue : Catalogue
        The store; it is only read.

    Raises
    ------
    UserError
        When the catalogue itself cannot be read.
    """
    records = {
        record.key: record for record in catalogue.search(include_retired=True, limit=None).records
    }
    problems = Problems()
    lines = []
    for one in incoming.parts:
        record = records.get(one.part.key)
        try:
            lines.append(_line(one.part, one.place, record, catalogue))
        except UserError as error:
            problems.add_all(error.messages, one.place)
    told = (*incoming.problems, *problems.messages())
    return Import(tuple(lines), frozenset(records), told)


def _line(theirs: Part, place: Place, record: PartRecord | None, catalogue: Catalogue) -> Line:
    if record is None:
        return Line(theirs, place, "new")
    digest = content_hash(theirs)
    if record.content_hash == digest:
        return Line(theirs, place, "same", theirs, record.revision, record.retired)
    mine = catalogue.part(record.key, record.revision)
    alike = (one.number for one in catalogue.history(record.key) if one.content_hash == digest)
    return Line(
        theirs,
        place,
        "conflict" if record.own else "changed",
        mine,
        record.revision,
        record.retired,
        next(alike, None),
        differences(mine, theirs),
    )


def differences(mine: Part, theirs: Part) -> tuple[Difference, ...]:
    """Return the fields in which two parts differ.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from catalog.library import load_generic
    >>> part = load_generic().part("level-240-30")
    >>> [str(one.theirs) for one in differences(part, replace(part, stations=2))]
    ['2']
    """
    before, after = _fields(mine), _fields(theirs)
    paths = [*before, *(path for path in after if path not in before)]
    found = ((path, before.get(path), after.get(path)) for path in paths)
    return tuple(Difference(path, _text(old), _text(new)) for path, old, new in found if old != new)


def _text(value: Scalar | None) -> str | None:
    return None if value is None else str(value)


def _fields(part: Part) -> dict[str, Scalar]:
    form = flat(encode(part, Part))
    points = {
        f"{path}[{number}].{name}": value
        for path, rows in form.lists.items()
        for number, row in enumerate(rows)
        for name, value in row.items()
    }
    return {**form.cells, **points}
