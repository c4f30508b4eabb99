"""The options that say which resistors a trim may be made of, shared by two commands."""

from __future__ import annotations

import argparse
from pathlib import Path

from catalog.quantities.kinds import Kind
from retrofit.cli.typed import Typed
from retrofit.plan.stock_file import read_stock
from retrofit.plan.trim_question import Beyond
from retrofit.plan.trim_wishes import LEAST, MOST, TrimWishes
from retrofit.trim.preferred import Series
from retrofit.trim.stock import Stock


def trim_wishes(options: argparse.Namespace, typed: Typed) -> TrimWishes:
    """Return what trims are wanted.

    Raises
    ------
    UserError
        For ohms, own values or a stock that can't be read, naming the option or the file.
    """
    low = typed.amount("--low", options.low, Kind.RESISTANCE)
    high = typed.amount("--high", options.high, Kind.RESISTANCE)
    own = options.values is not None or options.stock is not None
    least, most = (0.0, float("inf")) if own else (LEAST, MOST)
    beyond = None
    if options.no_flattery is not None:
        beyond = Beyond(options.no_flattery or None)
    return TrimWishes(
        _values(options, typed),
        least if low is None else low.si(Kind.RESISTANCE),
        most if high is None else high.si(Kind.RESISTANCE),
        options.most,
        options.pull_up,
        beyond,
    )


def _values(options: argparse.Namespace, typed: Typed) -> Series | Stock:
    if options.values is not None:
        return typed.resistors(options.values)
    if options.stock is not None:
        return read_stock(Path(options.stock))
    series: Series = options.series
    return series
