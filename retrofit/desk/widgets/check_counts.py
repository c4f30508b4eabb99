"""The head of the checks: how many have each verdict, behind the mark of the worst one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import VerdictMark
from retrofit.plan.checks.check import SEVERITY, Check, Verdict


class CheckCounts(QWidget):
    """Counts the checks by verdict.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Texts and colours.
    """

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._counts: Counter[Verdict] = Counter()
        self._told: list[str] = []
        self.mark = VerdictMark(theme)
        self.words = QLabel()
        self.words.setObjectName("panel-heading")
        self.words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 0, 0, 0)  # the mark stands over those of the rows
        row.setSpacing(6)
        row.addWidget(self.mark)
        row.addWidget(self.words, 1)

    def show_checks(self, checks: Sequence[Check]) -> bool:
        """Count these checks; return whether they are worse than those that were counted before.

        Worse is a worse verdict at the head, or more stops than there were.
        """
        before, self._counts = self._counts, Counter(check.verdict for check in checks)
        text, counts = self._reader.text, self._counts
        told = [
            text(f"panel.count.{one.value}", count=counts[one]) for one in SEVERITY if counts[one]
        ]
        self._told = told
        whole = text("panel.counts", counts=", ".join(told))
        self.words.setAccessibleName(whole)
        self.words.setToolTip(whole)
        self._write()
        self.mark.show_verdict(min(counts, key=SEVERITY.__getitem__, default=Verdict.GOOD))
        more = counts[Verdict.STOP] > before[Verdict.STOP]
        return more or _worst(counts) < _worst(before)

    def _write(self) -> None:
        """Write as many of the counts as have room, the worst first."""
        most, metrics = len(self._told), self.words.fontMetrics()
        while most > 1 and metrics.horizontalAdvance(self._first(most)) > self.words.width():
            most -= 1
        self.words.setText(self._first(most))

    def _first(self, most: int) -> str:
        return ", ".join(self._told[:most])

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Write what has room now."""
        super().resizeEvent(event)
        layout = self.layout()
        if layout is not None:
            layout.activate()
        self._write()


def _worst(counts: Counter[Verdict]) -> int:
    return min((SEVERITY[one] for one, count in counts.items() if count), default=len(SEVERITY))
