"""The file of the user's own resistors: JSON with ohms, and what is known of the rest."""

from __future__ import annotations

from pathlib import Path

from catalog.codec import decode
from catalog.errors import user_error
from catalog.json_file import parse_json, read_text
from retrofit.trim.stock import Stock

FORMAT, VERSION = "retrofit-stock", 1


def read_stock(path: Path) -> Stock:
    """Read a file of resistors.

    Parameters
    ----------
    path : Path
        JSON: ``{"format": "retrofit-stock", "version": 1, "resistors": [{"ohm": "47 Ω",
        "tolerance": "5 %", "watts": "0.5 W", "count": 3}, …]}``; only the ohms have to be given.

    Raises
    ------
    UserError
        With a message for each problem, naming the file and the field.
    """
    where = str(path)
    document = parse_json(read_text(path), where)
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise user_error("stock_file.foreign", path=where, format=FORMAT)
    if document.get("version") != VERSION:
        raise user_error("stock_file.version", path=where, known=VERSION)
    rest = {name: raw for name, raw in document.items() if name not in ("format", "version")}
    return decode(rest, Stock, where)
