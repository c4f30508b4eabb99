"""A workplace on a plan just begun from two classes of the catalogue."""

from __future__ import annotations

from catalog.library import load_generic
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.stock import Stock
from retrofit.desk.workplace import Workplace
from retrofit.plan.draft import Wish, draft


def of_classes(reader: Reader, sender: str, gauge: str, wish: Wish) -> Workplace:
    """Return it; StopIteration where the catalogue has no such class. Whoever asked closes it."""
    library = load_generic()
    sends = next(one for one in library.senders if one.key == sender)
    shows = next(one for one in library.gauges if one.key == gauge)
    return Workplace(Session(draft(sends, shows, wish, {})), reader, Stock(), InlineExecutor())
