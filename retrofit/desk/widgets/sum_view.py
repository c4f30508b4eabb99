"""How a number was made: formula, inputs and where they come from; opens below the step."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from retrofit.desk.session import Change
from retrofit.desk.workplace import Workplace
from retrofit.plan.checks.check import Check
from retrofit.plan.sums import Sum, sums_at, sums_of_check, sums_of_mark
from retrofit.sheet.sum_words import SumText, sum_text
from retrofit.sheet.wording import Wording


@dataclass(frozen=True)
class CheckNumber:
    """The number that a check judged, by what stays when the plan changes."""

    name: str
    mark: str


@dataclass(frozen=True)
class ShownAt:
    """What the needle shows at a true value [SI]."""

    true: float


Asked = CheckNumber | ShownAt


class SumView(QFrame):
    """Shows the sums of one number until it is closed; the plan may change meanwhile.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    closed = Signal()
    """The user has seen enough."""

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("sums")
        self._place = place
        self._asked: Asked | None = None
        self._came_from: QWidget | None = None
        text = place.reader.text
        self.setAccessibleName(text("sums.title"))
        self.heading = QLabel(text("sums.title"))
        self.heading.setObjectName("card-title")
        self.shut = QPushButton(text("sums.close"))
        self.shut.setToolTip(text("sums.close_keys"))
        self.shut.clicked.connect(self.close_sums)
        self.text = QTextBrowser()
        self.text.setFrameShape(QFrame.Shape.NoFrame)
        self.text.setAccessibleName(text("sums.title"))
        self.text.setTabChangesFocus(True)
        top = QHBoxLayout()
        top.addWidget(self.heading, 1)
        top.addWidget(self.shut)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 10, 16, 10)
        column.setSpacing(6)
        column.addLayout(top)
        column.addWidget(self.text, 1)
        self.setMinimumHeight(180)
        self.hide()
        place.changed.connect(self._heard)
        place.settled.connect(self.read)
        place.tried.connect(self.read)
        place.reader.changed.connect(self.read)

    def ask(self, asked: Asked) -> None:
        """Show how a number was made; asked once more for the same one, close."""
        if asked == self._asked:
            self.close_sums()
            return
        if self.isHidden():
            self._came_from = QApplication.focusWidget()
        self._asked = asked
        self.show()
        self.read()
        self.text.setFocus()

    def read(self) -> None:
        """Show the sums as they are now; close where that number is gone."""
        if self._asked is None:
            return
        found = self._sums(self._asked)
        if not found:
            self.close_sums()
            return
        words = Wording(self._place.reader.renderer)
        said = [sum_text(one, words) for one in found]
        units = f"<p><small>{escape(words.say('sum.units'))}</small></p>"
        self.text.setHtml("".join(_html(one) for one in said) + units)
        self.text.setAccessibleDescription(self.text.toPlainText())

    def close_sums(self) -> None:
        """Close, and give the focus back to where it was."""
        focus = QApplication.focusWidget()
        inside = focus is not None and self.isAncestorOf(focus)
        self._asked = None
        self.hide()
        if inside and self._came_from is not None:
            self._came_from.setFocus()
        self._came_from = None
        self.closed.emit()

    def _sums(self, asked: Asked) -> tuple[Sum, ...]:
        if isinstance(asked, ShownAt):
            shown = self._place.shown()
            marks = [mark for mark in shown.marks if mark.at == asked.true]
            return sums_of_mark(shown, marks[0]) if marks else sums_at(shown, asked.true)
        found = self._place.looked_at()
        check = next((one for one in found.checks if _is(one, asked)), None)
        return () if check is None else sums_of_check(found, check)

    def _heard(self, change: Change) -> None:
        del change
        self.read()

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Close with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.close_sums()
        else:
            super().keyPressEvent(event)


def asked_of(check: Check) -> CheckNumber:
    """Return which number of the checks is asked for."""
    return CheckNumber(check.name, check.mark)


def _is(check: Check, asked: CheckNumber) -> bool:
    return check.number is not None and (check.name, check.mark) == (asked.name, asked.mark)


def _html(said: SumText) -> str:
    """Return a sum as rich text; names of the user's own are no markup."""
    formula = f"<br>{escape(said.formula)}" if said.formula else ""
    method = f"<br>{escape(said.method)}" if said.method else ""
    rows = "".join(f"<li>{escape(one)}</li>" for one in said.inputs)
    inputs = f"<ul>{rows}</ul>" if rows else ""
    head = f'<span style="font-weight:600">{escape(said.title)}: {escape(said.result)}</span>'
    return f"<p>{head}{formula}{method}</p>{inputs}"
