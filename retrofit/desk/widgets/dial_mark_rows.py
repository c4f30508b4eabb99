"""The marks of a dial and what puts the needle on each; and the points of a sender."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from catalog.parts.fields import QuantityName
from catalog.parts.gauge import DialMark
from catalog.parts.laws import Point
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.value_rows import Entry, RowWords, ValueRows

DIAL = RowWords("points.dial", "points.needs", "points.dial.add", "points.dial.empty")
SENDER = RowWords("points.sender", "points.gives", "points.sender.add", "points.sender.empty")

TakeMarks = Callable[[tuple[DialMark, ...], bool], str]
TakePoints = Callable[[tuple[Point, ...], bool], str]


class DialMarkRows(ValueRows):
    """Edits the marks of a gauge; what else is known of a mark stays with it.

    Parameters
    ----------
    take : callable
        Puts sound marks into the plan; the second argument says whether more follow (an arrow
        key held down). Returns the sentence that says why not, empty when it is done.
    """

    def __init__(
        self, take: TakeMarks, reader: Reader, theme: Theme, parent: QWidget | None = None
    ) -> None:
        self._take_marks = take
        super().__init__(DIAL, self._hand_on, reader, theme, fewest=0, parent=parent)

    def show_marks(self, marks: Sequence[DialMark], quantity: QuantityName, signal: Kind) -> None:
        """Show the marks that the plan holds."""
        entries = [Entry(mark.at, mark.needs, mark) for mark in marks]
        self.show_entries(entries, quantity, signal)

    def _hand_on(self, entries: tuple[Entry, ...], more: bool) -> str:
        return self._take_marks(tuple(_dial_mark(entry) for entry in entries), more)


class PointRows(ValueRows):
    """Edits the points of a sender's table; see `DialMarkRows`."""

    def __init__(
        self, take: TakePoints, reader: Reader, theme: Theme, parent: QWidget | None = None
    ) -> None:
        self._take_points = take
        super().__init__(SENDER, self._hand_on, reader, theme, fewest=2, parent=parent)

    def show_points(self, points: Sequence[Point], quantity: QuantityName, signal: Kind) -> None:
        """Show the points that the plan holds."""
        entries = [Entry(point.at, point.gives, point) for point in points]
        self.show_entries(entries, quantity, signal)

    def _hand_on(self, entries: tuple[Entry, ...], more: bool) -> str:
        return self._take_points(tuple(_point(entry) for entry in entries), more)


def _dial_mark(entry: Entry) -> DialMark:
    if isinstance(entry.kept, DialMark):
        if entry.kept.needs == entry.gives:
            return replace(entry.kept, at=entry.at)
        # Friction and source were those of the old reading.
        return DialMark(entry.at, entry.gives)
    return DialMark(entry.at, entry.gives)


def _point(entry: Entry) -> Point:
    if isinstance(entry.kept, Point) and entry.kept.gives == entry.gives:
        return replace(entry.kept, at=entry.at)
    return Point(entry.at, entry.gives)
