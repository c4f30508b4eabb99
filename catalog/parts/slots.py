"""Every field of a part, one by one, as a form shows it, and the part with one of them changed.

They are read off the dataclasses, so that a field that a part gets has its place in the form at
once. Lists of points have an editor of their own and are no slots.
"""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, field, fields, is_dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, Part
from catalog.errors import BugError
from catalog.parts.fields import (
    ANY_DIFFERENCE,
    ANY_READING,
    QUANTITY_KIND,
    SIGNAL_KINDS,
    QuantityName,
)
from catalog.provenance import Basis, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference, unit_named

Holds = Literal[
    "figure", "amount", "tolerance", "basis", "word", "words", "text", "number", "count", "record"
]
Path = tuple[str, ...]

KIND = "kind"
"""Last step of the path of the slot that says which law or movement it is."""

_TAGS: dict[type, str] = {**LAW_TAGS, **MOVEMENT_TAGS}
_SKIPPED = ("key", "quantity", "scaled_for")


@dataclass(frozen=True)
class Slot:
    """One field of a part.

    Attributes
    ----------
    path : tuple of str
        Names of the fields that lead to it.
    holds : str
        What it is. A record is one that is not there yet and can be begun.
    value : object
        What stands in it.
    kind : Kind or None
        What an amount or a figure measures; a tolerance's own kind beside per cent.
    words : tuple
        What a word or words may be.
    optional : bool
        Whether it may be left empty.
    """

    path: Path
    holds: Holds
    value: Any
    kind: Kind | None = None
    words: tuple[str | int, ...] = ()
    optional: bool = True

    @property
    def name(self) -> str:
        """Path as one text."""
        return ".".join(self.path)


@dataclass(frozen=True)
class Begun:
    """A record that is not complete yet: which it is, and what is known of it.

    Attributes
    ----------
    made : type
        Its dataclass.
    values : mapping of tuple of str to object
        What has been given so far, by the path within it.
    signal : Kind
        What an output of it is in, where none is given yet: a transmitter's volts or amperes.
    """

    made: type
    values: Mapping[Path, Any] = field(default_factory=dict)
    signal: Kind = Kind.VOLTAGE

    def slots(self, path: Path, quantity: QuantityName) -> tuple[Slot, ...]:
        """Return the slots that the record cannot do without; `path` is where it will stand."""
        found: list[Slot] = []
        for name, hint in _needed_fields(self.made):
            for slot in _leaf(hint, (name,), None, quantity, optional=False):
                if slot.holds != "basis":
                    value = self.values.get(slot.path)
                    kind = self.signal if slot.path[-1] == "gives" else slot.kind
                    found.append(replace(slot, path=(*path, *slot.path), value=value, kind=kind))
        return tuple(found)

    def with_value(self, path: Path, value: Any) -> Begun:
        """Return the record with one more of its fields."""
        return replace(self, values={**self.values, path: value})

    def record(self) -> Any:
        """Return the record, None while it lacks something.

        Raises
        ------
        UserError
            With what is wrong with it.
        """
        return _made(self.made, (), self.values)


def slots_of(part: Part) -> tuple[Slot, ...]:
    """Return the slots of a part, in the order of its fields.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> found = {slot.name: slot for slot in slots_of(load_generic().part("level-0-190"))}
    >>> found["law.tolerance"].holds, found["earth_return"].words
    ('tolerance', ('body', 'insulated', 'either', 'unknown'))
    """
    return tuple(_walk(part, (), part.quantity))


def with_value(part: Part, path: Path, value: Any) -> Part:
    """Return a part with another value at a path.

    Raises
    ------
    UserError
        With what is wrong with the part then.
    """
    return cast(Part, _put(part, path, value))


def value_of(part: Part, path: Path) -> Any:
    """Return what stands at a path; None where a step of it is not there."""
    found: Any = part
    for step in path:
        found = getattr(found, step, None)
    return found


def of_kind(path: Path, tag: str) -> type:
    """Return the dataclass of a law or movement by its name in files."""
    tags = LAW_TAGS if path[0] == "law" else MOVEMENT_TAGS
    return next(made for made, name in tags.items() if name == tag)


def record_at(part: Part, path: Path) -> type:
    """Return the dataclass of what may stand at a path."""
    made: Any = type(part)
    for step in path:
        made = _one(_hints(made)[step])[0]
    return cast(type, made)


def _put(record: Any, path: Path, value: Any) -> Any:
    step, *rest = path
    if rest:
        value = _put(getattr(record, step), tuple(rest), value)
    changes: Any = {step: value}
    return replace(record, **changes)


def _needed_fields(made: type) -> Iterator[tuple[str, Any]]:
    hints = _hints(made)
    for one in fields(made):
        if _needed(one) and get_origin(_one(hints[one.name])[0]) is not tuple:
            yield one.name, _one(hints[one.name])[0]


def _made(made: type, path: Path, values: Mapping[Path, Any]) -> Any:
    found: dict[str, Any] = {}
    for name, hint in _needed_fields(made):
        inner = (*path, name)
        nested = is_dataclass(hint) and hint not in (Tolerance, Basis)
        value = _made(cast(type, hint), inner, values) if nested else values.get(inner)
        if value is None:
            return None
        found[name] = value
    return made(**found)


@cache
def _hints(made: Any) -> dict[str, Any]:
    return get_type_hints(made, include_extras=True)


def _needed(of: Field[Any]) -> bool:
    return of.default is MISSING and of.default_factory is MISSING


def _one(hint: Any) -> list[Any]:
    """Return the members of a union, without None."""
    if get_origin(hint) in (Union, types.UnionType):
        return [member for member in get_args(hint) if member is not types.NoneType]
    return [hint]


def _walk(record: Any, path: Path, quantity: QuantityName) -> Iterator[Slot]:
    made: Any = type(record)
    hints = _hints(made)
    for one in fields(record):
        if one.name not in _SKIPPED:
            yield from _field(hints[one.name], record, one, (*path, one.name), quantity)


def _field(
    hint: Any, record: Any, of: Field[Any], path: Path, quantity: QuantityName
) -> Iterator[Slot]:
    members, value = _one(hint), getattr(record, of.name)
    if len(members) > 1:
        words = tuple(_TAGS[member] for member in members)
        yield Slot((*path, KIND), "word", _TAGS[type(value)], words=words, optional=False)
        yield from _walk(value, path, quantity)
    elif get_origin(members[0]) is tuple and is_dataclass(get_args(members[0])[0]):
        return
    elif is_dataclass(members[0]) and members[0] not in (Tolerance, Basis):
        if value is None:
            yield Slot(path, "record", None)
        else:
            yield from _walk(value, path, quantity)
    else:
        optional = not _needed(of)
        yield from _leaf(members[0], path, value, quantity, optional=optional)


def _leaf(
    hint: Any, path: Path, value: Any, quantity: QuantityName, *, optional: bool
) -> Iterator[Slot]:
    if get_origin(hint) is Annotated:
        base, what = get_args(hint)
        kind = _kind(what, quantity, value)
        yield Slot(path, "figure" if base is Figure else "amount", value, kind, (), optional)
    elif get_origin(hint) is tuple:
        words = get_args(get_args(hint)[0])
        yield Slot(path, "words", value, None, words, optional)
    elif get_origin(hint) is Literal:
        yield Slot(path, "word", value, None, get_args(hint), optional)
    elif hint is Tolerance:
        yield Slot(path, "tolerance", value, difference(QUANTITY_KIND[quantity]), (), optional)
    elif hint is Basis:
        yield Slot(path, "basis", value, None, (), optional)
    elif is_dataclass(hint):
        for name, inner in _needed_fields(cast(type, hint)):
            there = getattr(value, name, None)
            yield from _leaf(inner, (*path, name), there, quantity, optional=optional)
    else:
        plain: dict[Any, Holds] = {str: "text", float: "number", int: "count"}
        if hint not in plain:
            raise BugError(f"{'.'.join(path)}: no slot for {hint}")
        yield Slot(path, plain[hint], value, None, (), optional)


def _kind(what: Any, quantity: QuantityName, value: Any) -> Kind:
    if isinstance(what, Kind):
        return what
    if what == ANY_READING:
        return QUANTITY_KIND[quantity]
    if what == ANY_DIFFERENCE:
        return difference(QUANTITY_KIND[quantity])
    return _signal(value)


def _signal(value: Any) -> Kind:
    """Return whether an amount is in ohms, volts or amperes; ohms where there is none yet."""
    if isinstance(value, Amount):
        for kind in SIGNAL_KINDS:
            if unit_named(kind, value.unit) is not None:
                return kind
    return Kind.RESISTANCE
