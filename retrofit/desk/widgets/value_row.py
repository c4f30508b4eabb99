"""One known point: a value, and what is measured or needed there."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QToolButton, QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import paint_verdict
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.plan.checks.check import Verdict

MARK_WIDE, REMOVE_WIDE = 14, 42
"""Widths of what stands behind the two fields [logical pixels]."""


class ProblemMark(QWidget):
    """The mark behind a row that is wrong; keeps its room while all is well."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._wrong = False
        self.setFixedSize(QSize(MARK_WIDE, 18))
        theme.changed.connect(self.update)

    def set_wrong(self, wrong: bool) -> None:
        """Show or hide the mark."""
        self._wrong = wrong
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the mark."""
        del event
        if self._wrong:
            with QPainter(self) as painter:
                box = self.rect().toRectF().adjusted(1.0, 3.0, -1.0, -3.0)
                paint_verdict(painter, box, Verdict.STOP, self._theme)


class ValueRow(QWidget):
    """Edits one point.

    Parameters
    ----------
    value, gives : Kind
        What its two numbers are.
    reader, theme : Reader, Theme
        Units, texts and colours.
    """

    changed = Signal(bool)
    """One of the two numbers is another now; whether more of the same follows."""

    removed = Signal()
    """The user takes the point away."""

    finished = Signal()
    """Return was pressed in the second field."""

    def __init__(
        self,
        value: Kind,
        gives: Kind,
        reader: Reader,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._reader = reader
        self.kept: object = None
        self._refused = {"at": "", "gives": ""}
        self._told = ""
        self.mark = ProblemMark(theme)
        self.at = QuantityEdit(value, reader, "", optional=True)
        self.gives = QuantityEdit(gives, reader, "", optional=True)
        self.remove = QToolButton()
        self.remove.setText("✕")
        self.remove.setObjectName("flat")
        self.remove.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.under = QLabel()
        self.under.setObjectName("field-problem")
        self.under.setWordWrap(True)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        grid.addWidget(self.at, 0, 0)
        grid.addWidget(self.gives, 0, 1)
        grid.addWidget(self.mark, 0, 2, Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(self.remove, 0, 3)
        grid.addWidget(self.under, 1, 0, 1, 4)
        grid.setColumnMinimumWidth(3, REMOVE_WIDE)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)
        self._connect()
        self._show_problem()

    def _connect(self) -> None:
        for editor in (self.at, self.gives):
            editor.edited.connect(self._edited)
            editor.nudged.connect(self._nudged)
        self.at.refused.connect(self._at_refused)
        self.gives.refused.connect(self._gives_refused)
        self.gives.returnPressed.connect(self._finish)
        self.remove.clicked.connect(self.removed)

    @property
    def editors(self) -> tuple[QWidget, ...]:
        """Everything in the row that takes the focus, in order."""
        return self.at, self.gives, self.remove

    @property
    def amounts(self) -> tuple[Amount | None, Amount | None]:
        """The two numbers, None where one is missing."""
        return self.at.amount, self.gives.amount

    @property
    def refused(self) -> bool:
        """Whether something is typed in the row that cannot be read."""
        return any(self._refused.values())

    @property
    def problem(self) -> str:
        """The sentence that is shown under the row."""
        return self.under.text()

    def show_point(self, at: Amount | None, gives: Amount | None, kept: object = None) -> None:
        """Show a point; `kept` is what it came from, handed back with it."""
        self.kept = kept
        self.at.set_amount(at)
        self.gives.set_amount(gives)

    def set_kinds(self, value: Kind, gives: Kind) -> None:
        """Edit points of other kinds from now on."""
        self.at.set_kind(value)
        self.gives.set_kind(gives)

    def name_fields(self, number: int, at: str, gives: str) -> None:
        """Tell a screen reader which row these fields are of."""
        text = self._reader.text
        self.at.setAccessibleName(text("points.field_of", field=at, row=number))
        self.gives.setAccessibleName(text("points.field_of", field=gives, row=number))
        self.remove.setAccessibleName(text("points.remove", row=number))
        self.remove.setToolTip(text("points.remove", row=number))

    def tell(self, text: str) -> None:
        """Show what is wrong with the point among the others; nothing when empty."""
        self._told = text
        self._show_problem()

    def _show_problem(self) -> None:
        said = [text for text in (*self._refused.values(), self._told) if text]
        self.mark.set_wrong(bool(said))
        self.under.setText("\n".join(dict.fromkeys(said)))
        self.under.setVisible(bool(said))

    def _at_refused(self, text: str) -> None:
        self._refuse("at", text)

    def _gives_refused(self, text: str) -> None:
        self._refuse("gives", text)

    def _refuse(self, field: str, text: str) -> None:
        if text != self._refused[field]:
            self._refused[field] = text
            self._show_problem()
            self.changed.emit(False)

    def _finish(self) -> None:
        """Take what was typed before the row is said to be finished."""
        self.gives.commit()
        self.finished.emit()

    def _edited(self) -> None:
        self.changed.emit(False)

    def _nudged(self) -> None:
        self.changed.emit(True)
