"""The grammar of typed numbers: what was typed becomes a float and the text of its unit.

Knows digits, marks, fractions, exponents and the RKM code of IEC 60062, and refuses what can
be read in two ways. It must not know which units there are.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from catalog.errors import user_error

DecimalMark = Literal[".", ","]

LONGEST = 64
"""The longest text that is looked at, in characters."""


@dataclass(frozen=True)
class Numeral:
    """A number as typed and what stood behind it.

    Attributes
    ----------
    value : float
        The number, finite.
    unit : str
        What stood behind the number, without outer blanks; empty for a bare number.
    fraction : bool
        Whether it was typed as a fraction, such as ``1/2``.
    """

    value: float
    unit: str
    fraction: bool = False


# Signs that mean one thing to the reader but are, or decompose into, something else.
_ALIKE = str.maketrans(
    {
        "\u2212": "-",  # minus sign
        "\u2010": "-",  # hyphen
        "\u2011": "-",  # non-breaking hyphen
        "\u2012": "-",  # figure dash
        "\u2013": "-",  # en dash, which word processors put for a typed hyphen
        "\u00ba": "°",  # masculine ordinal, next to the degree sign on some keyboards
        "\u02da": "°",  # ring above
        "\u2033": '"',  # double prime
        "\u201c": '"',
        "\u201d": '"',
        "\u201e": '"',
        "\u2019": "'",
        "\u2032": "'",  # prime
        "\u200b": None,  # zero-width space, byte order mark and the like: pasted, unseen
        "\u200e": None,
        "\u200f": None,
        "\u2060": None,
        "\ufeff": None,
    }
)

_SIGN = re.compile(r"([+-]?) ?(?=[0-9.,RrKkMm])")
_RKM = re.compile(r"([0-9]*)([RrKkMm])([0-9]+) ?(?:Ω|[Oo][Hh][Mm][Ss]?)?")
_RKM_UNIT = {"R": "Ω", "r": "Ω", "K": "kΩ", "k": "kΩ", "M": "MΩ"}
_MIXED = re.compile(r"(?:([0-9]+)[ -])?(0|[1-9][0-9]*) ?/ ?([0-9]+)(?![0-9.,])")
_DIGITS = re.compile(r"[0-9]*(?:[ .,'_][0-9]+)*[.,]?")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]+")
_SECOND_NUMBER = re.compile(r"[-+±~:;,.·^/*×x… ]*[0-9]| ?(?:to|or)\b.*[0-9]", re.IGNORECASE)


def shown(text: str) -> str:
    """Return `text` fit for a sentence: bounded, and nothing that cannot be printed.

    Examples
    --------
    >>> shown("4" * 100)
    '44444444444444444444…'
    """
    cut = text if len(text) <= LONGEST else text[:20] + "…"
    return "".join(c if c.isprintable() else "\ufffd" for c in cut)


def cleaned(text: str) -> str:
    r"""Return `text` with one sign for what looks alike (NFKC) and single blanks.

    A fraction sign keeps apart from the whole number before it, and a raised digit behind a
    digit stays an exponent: plain NFKC would turn ``2½`` into ``21/2`` and ``10³`` into
    ``103``.

    Examples
    --------
    >>> cleaned("2½ in"), cleaned("−4,7\u00a0k\u2126"), cleaned("10³ cm²")
    ('2 1/2 in', '-4,7 kΩ', '10^3 cm2')
    """
    out = ""
    for sign in text.translate(_ALIKE):
        plain = unicodedata.normalize("NFKC", sign)
        if any(c.isdigit() for c in plain) and not sign.isascii():
            tag = unicodedata.decomposition(sign).partition(" ")[0]
            after_digit = out[-1:].isdigit()
            if tag == "<fraction>" and after_digit:
                plain = " " + plain
            elif tag in {"<super>", "<sub>"} and after_digit:
                plain = "^" + plain
            elif tag in {"<circle>", "<compat>"}:
                plain = "\ufffd"
        out += plain
    out = unicodedata.normalize("NFKC", out).translate(_ALIKE)
    out = out.replace("\u2044", "/").replace("''", '"')
    return " ".join(out.split())


def read(text: str, *, rkm: bool = False, decimal: DecimalMark | None = None) -> Numeral:
    """Read the number at the start of `text` and keep the rest as its unit.

    Parameters
    ----------
    text : str
        What was typed, in any language's digits-and-mark habit.
    rkm : bool
        Whether the RKM code of IEC 60062 applies (``4k7``, ``R47``); then the unit is the
        symbol that its letter stands for.
    decimal : "." or ",", optional
        The reader's decimal mark. The other mark is still taken as decimal where it cannot
        separate thousands. A point when left out.

    Returns
    -------
    Numeral
        A finite number and the text behind it.

    Raises
    ------
    UserError
        Nothing typed, too long, no number, more than one, thousands separators, or out of
        the range of a float; the message quotes the text.

    Notes
    -----
    Tests: ``tests/catalog/quantities/test_parse.py``.

    Examples
    --------
    >>> read("4,7 kΩ")
    Numeral(value=4.7, unit='kΩ', fraction=False)
    >>> read("4k7", rkm=True)
    Numeral(value=4.7, unit='kΩ', fraction=False)
    >>> read('2 1/16"')
    Numeral(value=2.0625, unit='"', fraction=True)
    """
    if len(text) > LONGEST:
        raise user_error("number.too_long", text=shown(text), limit=LONGEST)
    body = cleaned(text)
    if not body:
        raise user_error("number.empty")
    if len(body) > LONGEST:
        raise user_error("number.too_long", text=shown(text), limit=LONGEST)
    sign = _SIGN.match(body)
    if sign is None:
        raise user_error("number.none", text=shown(text))
    factor = -1.0 if sign[1] == "-" else 1.0
    numeral = _unsigned(text, body[sign.end() :], rkm, decimal or ".")
    return Numeral(factor * numeral.value + 0.0, numeral.unit, numeral.fraction)


def _unsigned(text: str, body: str, rkm: bool, decimal: DecimalMark) -> Numeral:
    code = _RKM.fullmatch(body) if rkm else None
    if code is not None:
        if code[2] == "m":
            raise user_error("unit.lone_m", text=shown(text))
        number = _float(text, f"{code[1] or '0'}.{code[3]}")
        return Numeral(number, _RKM_UNIT[code[2]])
    mixed = _MIXED.match(body)
    if mixed is not None:
        value = _fraction(text, mixed)
        return Numeral(value, _rest(text, body[mixed.end() :]), fraction=True)
    digits = _DIGITS.match(body)
    if digits is None or not any(c.isdigit() for c in digits[0]):
        raise user_error("number.none", text=shown(text))
    number_text = _one_mark(text, digits[0], decimal)
    exponent = _EXPONENT.match(body, digits.end())
    end = digits.end() if exponent is None else exponent.end()
    value = _float(text, number_text + ("" if exponent is None else exponent[0]))
    return Numeral(value, _rest(text, body[end:]))


def _one_mark(text: str, digits: str, decimal: DecimalMark) -> str:
    """Return `digits` with a point for the decimal mark; refuse thousands separators."""
    groups = re.split(r"([ .,'_])", digits.rstrip(".,") or digits)
    marks, parts = groups[1::2], groups[0::2]
    spaced = [part for mark, part in zip(marks, parts[1:], strict=True) if mark == " "]
    if spaced:
        thousands = all(len(part) == 3 for part in spaced)
        raise user_error("number.thousands" if thousands else "number.several", text=shown(text))
    if len(marks) > 1 or (marks and (marks[0] in "'_" or digits[-1] in ".,")):
        raise user_error("number.thousands", text=shown(text))
    if not marks:
        return parts[0]
    before, after = parts
    groups_of_three = len(after) == 3 and 1 <= len(before) <= 3 and before[0] != "0"
    if marks[0] != decimal and groups_of_three:
        raise user_error(
            "number.ambiguous_mark",
            text=shown(text),
            grouped=before + after,
            fractional=f"{before}{decimal}{after.rstrip('0') or '0'}",
        )
    return f"{before or '0'}.{after}"


def _fraction(text: str, mixed: re.Match[str]) -> float:
    whole, above, below = int(mixed[1] or 0), int(mixed[2]), int(mixed[3])
    if below == 0:
        raise user_error("number.zero_fraction", text=shown(text))
    if mixed[1] is not None and not 0 < above < below:
        raise user_error("number.several", text=shown(text))
    return (whole * below + above) / below


def _float(text: str, digits: str) -> float:
    value = float(digits)
    vanished = value == 0.0 and any(c in "123456789" for c in digits.lower().partition("e")[0])
    if not math.isfinite(value) or vanished:
        raise user_error("number.range", text=shown(text))
    return value


def _rest(text: str, rest: str) -> str:
    if _SECOND_NUMBER.match(rest):
        raise user_error("number.several", text=shown(text))
    return rest.strip()
