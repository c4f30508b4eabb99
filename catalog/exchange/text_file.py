"""The text of a file that some other program wrote: which characters its bytes stand for.

UTF-8 with or without its mark, UTF-16 with its mark. Anything else is not guessed but refused:
one wrong guess turns every Ω and ° of a catalogue into something else.
"""

from __future__ import annotations

import codecs
from pathlib import Path

from catalog.errors import user_error
from catalog.json_file import LARGEST, read_bytes

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


def read_any_text(path: Path, largest: int = LARGEST) -> str:
    """Return the text of a file.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Largest size that is read [bytes].

    Raises
    ------
    UserError
        As `read_bytes`; ``exchange.encoding`` for bytes that are neither UTF-8 nor UTF-16 with
        its mark (with the line), ``exchange.unmarked`` for what seems to be UTF-16 without one.
    """
    return decoded(read_bytes(path, largest), str(path))


def decoded(raw: bytes, where: str) -> str:
    r"""Return the text of the bytes of a file; raises as `read_any_text`.

    Examples
    --------
    >>> decoded(b"\xff\xfe" + "103 Ω".encode("utf-16-le"), "a.csv")
    '103 Ω'
    """
    coding = "utf-8"
    for mark, name in _MARKS:
        if raw.startswith(mark):
            raw, coding = raw.removeprefix(mark), name
            break
    else:
        if b"\0" in raw[:200]:
            raise user_error("exchange.unmarked", path=where)
    try:
        return raw.decode(coding)
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        raise user_error("exchange.encoding", path=where, line=line) from None
