"""The generic catalogue that comes with the program: loading, looking up, searching.

It reads the JSON files of ``catalog.generic`` and nothing else; the user's own parts live in
plans. A gauge in those files names the class it is scaled for by its key only: here it gets
that class's name and law.
"""

from __future__ import annotations

import difflib
import json
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from typing import Any, Literal

from catalog.codec import Part, decode_part
from catalog.direction import DIRECTIONS, rising_of
from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.parts.fields import QuantityName
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.numerals import shown

FORMAT = "retrofit-parts"
VERSION = 1

PartKind = Literal["sender", "gauge"]

_ONE_DASH = str.maketrans("‐‑‒–—−", "------")


@dataclass(frozen=True)
class Library:
    """Senders and gauges, looked up by key or by words.

    Attributes
    ----------
    senders : tuple of Sender
        In the order of the files, which is the order of a list on screen.
    gauges : tuple of Gauge
        Likewise.
    """

    senders: tuple[Sender, ...]
    gauges: tuple[Gauge, ...]

    @cached_property
    def _by_key(self) -> dict[str, Part]:
        parts: tuple[Part, ...] = (*self.senders, *self.gauges)
        return {part.key: part for part in parts}

    @cached_property
    def _searched(self) -> dict[str, str]:
        """Return the text of each part in which words are looked for, by key."""
        found = {}
        for key, part in self._by_key.items():
            text = folded(f"{part.key} {part.name} {part.notes}")
            found[key] = f"{text} {text.replace('ω', 'ohm')}"
        return found

    @cached_property
    def _rising(self) -> dict[str, bool | None]:
        return {key: rising_of(part) for key, part in self._by_key.items()}

    def part(self, key: str) -> Part:
        """Return the sender or gauge called `key`.

        Raises
        ------
        UserError
            When there is none; the message names the nearest keys.

        Examples
        --------
        >>> load_generic().part("level-240-33-mid-103").name
        'Level, 240 Ω empty to 33 Ω full, half at 103 Ω'
        """
        found = self._by_key.get(key)
        if found is not None:
            return found
        near = [known for known in self._by_key if key and key in known]
        near += difflib.get_close_matches(key, self._by_key, n=3, cutoff=0.6)
        if near:
            raise user_error(
                "library.no_part_near", part=shown(key), near=", ".join(dict.fromkeys(near[:3]))
            )
        raise user_error("library.no_part", part=shown(key))

    def search(
        self,
        words: str,
        *,
        quantity: QuantityName | None = None,
        kind: PartKind | None = None,
    ) -> tuple[Part, ...]:
        """Return the parts whose key, name and notes hold every one of the words.

        Parameters
        ----------
        words : str
            Words or parts of words, in any case and order; an empty text finds all. "rising" and
            "falling" ask which way a part runs, whatever its notes say of others.
        quantity : str, optional
            Only parts for this quantity.
        kind : "sender" or "gauge", optional
            Only parts of this kind.

        Returns
        -------
        tuple of Sender or Gauge
            Senders first, each kind in the order of the library; empty when none matches.

        Examples
        --------
        >>> [part.key for part in load_generic().search("DUAL station", quantity="level")]
        ['level-120-16-dual']
        """
        wanted = folded(words).split()
        among: tuple[Part, ...] = (*self.senders, *self.gauges)
        if kind is not None:
            among = self.senders if kind == "sender" else self.gauges
        return tuple(
            part
            for part in among
            if (quantity is None or part.quantity == quantity)
            and all(self._answers(part.key, word) for word in wanted)
        )

    def _answers(self, key: str, word: str) -> bool:
        if word in DIRECTIONS and self._rising[key] is not None:
            return self._rising[key] is DIRECTIONS[word]
        return word in self._searched[key]


def folded(text: str) -> str:
    """Return a text in the form in which it is compared: compatibility forms, no case, one dash.

    Examples
    --------
    >>> folded("240\N{NO-BREAK SPACE}\N{OHM SIGN}, 0–90") == folded("240 Ω, 0-90")
    True
    """
    plain = unicodedata.normalize("NFKC", text).casefold().translate(_ONE_DASH)
    return unicodedata.normalize("NFKC", plain)


@cache
def load_generic() -> Library:
    """Return the generic catalogue that comes with the program, read once.

    Raises
    ------
    UserError
        With one message for each problem, naming the file and the part: only a damaged or
        edited installation can have any.

    Examples
    --------
    >>> library = load_generic()
    >>> len(library.senders) >= 30, len(library.gauges) >= 25
    (True, True)
    """
    folder = resources.files("catalog.generic")
    files = sorted(file.name for file in folder.iterdir() if file.name.endswith(".json"))
    return read_library({name: folder.joinpath(name).read_text(encoding="utf-8") for name in files})


def read_library(files: Mapping[str, str]) -> Library:
    """Return the library that a set of parts files makes together.

    Parameters
    ----------
    files : mapping of str to str
        Text of each file by its name; the name starts the path in messages.

    Raises
    ------
    UserError
        With one message for each problem of any file.
    """
    problems: list[Message] = []
    raws: list[tuple[str, object]] = []
    for name, text in files.items():
        try:
            raws += _raw_parts(name, text)
        except UserError as error:
            problems += error.messages
    classes = _sender_classes(raw for _, raw in raws)
    parts: dict[str, Part] = {}
    for where, raw in raws:
        try:
            part = decode_part(_with_class(raw, where, classes), where)
            if part.key in parts:
                raise user_error("library.same_key", path=where, part=part.key)
            parts[part.key] = part
        except UserError as error:
            problems += error.messages
    if problems:
        raise UserError(problems)
    return Library(
        tuple(part for part in parts.values() if isinstance(part, Sender)),
        tuple(part for part in parts.values() if isinstance(part, Gauge)),
    )


def _raw_parts(name: str, text: str) -> list[tuple[str, object]]:
    """Return the parts of one file, undecoded, each with its place for messages."""
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise user_error("library.no_json", path=name, detail=str(error)) from error
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise user_error("library.foreign", path=name, format=FORMAT)
    version = document.get("version")
    if version is True or version != VERSION:
        raise user_error("library.version", path=name, found=shown(str(version)), known=VERSION)
    parts = document.get("parts")
    if not isinstance(parts, list):
        raise user_error("library.no_list", path=name)
    return [(f"{name}: {_label(raw, number)}", raw) for number, raw in enumerate(parts, 1)]


def _label(raw: object, number: int) -> str:
    key = raw.get("key") if isinstance(raw, dict) else None
    return key if isinstance(key, str) else f"part {number}"


def _sender_classes(raws: Any) -> dict[str, dict[str, object]]:
    """Return what a dial may be scaled for: name and law of each sender, by key."""
    return {
        raw["key"]: {field: raw[field] for field in ("key", "name", "law")}
        for raw in raws
        if isinstance(raw, dict)
        and raw.get("part") == "sender"
        and isinstance(raw.get("key"), str)
        and {"name", "law"} <= set(raw)
    }


def _with_class(raw: object, where: str, classes: Mapping[str, object]) -> object:
    """Return a gauge's dict form with the class it is scaled for written out."""
    if not isinstance(raw, dict):
        return raw
    named = raw.get("scaled_for")
    if not isinstance(named, dict) or set(named) != {"key"}:
        return raw
    if not isinstance(named["key"], str) or named["key"] not in classes:
        problem = message("library.no_class", part=shown(str(named["key"])))
        raise user_error("file.at", path=f"{where}.scaled_for", problem=problem)
    return {**raw, "scaled_for": classes[named["key"]]}
