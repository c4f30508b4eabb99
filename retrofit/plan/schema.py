"""JSON Schema of the plan file, made from the type hints of the dataclasses themselves.

Draft 2020-12. It says what a plan may look like; what a plan may mean (a range that runs
upwards, a table that turns nowhere) is told by reading it.
"""

from __future__ import annotations

import re
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import partial
from inspect import cleandoc
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS
from catalog.errors import BugError
from catalog.parts.fields import (
    ANY_DIFFERENCE,
    ANY_READING,
    ANY_SIGNAL,
    DIFFERENCE_KINDS,
    QUANTITY_KIND,
    SIGNAL_KINDS,
)
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, usual_symbols
from catalog.quantities.numerals import LONGEST
from retrofit.plan.document import Plan
from retrofit.plan.file import FORMAT
from retrofit.plan.migrate import MIGRATIONS

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_NUMBER = r"^[^0-9]{0,3}[0-9]"
_WITH_UNIT = r"^[^0-9]{0,3}[0-9].*[^0-9\s.,]\s*$"
_PLAIN = {str: "string", float: "number", int: "integer", NoneType: "null"}
_TAGS = {**LAW_TAGS, **MOVEMENT_TAGS}
_OPEN_KINDS: dict[str, tuple[Kind, ...]] = {
    ANY_READING: tuple(QUANTITY_KIND.values()),
    ANY_DIFFERENCE: DIFFERENCE_KINDS,
    ANY_SIGNAL: SIGNAL_KINDS,
}

Schema = dict[str, Any]


def schema() -> Schema:
    """Return the JSON Schema of a plan file of the present version.

    Examples
    --------
    >>> schema()["properties"]["format"]
    {'const': 'retrofit-plan'}
    """
    definitions: dict[str, Schema] = {}
    plan = _of(Plan, definitions)
    return {
        "$schema": DIALECT,
        "title": "Retrofit plan",
        "description": "A plan file: one quantity on one engine, its pairings side by side.",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": MIGRATIONS.version},
            "plan": plan,
        },
        "required": ["format", "version", "plan"],
        "additionalProperties": False,
        "$defs": dict(sorted(definitions.items())),
    }


def _of(hint: Any, definitions: dict[str, Schema]) -> Schema:
    """Return the schema of a type hint; records go to `definitions`."""
    if hint in _PLAIN:
        return {"type": _PLAIN[hint]}
    if hint is Tolerance:
        return _tolerance()
    if hint is Basis:
        return _basis()
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _figure(arguments[1]) if arguments[0] is Figure else _quantity(arguments[1])
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is tuple:
        return {"type": "array", "items": _of(arguments[0], definitions)}
    if origin in (Union, UnionType):
        return {"anyOf": [_of(one, definitions) for one in arguments]}
    if isinstance(hint, type) and is_dataclass(hint) and hint is not Amount:
        return _record(hint, definitions)
    raise BugError(f"no schema for {hint!r}")


def _record(record: type, definitions: dict[str, Schema]) -> Schema:
    """Define a record once and return the reference to it."""
    name = record.__name__
    if name not in definitions:
        definitions[name] = {}  # a record that holds itself would find its own reference
        hints = get_type_hints(record, include_extras=True)
        about, told = _docstring(record)
        properties: dict[str, Schema] = {}
        required = []
        if record in _TAGS:
            properties["kind"] = {"const": _TAGS[record]}
            required.append("kind")
        for field in fields(record):
            properties[field.name] = _described(
                _of(hints[field.name], definitions), told.get(field.name)
            )
            if _is_required(field):
                required.append(field.name)
        definitions[name] = {
            **({"description": about} if about else {}),
            "type": "object",
            "properties": properties,
            "required": required,
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{name}"}


def _is_required(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _described(schema: Schema, text: str | None) -> Schema:
    if text is None:
        return schema
    if "description" in schema:
        return {**schema, "description": f"{text} {schema['description']}"}
    return {**schema, "description": text}


def _docstring(record: type) -> tuple[str, dict[str, str]]:
    """Return what a record is, and what each of its attributes is, from its docstring."""
    # Python 3.13 takes the indentation out of docstrings, older ones do not.
    lines = cleandoc(record.__doc__ or "").splitlines()
    told: dict[str, str] = {}
    names: list[str] = []
    for line in lines[1:]:
        text = line.strip()
        named = re.fullmatch(r"([a-z_]+(?:, [a-z_]+)*) : .*", line)
        if named is not None:
            names = named[1].split(", ")
        elif not text or set(text) == {"-"}:
            names = []
        for name in names if named is None else []:
            told[name] = f"{told.get(name, '')} {text}".strip()
    return (lines[0].strip() if lines else ""), told


def _quantity(what: Kind | str) -> Schema:
    """Return the schema of a number with its unit."""
    described = partial(_text, maxLength=LONGEST)
    if isinstance(what, Kind):
        return described(_NUMBER, f"Number and unit: {usual_symbols(what)}.")
    kinds = _OPEN_KINDS[what]
    units = "; ".join(usual_symbols(kind) for kind in kinds)
    return described(_WITH_UNIT, f"Number and unit, which must be there: {units}.")


def _text(pattern: str, description: str, **more: Any) -> Schema:
    return {"type": "string", "pattern": pattern, "description": description, **more}


def _figure(kind: Kind) -> Schema:
    amount = _quantity(kind)
    whole = {
        "type": "object",
        "properties": {"is": amount, "tolerance": _tolerance(), "basis": _basis()},
        "required": ["is"],
        "additionalProperties": False,
    }
    return {"anyOf": [amount, whole]}


def _tolerance() -> Schema:
    return _text(
        _WITH_UNIT, "Half width, in % or in a unit of what it belongs to.", maxLength=LONGEST
    )


def _basis() -> Schema:
    kinds = "|".join(kind.value for kind in BasisKind)
    return _text(
        rf"^\s*({kinds})\s*(:.*)?$", "Where it comes from, then the source: 'published: IEC 60751'."
    )
