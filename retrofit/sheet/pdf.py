"""A sheet as PDF/A: the template in ``resources/sheet`` filled with data, never with markup.

Only the shipped font is used, and those that come inside typst for signs which ours lacks; the
system's are ignored, so that the same sheet is the same file on every machine. A sign that none
of them has stands as □, and the sheet says so.
"""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass
from typing import Any, Literal

from catalog.errors import BugError
from retrofit.drawing.lettering import shorten
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.signs import verdict_drawing
from retrofit.plan.checks.check import Verdict
from retrofit.sheet.blocks import (
    Block,
    Bullets,
    Facts,
    Grid,
    Pictures,
    Prose,
    Section,
    Sheet,
    Verdicts,
)
from retrofit.sheet.wording import Wording, printable
from retrofit.shipped import path

Paper = Literal["A4", "Letter"]

PAPERS: dict[Paper, tuple[str, float]] = {"A4": ("a4", 210.0), "Letter": ("us-letter", 215.9)}
"""Name and width [mm] of each paper (ISO 216; ANSI/ASME Y14.1, from memory)."""

STANDARD: Literal["a-2a"] = "a-2a"
"""PDF/A-2, conformance level A: fonts embedded, tagged for screen readers (ISO 19005-2)."""

MISSING = "□"
"""Stands for a sign that no font at hand has."""

_UNSHOWN = re.compile(r'the text `"((?:[^"\\]|\\.)+)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}|\\(.)")

_LONG_WORD = re.compile(r"\S{24}(?=\S)")
"""A piece of a word behind which a line may break, where the word is longer still."""

_TALL, _TALLEST = 100.0, 205.0
"""Heights of drawings [mm]: beyond the one it moves as a whole, none is printed higher."""

_HALF = 40
"""Letters of a fact for which half the width does."""

_SIGN = 3.4
_RUNNING = 8.0 * 25.4 / 72.0
"""Sizes of signs and of the line on top of each page [mm]."""

_LANGUAGES = {"english": "en"}

_SIZES = (
    (9.0, 8.0, 0.9, False),
    (8.5, 7.5, 0.9, False),
    (8.5, 7.5, 0.9, True),
    (8.0, 7.0, 0.72, True),
)
"""Sizes of the type and of what is small [pt], how much of its size a tall drawing has [1], and
whether it may leave its place for the foot of a page so that others fill the gap before it; the
largest first. What is too long for `MOST_PAGES` at one is set at the next, and at the last
however long it is."""

MOST_PAGES = 3

_TOO_LONG = "more pages than are wanted"
"""What the template says where it gets more pages than it may."""

Data = dict[str, Any]


@dataclass(frozen=True)
class Layout:
    """How a sheet is laid out.

    Attributes
    ----------
    paper : str
        "A4" or "Letter".
    look : Look
        Language of the page numbers, colours of the signs.
    """

    paper: Paper
    look: Look


def as_pdf(sheet: Sheet, layout: Layout) -> bytes:
    """Return a sheet as a PDF/A file; the same for the same sheet.

    Raises
    ------
    BugError
        When the template cannot be set.
    """
    (made,) = _compiled(sheet, layout, "pdf")
    return made


def as_pages(sheet: Sheet, layout: Layout, dots_per_inch: float = 96.0) -> list[bytes]:
    """Return a sheet's pages as PNG pictures, as the PDF shows them."""
    return _compiled(sheet, layout, "png", dots_per_inch)


def _compiled(
    sheet: Sheet, layout: Layout, form: Literal["pdf", "png"], dots: float | None = None
) -> list[bytes]:
    data = _without(sheet_data(sheet, layout), frozenset())
    size = 0
    # Which signs the fonts lack is known only once it is set; then set it again without them.
    for _ in range(len(_SIZES) + 2):
        body, small, tall, afloat = _SIZES[size]
        most = MOST_PAGES if size + 1 < len(_SIZES) else 0
        sized = {**data, "body": body, "small": small, "tall": tall}
        sized |= {"most": most, "long": _TOO_LONG, "floats": afloat}
        made = _set(json.dumps(sized, ensure_ascii=False), form, dots)
        if isinstance(made, list):
            return made
        if made is None:
            size += 1
            continue
        data = _without(data, made)
        data["sections"][-1]["blocks"].append(
            {"kind": "prose", "text": Wording(layout.look.renderer).say("signs")}
        )
    raise BugError("the sheet cannot be set: signs without a font remain")


def _set(
    text: str, form: Literal["pdf", "png"], dots: float | None
) -> list[bytes] | frozenset[str] | None:
    """Return the file, or the pages; the signs for which there is no font; None: it is too long."""
    # Setting type takes 20 ms to import, and nothing else in the program needs it.
    import typst

    template, fonts = path("sheet", "sheet.typ"), path("fonts")
    try:
        made: Any = typst.compile(
            str(template),
            root=str(template.parent),
            font_paths=[str(fonts)],
            ignore_system_fonts=True,
            format=form,
            ppi=dots,
            sys_inputs={"data": text},
            pdf_standards=[STANDARD] if form == "pdf" else [],
        )
    except typst.TypstError as problem:
        if _TOO_LONG in str(problem):
            return None
        found = _UNSHOWN.findall(str(problem))
        if not found:
            raise BugError(f"the sheet cannot be set: {problem}") from problem
        return frozenset("".join(_ESCAPED.sub(_unescaped, one) for one in found))
    return made if isinstance(made, list) else [made]


def _unescaped(found: re.Match[str]) -> str:
    """Return the sign that stands escaped in a message of typst."""
    return chr(int(found[1], 16)) if found[1] else found[2]


def _without(value: Any, signs: frozenset[str]) -> Any:
    """Return data with signs that cannot be shown replaced, and left out where they never show."""
    if isinstance(value, str):
        return "".join(_stand_in(sign) if sign in signs else sign for sign in printable(value))
    if isinstance(value, list):
        return [_without(one, signs) for one in value]
    if isinstance(value, dict):
        return {key: _without(one, signs) for key, one in value.items()}
    return value


def _stand_in(sign: str) -> str:
    return "" if unicodedata.category(sign).startswith("C") else MISSING


# --- data ---------------------------------------------------------------------------------------


def sheet_data(sheet: Sheet, layout: Layout) -> Data:
    """Return what the template is filled with: text, numbers and drawings."""
    paper, wide = PAPERS[layout.paper]
    year, month, day = (int(part) for part in sheet.day.split("-"))
    words = Wording(layout.look.renderer)
    return {
        "title": sheet.title,
        "subtitle": sheet.subtitle,
        "running": shorten(f"{sheet.title} · {sheet.subtitle}", _RUNNING, 140.0),
        "verdict": [sheet.verdict[0].value, sheet.verdict[1]],
        "conclusion": list(sheet.conclusion),
        "key": [[verdict.value, says] for verdict, says in sheet.key],
        "made": sheet.made,
        "date": [year, month, day],
        "lang": _LANGUAGES.get(layout.look.renderer.language, "en"),
        "page": words.say("page", page="{page}", pages="{pages}"),
        "paper": paper,
        "width": wide,
        "signs": _signs(layout.look),
        "sections": [_section(one) for one in sheet.sections],
    }


def _signs(look: Look) -> dict[str, str]:
    return {one.value: verdict_drawing(one, look, _SIGN).svg for one in Verdict}


def _section(section: Section) -> Data:
    return {
        "title": section.title,
        "small": section.small,
        "whole": section.whole,
        "tall": _tall(section),
        "blocks": [_block(one) for one in section.blocks],
    }


def _tall(section: Section) -> bool:
    """Return whether a section holds a drawing that needs much of a page."""
    drawn = [
        one for block in section.blocks if isinstance(block, Pictures) for one in block.drawings
    ]
    return any(one.height > _TALL for one in drawn)


def _scale(drawing: Drawing) -> float:
    return min(1.0, _TALLEST / drawing.height)


def _block(block: Block) -> Data:
    return _broken(_plain_block(block))


def _broken(data: Data) -> Data:
    """Return a block whose longest words may be broken; drawings have no such words."""
    if data["kind"] == "pictures":
        return data

    def broken(value: Any) -> Any:
        if isinstance(value, str):
            return _LONG_WORD.sub("\\g<0>\u200b", value)
        return [broken(one) for one in value] if isinstance(value, list) else value

    return {key: value if key == "kind" else broken(value) for key, value in data.items()}


def _plain_block(block: Block) -> Data:
    if isinstance(block, Facts):
        rows = [list(row) for row in block.rows]
        long = [len(fact) > _HALF for _, fact in block.rows]
        return {"kind": "facts", "rows": rows, "long": long, "headed": block.headed}
    if isinstance(block, Grid):
        return {
            "kind": "grid",
            "heads": list(block.heads),
            "rows": [list(row) for row in block.rows],
            "sides": list(block.sides),
            "widths": _widths(block),
            "boxes": block.boxes,
        }
    if isinstance(block, Bullets):
        return {"kind": "bullets", "items": list(block.items)}
    if isinstance(block, Prose):
        return {"kind": "prose", "text": block.text}
    if isinstance(block, Verdicts):
        items = [[verdict.value, word, says, why] for verdict, word, says, why in block.items]
        return {"kind": "verdicts", "items": items}
    return {"kind": "pictures", "drawings": [_picture(one) for one in block.drawings]}


def _widths(block: Grid) -> list[int]:
    return list(block.shares) or [1] + [0] * (len(block.heads) - 1)


def _picture(drawing: Drawing) -> Data:
    return {
        "svg": drawing.svg,
        "alt": f"{drawing.title}. {drawing.desc}",
        "tall": drawing.height > _TALL,
        "width": _scale(drawing) * drawing.width,
        "height": _scale(drawing) * drawing.height,
    }
