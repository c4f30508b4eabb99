"""Edits of the catalogue that could not be saved when the window closed: kept as a file."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from catalog.codec import Part
from catalog.errors import UserError
from catalog.exchange.files import read_files, write_files
from catalog.home import left_for_later


def keep_for_later(parts: Sequence[Part]) -> None:
    """Write parts beside the catalogue, together with what was left there before."""
    path = left_for_later()
    there: dict[str, Part] = {}
    if path.exists():
        there = {one.part.key: one.part for one in read_files([path]).parts}
    there |= {part.key: part for part in parts}
    with suppress(UserError):  # a full disk: it was said when the save failed
        write_files(path, list(there.values()), force=True)
