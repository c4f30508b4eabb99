"""Parts as one JSON file: every field with its provenance, exact."""

from __future__ import annotations

import json
from collections.abc import Sequence

from catalog.codec import Part, decode_part, encode
from catalog.errors import UserError, user_error
from catalog.exchange.arrived import Arrived
from catalog.exchange.problems import Place, Problems
from catalog.json_file import parse_json
from catalog.quantities.numerals import shown

FORMAT = "retrofit-catalogue"
VERSION = 1

MOST_PARTS = 20_000
"""Most parts that one exchange holds."""

_MOST_BRACKETS = 2_000_000


def json_text(parts: Sequence[Part]) -> str:
    """Return the JSON file of some parts.

    Examples
    --------
    >>> print(json_text([]), end="")
    {
     "format": "retrofit-catalogue",
     "version": 1,
     "parts": []
    }
    """
    document = {
        "format": FORMAT,
        "version": VERSION,
        "parts": [encode(part, Part) for part in parts],
    }
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def read_json_parts(text: str, path: str, problems: Problems) -> tuple[Arrived, ...]:
    """Return the parts of a JSON file that can be read.

    Parameters
    ----------
    text : str
        The whole file.
    path : str
        Where it lies, for messages.
    problems : Problems
        Takes what is wrong.
    """
    try:
        raws = _raw_parts(text, path)
    except UserError as error:
        problems.add_all(error.messages)
        return ()
    arrived = []
    for number, raw in enumerate(raws):
        key = raw.get("key") if isinstance(raw, dict) else None
        named = f" ({shown(key)})" if isinstance(key, str) else ""
        place = Place(path, item=f"parts[{number}]{named}")
        try:
            arrived.append(Arrived(decode_part(raw, f"{path}: {place.item}"), place))
        except UserError as error:
            problems.add_all(error.messages)
    return tuple(arrived)


def _raw_parts(text: str, path: str) -> list[object]:
    if text.count("{") + text.count("[") > _MOST_BRACKETS:
        raise user_error("exchange.many_parts", path=path, limit=MOST_PARTS)
    document = parse_json(text, path)
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise user_error("exchange.foreign", path=path, format=FORMAT)
    version = document.get("version")
    if type(version) is int and version > VERSION:
        raise user_error("exchange.newer", path=path, found=version, known=VERSION)
    if type(version) is not int or version != VERSION:
        raise user_error("exchange.version", path=path, found=shown(str(version)), known=VERSION)
    extra = sorted(set(document) - {"format", "version", "parts"})
    if extra:
        raise user_error("file.extra", path=path, names=shown(", ".join(extra)))
    parts = document.get("parts")
    if not isinstance(parts, list):
        raise user_error("exchange.no_list", path=path)
    if len(parts) > MOST_PARTS:
        raise user_error("exchange.many_parts", path=path, limit=MOST_PARTS)
    return parts
