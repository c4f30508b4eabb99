"""Exchange files read and written; reading changes nothing but says what is there.

Whatever is written has been read back before and says the same, to the last field. So nothing
that a form cannot hold is ever lost on the way: it is refused, with the name of the part.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from catalog.atomic import save_text
from catalog.codec import Part, content_hash, encode
from catalog.errors import UserError, user_error
from catalog.exchange.arrived import Arrived
from catalog.exchange.csv_form import GAUGES, POINTS, SENDERS, csv_texts
from catalog.exchange.csv_read import read_csv_parts
from catalog.exchange.flat import flat
from catalog.exchange.json_form import MOST_PARTS, json_text, read_json_parts
from catalog.exchange.problems import Problems
from catalog.exchange.sheet import Sheet, read_sheet
from catalog.exchange.text_file import read_any_text
from catalog.json_file import LARGEST
from catalog.message import Message, message
from catalog.quantities.numerals import DecimalMark, shown

Form = Literal["csv", "json"]

_UNSTORABLE = re.compile("[\0\ud800-\udfff]")
_TABLES = frozenset({".csv", ".tsv", ".txt"})
_LONGEST_KEY = 200
_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True)
class Incoming:
    """What files hold.

    Attributes
    ----------
    parts : tuple of Arrived
        Parts that can be read, in the order of the files.
    problems : tuple of Message
        All that is wrong, with file, row and column; bounded. Nothing may be taken over while
        there are any.
    """

    parts: tuple[Arrived, ...]
    problems: tuple[Message, ...] = ()


def read_files(paths: Sequence[Path], decimal: DecimalMark = ".") -> Incoming:
    """Read exchange files: JSON, CSV, or folders that hold ``senders.csv`` and its companions.

    Parameters
    ----------
    paths : sequence of Path
        The files and folders; CSV files are told apart by their headings, not by their names.
    decimal : "." or ","
        The reader's decimal mark, where a file with semicolons or tabs does not tell.

    Returns
    -------
    Incoming
        Parts and problems; never raises for what is in the files.
    """
    problems = Problems()
    texts: dict[str, str] = {}
    for path in _files(paths, problems):
        try:
            texts[str(path)] = read_any_text(path)
        except UserError as error:
            problems.add_all(error.messages)
    parts = read_texts(texts, decimal, problems)
    return Incoming(parts, problems.messages())


def read_texts(
    texts: Mapping[str, str], decimal: DecimalMark, problems: Problems
) -> tuple[Arrived, ...]:
    """Return the parts of files whose texts are at hand, by their paths; see `read_files`."""
    sheets: list[Sheet] = []
    arrived: list[Arrived] = []
    refused = False
    for path, text in texts.items():
        if _is_json(path, text):
            arrived += read_json_parts(text, path, problems)
        else:
            sheet = read_sheet(text, path, decimal, problems)
            if sheet is None:
                refused = True
            else:
                sheets.append(sheet)
    # Without the file of its parts, or with half of its points, a part is not what was written.
    if refused:
        sheets = []
    arrived += read_csv_parts(sheets, problems)
    return _sound(arrived, problems)


def _is_json(path: str, text: str) -> bool:
    suffix = Path(path).suffix.lower()
    return suffix == ".json" or (suffix not in _TABLES and text.lstrip()[:1] in ("{", "["))


def _files(paths: Sequence[Path], problems: Problems) -> list[Path]:
    """Return the files that are meant, each once; a folder stands for its three CSV files."""
    found: list[Path] = []
    for path in paths:
        if path.is_dir():
            inside = [path / name for name in (SENDERS, GAUGES, POINTS)]
            inside = [file for file in inside if file.exists()]
            if not inside:
                names = ", ".join((SENDERS, GAUGES, POINTS))
                problems.add(message("exchange.empty_folder", path=str(path), names=names))
            found += inside
        else:
            found.append(path)
    return list(dict.fromkeys(found))


def _sound(arrived: Sequence[Arrived], problems: Problems) -> tuple[Arrived, ...]:
    """Return the parts that can be kept: no key twice, nothing that no file can hold."""
    if len(arrived) > MOST_PARTS:
        problems.add(message("exchange.many", limit=MOST_PARTS))
        return ()
    kept: dict[str, Arrived] = {}
    for one in arrived:
        key = one.part.key
        earlier = kept.get(key)
        if earlier is not None:
            where = earlier.place
            said = message(
                "exchange.twice_in_all",
                part=shown(key),
                path=where.file,
                item=where.item or str(where.row),
            )
            problems.add(said, one.place)
        elif not key.strip() or len(key) > _LONGEST_KEY:
            problems.add(message("store.no_key", part=shown(key)), one.place)
        elif _is_unstorable(one.part):
            problems.add(message("store.bad_text", part=shown(key)), one.place)
        else:
            kept[key] = one
    return tuple(kept.values())


def _is_unstorable(part: Part) -> bool:
    form = flat(encode(part, Part))
    rows = [form.cells, *(point for points in form.lists.values() for point in points)]
    return any(_UNSTORABLE.search(str(value)) for row in rows for value in row.values())


# --- writing ------------------------------------------------------------------------------------


def export_texts(parts: Sequence[Part], form: Form, decimal: DecimalMark = ".") -> dict[str, str]:
    """Return the text of each file of an export by its name, proven by reading it back.

    Parameters
    ----------
    parts : sequence of Sender or Gauge
        What to write, no key twice.
    form : "csv" or "json"
        One JSON text (called ``"json"``), or the CSV files.
    decimal : "." or ","
        Decimal mark of CSV files.

    Raises
    ------
    UserError
        ``exchange.too_many_out`` beyond what a reader takes; ``exchange.not_held`` for each part
        that the form cannot hold whole.
    """
    texts = {"json": json_text(parts)} if form == "json" else csv_texts(parts, decimal)
    largest = max((len(text.encode("utf-8", "replace")) for text in texts.values()), default=0)
    if len(parts) > MOST_PARTS or largest > LARGEST:
        raise user_error("exchange.too_many_out", count=len(parts), limit=MOST_PARTS)
    named = {f"export.{name}" if name == "json" else name: text for name, text in texts.items()}
    back = read_texts(named, decimal, Problems())
    hashes = {one.part.key: content_hash(one.part) for one in back}
    lost = [p for p in parts if p.key not in hashes or hashes[p.key] != content_hash(p)]
    if lost:
        said = Problems()
        said.add_all(message("exchange.not_held", part=shown(part.key), form=form) for part in lost)
        said.stop()
    return texts


def write_files(
    target: Path, parts: Sequence[Part], decimal: DecimalMark = ".", *, force: bool = False
) -> tuple[Path, ...]:
    """Write an export: a JSON file, or CSV files into a folder.

    Parameters
    ----------
    target : Path
        A file whose name ends in ``.json``, or a folder, made where it is missing.
    parts : sequence of Sender or Gauge
        What to write.
    decimal : "." or ","
        Decimal mark of CSV files.
    force : bool
        Whether files that are there may be replaced.

    Returns
    -------
    tuple of Path
        What was written.

    Raises
    ------
    UserError
        As `export_texts`; ``exchange.folder_wanted`` for another file name, ``exchange.exists``,
        ``exchange.stray`` for a file of an earlier export that would be read with these, or
        what the system says.
    """
    form: Form = "json" if target.suffix.lower() == ".json" and not target.is_dir() else "csv"
    if form == "csv" and (target.suffix.lower() in _TABLES or target.is_file()):
        raise user_error("exchange.folder_wanted", path=str(target))
    texts = export_texts(parts, form, decimal)
    files = (
        {target: texts["json"]}
        if form == "json"
        else {target / name: _BYTE_ORDER_MARK + text for name, text in texts.items()}
    )
    there = [path for path in files if os.path.lexists(path)]
    if there and not force:
        raise UserError([message("exchange.exists", path=str(path)) for path in there])
    if form == "csv":
        _prepare(target, files)
    for path, text in files.items():
        save_text(path, text)
    return tuple(files)


def _prepare(folder: Path, files: Mapping[Path, str]) -> None:
    """Make the folder; refuse one where a file of an earlier export would be left among these."""
    for name in (SENDERS, GAUGES, POINTS):
        if folder / name not in files and os.path.lexists(folder / name):
            raise user_error("exchange.stray", path=str(folder / name))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("file.unwritable", path=str(folder), reason=reason) from problem
