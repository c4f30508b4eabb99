"""What a user types for a thread becomes the thread, or a sentence that says what to type."""

from __future__ import annotations

import re

from catalog.errors import UserError, user_error
from catalog.quantities.numerals import shown
from catalog.threads.standards import thread, threads
from catalog.threads.thread import Gender, Series, Thread

LONGEST = 40

_MARKS = str.maketrans({"×": "x", "*": "x", ",": ".", "–": "-", "‐": "-", "‑": "-", "−": "-"})
_QUOTES = re.compile(r"[\"″”“]|(?<=\d)\s*in(?:ch)?\b")
_METRIC = re.compile(r"m\s*(\d+)(?:\.0*)?\s*(?:x\s*(\d+(?:\.\d+)?))?(?:\s*-?\s*6[gh])?")
_SIZE = r"(?P<size>\d+\s*/\s*\d+)(?:\s*-\s*(?P<turns>\d+))?"
_NAME = r"(?P<name>npt|npts|bspp|bspt|bsp|unf|unc|rc|rp|r|g)"
_INCH = re.compile(rf"(?:{_NAME}\s*-?\s*)?{_SIZE}\s*(?P<after>[a-z]+)?")
_BSP = {"bspp": "g", "bspt": "r"}
_OTHER = re.compile(rf"(?:(?P<before>nptf|pt|pf)\s*-?\s*)?{_SIZE}\s*(?P<behind>nptf|pt|pf)?")
_TAPER_METRIC = re.compile(
    r"m\s*(?P<size>\d+(?:\.\d+)?\s*x\s*\d+(?:\.\d+)?)\s*-?\s*(?:keg|k|taper|tapered|tap|conical|cone)\.?"
)


def parse_thread(text: str, gender: Gender | None = None) -> Thread:
    """Return the thread that a text names.

    Understood are ``G 1/8``, ``G 1/8 A``, ``R 1/8``, ``Rc 1/8``, ``Rp 1/8``, ``1/8 BSPP`` (G),
    ``1/8 BSPT`` (R, or Rc of a female), ``1/8-27 NPT``, ``NPT 1/8``, ``M10x1``, ``M10 × 1,0``,
    ``3/8-24 UNF``, ``3/8-24``; inch marks are read over.

    Parameters
    ----------
    text : str
        What was typed, 40 characters at most.
    gender : "male" or "female", optional
        Which part is meant, where the standard names males and females apart.

    Raises
    ------
    UserError
        With one message: what was read, and what to type.

    Notes
    -----
    Tests: ``tests/catalog/threads/test_designation.py``.

    Examples
    --------
    >>> [parse_thread(text).key for text in ("1/8-27 NPT", "M10 × 1,0", "3/8-24", "g1/8")]
    ['npt-1-8', 'm10x1', 'unf-3-8-24', 'g-1-8']
    >>> parse_thread('1/8" BSPT', "female").designation
    'Rc 1/8'
    """
    typed = text.strip()
    if not typed or len(typed) > LONGEST:
        raise user_error("thread.unread", text=shown(typed))
    folded = " ".join(_QUOTES.sub("", typed.translate(_MARKS).casefold()).split())
    _refuse_other(folded, typed)
    found = _metric(folded, typed) or _inch(folded, typed, gender)
    if found is None:
        raise user_error("thread.unread", text=shown(typed))
    return found


def _refuse_other(folded: str, typed: str) -> None:
    """Raise UserError for a thread that goes by another name here, or is in no table."""
    taper = _TAPER_METRIC.fullmatch(folded)
    if taper is not None:
        name = f"M{taper['size'].replace(' ', '')}"
        raise user_error("thread.taper_metric", text=shown(typed), name=name)
    match = _OTHER.fullmatch(folded)
    name = "" if match is None else (match["before"] or match["behind"] or "")
    if match is None or not name or (match["before"] and match["behind"]):
        return
    raise user_error(f"thread.{name}", text=shown(typed), size=match["size"].replace(" ", ""))


def _nearest(typed: str, known: list[Thread]) -> UserError:
    names = ", ".join(each.designation for each in known)
    return user_error("thread.not_held", text=shown(typed), names=names)


def _metric(folded: str, typed: str) -> Thread | None:
    match = _METRIC.fullmatch(folded)
    if match is None:
        return None
    major = int(match[1])
    sizes = [each for each in threads() if each.series == "M"]
    same = [each for each in sizes if each.key.startswith(f"m{major}x")]
    if match[2] is None:
        # Without a pitch the coarse one is meant, which senders do not have.
        if same:
            names = ", ".join(each.designation for each in same)
            raise user_error("thread.which_pitch", text=shown(typed), names=names)
        raise _nearest(typed, sizes)
    for each in same:
        if abs(each.pitch * 1e3 - float(match[2])) < 1e-9:
            return each
    raise _nearest(typed, same or sizes)


def _inch(folded: str, typed: str, gender: Gender | None) -> Thread | None:
    match = _INCH.fullmatch(folded)
    if match is None:
        return None
    before, after = match["name"] or "", match["after"] or ""
    grade = after if before == "g" and after in ("a", "b") else ""
    if before and after and not grade:
        return None
    name = before or after
    size = match["size"].replace(" ", "")
    turns = int(match["turns"]) if match["turns"] else None
    if name == "bsp":
        raise user_error("thread.which_bsp", text=shown(typed), size=size)
    if not name and turns is None:
        raise user_error("thread.bare_size", text=shown(typed), size=size)
    return _named(_BSP.get(name, name), size, turns, gender, typed, grade)


def _named(
    name: str, size: str, turns: int | None, gender: Gender | None, typed: str, grade: str
) -> Thread:
    """Return the thread of a family and size; the turns per inch must agree where given."""
    series: dict[str, Series] = {
        "g": "G", "r": "R", "rc": "Rc", "rp": "Rp", "npt": "NPT", "unf": "UNF", "unc": "UNC",
    }  # fmt: skip
    family = series.get(name)
    if name and family is None:
        raise user_error("thread.unread", text=shown(typed))
    if name == "r" and gender == "female":
        family = "Rc"
    families = (family,) if family else ("UNF", "UNC")
    held = [each for each in threads() if each.series in families]
    for each in held:
        inch = re.search(r"\d+/\d+", each.designation)
        agrees = turns is None or round(each.per_inch) == turns
        if inch is not None and inch[0] == size and agrees:
            return thread(f"{each.key}-a") if grade == "a" else each
    same = [each for each in held if f"{size}" in each.designation]
    raise _nearest(typed, same or held)
