"""The one dict form of parts: plans, exchange files and the store all use it.

Quantities are strings with their unit ("4.1 bar"), a basis is its kind and source in one
string ("published: IEC 60751"), defaults are left out. Reading gathers every problem, each
with the path of the field, and raises them together.

The modules that define the dataclasses must not postpone their annotations: cattrs would then
see the bare type and miss the kind that stands beside it.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import is_dataclass
from functools import cache, lru_cache
from typing import Annotated, Any, Literal, TypeVar, cast, get_args, get_origin

import cattrs
from cattrs.errors import IterableValidationNote
from cattrs.gen import make_dict_structure_fn
from cattrs.strategies import configure_tagged_union

from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.parts.fields import (
    ANY_DIFFERENCE,
    ANY_READING,
    DIFFERENCE_KINDS,
    QUANTITY_KIND,
    SIGNAL_KINDS,
)
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    Movement,
    RatioMovement,
    UnknownMovement,
    VoltageInput,
)
from catalog.parts.laws import (
    ActiveLaw,
    BetaLaw,
    PlatinumLaw,
    PulsedLaw,
    SenderLaw,
    SteinhartHartLaw,
    SwitchLaw,
    TableLaw,
    TransmitterLaw,
    UnknownLaw,
)
from catalog.parts.sender import Sender
from catalog.provenance import UNSTATED, Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, unit_named
from catalog.quantities.numerals import read, shown
from catalog.quantities.parse import parse

Part = Sender | Gauge
T = TypeVar("T")

_PROBLEMS = (cattrs.BaseValidationError, UserError, ValueError, TypeError, KeyError)
Hook = Callable[[Any, Any], Any]

LAW_TAGS: dict[type, str] = {
    TableLaw: "table",
    BetaLaw: "beta thermistor",
    SteinhartHartLaw: "steinhart-hart thermistor",
    PlatinumLaw: "platinum",
    TransmitterLaw: "transmitter",
    SwitchLaw: "switch",
    PulsedLaw: "pulsed",
    ActiveLaw: "active",
    UnknownLaw: "unknown",
}
MOVEMENT_TAGS: dict[type, str] = {
    RatioMovement: "ratio",
    HeaterMovement: "heater",
    CoilMovement: "coil",
    ElectronicMovement: "electronic",
    VoltageInput: "voltage input",
    LoopInput: "loop input",
    UnknownMovement: "unknown",
}
PART_TAGS: dict[type, str] = {Sender: "sender", Gauge: "gauge"}

TOLERANCE_KINDS = (Kind.FRACTION, *DIFFERENCE_KINDS, *SIGNAL_KINDS)
"""What the half width of a tolerance may measure."""


def _quoted(raw: object) -> str:
    """Return a value from a file, bounded, as a sentence may quote it."""
    return shown(raw if isinstance(raw, str) else repr(raw))


def _parse_any(text: str, kinds: tuple[Kind, ...], key: str) -> Amount:
    """Parse text whose unit tells its kind among `kinds`."""
    unit = read(text, rkm=False, decimal=".").unit
    for kind in kinds:
        if unit and unit_named(kind, unit) is not None:
            return parse(text, kind, decimal=".")
    raise user_error(key, text=_quoted(text))


def _amount(text: object, what: Kind | str) -> Amount:
    if not isinstance(text, str):
        raise user_error("file.quantity_text", text=_quoted(text))
    return _parsed(text, what)


# A catalogue holds the same few texts, such as "100 %", again and again.
@lru_cache(maxsize=4096)
def _parsed(text: str, what: Kind | str) -> Amount:
    if isinstance(what, Kind):
        return parse(text, what, decimal=".")
    if what == ANY_READING:
        return _parse_any(text, tuple(QUANTITY_KIND.values()), "file.no_reading_unit")
    if what == ANY_DIFFERENCE:
        return _parse_any(text, DIFFERENCE_KINDS, "file.no_difference_unit")
    return _parse_any(text, SIGNAL_KINDS, "file.no_signal_unit")


def _tolerance(text: object) -> Tolerance:
    if not isinstance(text, str):
        raise user_error("file.quantity_text", text=_quoted(text))
    return Tolerance(_parse_any(text, TOLERANCE_KINDS, "file.no_tolerance_unit"))


def basis_text(basis: Basis) -> str:
    """Write a basis as one string: ``"published: IEC 60751"``."""
    return f"{basis.kind.value}: {basis.source}" if basis.source else basis.kind.value


def _basis(text: object) -> Basis:
    if not isinstance(text, str):
        raise user_error("file.basis_text", text=_quoted(text))
    kind, _, source = text.partition(":")
    try:
        return Basis(BasisKind(kind.strip()), source.strip())
    except ValueError:
        known = ", ".join(kind.value for kind in BasisKind)
        raise user_error("file.basis_unknown", text=_quoted(text), known=known) from None


def _figure(raw: object, kind: Kind) -> Figure:
    if isinstance(raw, str):
        return Figure(_amount(raw, kind))
    if not isinstance(raw, dict) or not set(raw) <= {"is", "tolerance", "basis"} or "is" not in raw:
        raise user_error("file.figure_form", text=_quoted(raw))
    tolerance = _tolerance(raw["tolerance"]) if "tolerance" in raw else None
    basis = _basis(raw["basis"]) if "basis" in raw else UNSTATED
    return Figure(_amount(raw["is"], kind), tolerance, basis)


def _figure_form(figure: Figure) -> str | dict[str, str]:
    if figure.tolerance is None and figure.basis == UNSTATED:
        return str(figure.amount)
    form = {"is": str(figure.amount)}
    if figure.tolerance is not None:
        form["tolerance"] = str(figure.tolerance.half_width)
    if figure.basis != UNSTATED:
        form["basis"] = basis_text(figure.basis)
    return form


def _text(raw: object, _: object) -> str:
    if not isinstance(raw, str):
        raise user_error("file.text_wanted", text=_quoted(raw))
    return raw


def _number(raw: object, _: object) -> float:
    if not isinstance(raw, bool) and isinstance(raw, int | float):
        with suppress(OverflowError):  # a whole number beyond the largest float
            if math.isfinite(raw):
                return float(raw)
    raise user_error("file.number_wanted", text=_quoted(raw))


def _whole(raw: object, _: object) -> int:
    if type(raw) is not int:
        raise user_error("file.whole_wanted", text=_quoted(raw))
    return raw


def _annotated(base: type) -> Callable[[Any], bool]:
    return lambda t: get_origin(t) is Annotated and get_args(t)[0] is base


def _generic(origin: object) -> Callable[[Any], bool]:
    return lambda t: cast(object, get_origin(t)) is origin


def _choice(as_type: Any) -> Hook:
    """Return the reader of a field that takes one of a few values."""
    known = get_args(as_type)

    def structure(raw: object, _: object) -> Any:
        for value in known:
            if type(raw) is type(value) and raw == value:
                return value
        raise user_error("file.not_one_of", text=_quoted(raw), known=", ".join(map(str, known)))

    return structure


def _many(as_type: Any, made: cattrs.Converter) -> Hook:
    """Return the reader of a list; every item's problems are gathered."""
    item = get_args(as_type)[0]

    def structure(raw: object, _: object) -> Any:
        if not isinstance(raw, list):
            raise user_error("file.list_wanted", text=_quoted(raw))
        out, errors = [], []
        for index, one in enumerate(raw):
            try:
                out.append(made.structure(one, item))
            except _PROBLEMS as error:
                error.add_note(cattrs.IterableValidationNote("", index, item))
                errors.append(error)
        if errors:
            raise cattrs.IterableValidationError("", errors, as_type)
        return tuple(out)

    return structure


def _record(as_type: Any, made: cattrs.Converter) -> Hook:
    """Return the reader of a dataclass, which refuses anything but an object."""
    inner = make_dict_structure_fn(as_type, made)

    def structure(raw: object, t: Any) -> Any:
        if not isinstance(raw, dict):
            raise user_error("file.object_wanted", text=_quoted(raw))
        return inner(raw, t)

    return structure


def _at_field(error: Exception, name: str) -> cattrs.ClassValidationError:
    error.add_note(cattrs.AttributeValidationNote("", name, str))
    return cattrs.ClassValidationError("", [error], dict)


def tagged(converter: cattrs.Converter, union: Any, tags: dict[type, str], name: str) -> None:
    """Let the field `name` of a dict tell which member of `union` it is."""
    configure_tagged_union(union, converter, tag_name=name, tag_generator=lambda t: tags[t])
    members = {tag: member for member, tag in tags.items()}

    def structure(raw: object, _: object) -> Any:
        if not isinstance(raw, dict):
            raise user_error("file.object_wanted", text=_quoted(raw))
        tag = raw.get(name)
        if not isinstance(tag, str) or tag not in members:
            known = ", ".join(members)
            missing = message("file.missing_choice", known=known)
            wrong = message("file.not_one_of", text=_quoted(tag), known=known)
            raise _at_field(UserError(wrong if name in raw else missing), name)
        rest = {field: value for field, value in raw.items() if field != name}
        return converter.structure(rest, members[tag])

    converter.register_structure_hook(union, structure)


@cache
def converter() -> cattrs.Converter:
    """Return the converter between dataclasses and their dict form, made once."""
    made = cattrs.Converter(
        detailed_validation=True,
        forbid_extra_keys=True,
        omit_if_default=True,
        unstruct_collection_overrides={tuple: list},
    )
    _register_readers(made)
    made.register_unstructure_hook(Amount, str)
    made.register_unstructure_hook(Figure, _figure_form)
    made.register_unstructure_hook(Tolerance, lambda t: str(t.half_width))
    made.register_unstructure_hook(Basis, basis_text)
    tagged(made, SenderLaw, LAW_TAGS, "kind")
    tagged(made, Movement, MOVEMENT_TAGS, "kind")
    tagged(made, Part, PART_TAGS, "part")
    return made


def _register_readers(made: cattrs.Converter) -> None:
    made.register_structure_hook_factory(is_dataclass, lambda t: _record(t, made))
    made.register_structure_hook_factory(_generic(tuple), lambda t: _many(t, made))
    made.register_structure_hook_factory(_generic(Literal), _choice)
    made.register_structure_hook(str, _text)
    made.register_structure_hook(float, _number)
    made.register_structure_hook(int, _whole)
    made.register_structure_hook_factory(
        _annotated(Amount), lambda t: lambda raw, _: _amount(raw, t.__metadata__[0])
    )
    made.register_structure_hook_factory(
        _annotated(Figure), lambda t: lambda raw, _: _figure(raw, t.__metadata__[0])
    )
    made.register_structure_hook(Tolerance, lambda raw, _: _tolerance(raw))
    made.register_structure_hook(Basis, lambda raw, _: _basis(raw))


def encode(value: object, as_type: Any = None) -> Any:
    """Return the dict form of a part or of any dataclass that the converter knows."""
    return converter().unstructure(value, unstructure_as=as_type)


def decode(raw: object, as_type: type[T], where: str) -> T:
    """Return the dataclass of a dict form.

    Parameters
    ----------
    raw : object
        What a JSON reader gave.
    as_type : type
        The dataclass wanted.
    where : str
        Name of the file or part, to start the path in messages.

    Raises
    ------
    UserError
        With one message for each problem, each naming the field.
    """
    try:
        return converter().structure(raw, as_type)
    except _PROBLEMS as error:
        raise UserError(tuple(_problems(error, where))) from error


def decode_part(raw: object, where: str) -> Part:
    """Return the sender or gauge of a dict form; see `decode`."""
    part: Part = decode(raw, cast(Any, Part), where)
    return part


def _problems(error: BaseException, path: str) -> Iterator[Message]:
    if isinstance(error, cattrs.IterableValidationError | cattrs.ClassValidationError):
        noted, plain = error.group_exceptions()
        for inner, note in noted:
            indexed = isinstance(note, IterableValidationNote)
            step = f"[{note.index}]" if indexed else f".{getattr(note, 'name', note)}"
            yield from _problems(inner, path + step)
        for inner in plain:
            yield from _problems(inner, path)
    elif isinstance(error, UserError):
        for problem in error.messages:
            yield message("file.at", path=path, problem=problem)
    elif isinstance(error, cattrs.ForbiddenExtraKeysError):
        names = ", ".join(sorted(error.extra_fields))
        yield message("file.extra", path=path, names=names)
    elif isinstance(error, KeyError):
        yield message("file.missing_field", path=path)
    else:
        yield message("file.wrong_form", path=path, detail=str(error))


def content_hash(part: Part) -> str:
    """Return a short hash of all that a part says, the same on every machine."""
    text = json.dumps(encode(part, Part), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]
