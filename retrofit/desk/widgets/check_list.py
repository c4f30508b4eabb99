"""The checks, worst first; choosing one goes to the field that mends it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.plan.checks.check import Check, Verdict


class VerdictMark(QWidget):
    """The mark of a verdict, told by shape as well as colour."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._verdict = Verdict.UNKNOWN
        self.setFixedSize(QSize(16, 18))

    def show_verdict(self, verdict: Verdict) -> None:
        """Show another verdict."""
        self._verdict = verdict
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the mark."""
        del event
        with QPainter(self) as painter:
            paint_verdict(painter, QRectF(2.0, 4.0, 11.0, 11.0), self._verdict, self._theme)


def paint_verdict(painter: QPainter, box: QRectF, verdict: Verdict, theme: Theme) -> None:
    """Paint a verdict: stop a square, caution a triangle, unknown a ring, good a disc."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = QColor(theme.verdict(verdict))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if verdict is Verdict.STOP:
        painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
    elif verdict is Verdict.CAUTION:
        top = QPointF(box.center().x(), box.top())
        painter.drawPolygon(QPolygonF([top, box.bottomRight(), box.bottomLeft()]))
    elif verdict is Verdict.GOOD:
        painter.drawEllipse(box)
    else:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colour, 1.4))
        painter.drawEllipse(box.adjusted(0.3, 0.3, -0.3, -0.3))
        font = painter.font()
        font.setPixelSize(9)
        font.setBold(True)
        painter.setFont(font)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "?")


class CheckRow(QPushButton):
    """One check: its mark, what it is and why."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("check-row")
        self.setFlat(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._mark = VerdictMark(theme)
        self._says, self._why = QLabel(), QLabel()
        self._says.setObjectName("check-says")
        self._why.setObjectName("check-why")
        words = QVBoxLayout()
        words.setSpacing(1)
        for label in (self._says, self._why):
            label.setWordWrap(True)
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            words.addWidget(label)
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 7, 6, 8)
        row.setSpacing(8)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)
        self.how = QToolButton(self)
        self.how.setObjectName("how")
        self.how.setText("Σ")
        self.how.setCursor(Qt.CursorShape.PointingHandCursor)
        self.how.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        row.addWidget(self.how, 0, Qt.AlignmentFlag.AlignTop)

    def show_check(self, check: Check, reader: Reader) -> None:
        """Show another check."""
        says, why = reader.sentence(check.says), reader.sentence(check.why)
        verdict = reader.text(f"verdict.{check.verdict.value}")
        self._mark.show_verdict(check.verdict)
        self._says.setText(says)
        self._why.setText(why)
        self.setAccessibleName(f"{verdict}: {says}")
        self.setAccessibleDescription(why)
        self.setToolTip(reader.text("check.go_to", step=reader.text(f"step.{check.step}.title")))
        self.how.setVisible(check.number is not None)
        self.how.setToolTip(reader.text("sums.how"))
        self.how.setAccessibleName(reader.text("sums.how_of", says=says))

    def sizeHint(self) -> QSize:  # noqa: N802
        """Give the words the room that they need."""
        layout = self.layout()
        return super().sizeHint() if layout is None else layout.totalSizeHint()

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Let the words wrap: a button would ask for its widest form."""
        return QSize(120, 0)

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Say that wrapped words need more height in less width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Return the height of the words at a width."""
        layout = self.layout()
        return 0 if layout is None else layout.totalHeightForWidth(width)


class CheckList(QFrame):
    """All checks of the pairing that is shown."""

    wanted = Signal(str, str)
    """The user wants to mend a check: its step and field."""

    sum_wanted = Signal(object)
    """The user wants to know how the number of a Check was made."""

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._theme = theme
        self._checks: tuple[Check, ...] = ()
        self._rows: list[CheckRow] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.setAccessibleName(reader.text("panel.checks"))

    @property
    def rows(self) -> Sequence[CheckRow]:
        """The rows that are shown."""
        return self._rows[: len(self._checks)]

    def show_checks(self, checks: tuple[Check, ...]) -> None:
        """Show other checks, in their order; rows are kept and filled anew."""
        self._checks = checks
        while len(self._rows) < len(checks):
            row = CheckRow(self._theme)
            row.clicked.connect(self._clicked)
            row.how.clicked.connect(self._asked)
            self._rows.append(row)
            self._column.addWidget(row)
        for row, check in zip(self._rows, checks, strict=False):
            row.show_check(check, self._reader)
        for index, row in enumerate(self._rows):
            row.setVisible(index < len(checks))

    def _clicked(self) -> None:
        row = self.sender()
        for shown, check in zip(self._rows, self._checks, strict=False):
            if shown is row:
                self.wanted.emit(check.step, check.field or check.name)

    def _asked(self) -> None:
        how = self.sender()
        for row, check in zip(self._rows, self._checks, strict=False):
            if row.how is how:
                self.sum_wanted.emit(check)
