"""What was found about a card's fields, each answer with the mark of its verdict."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import VerdictMark
from retrofit.fit.verdict import FitCheck
from retrofit.plan.checks.check import Verdict


class Answer(QWidget):
    """One answer: its mark, what it is, and why."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.verdict = Verdict.UNKNOWN
        self._mark = VerdictMark(theme)
        self.says, self.why = QLabel(), QLabel()
        self.says.setObjectName("check-says")
        self.why.setObjectName("check-why")
        words = QVBoxLayout()
        words.setSpacing(1)
        for label in (self.says, self.why):
            label.setWordWrap(True)
            words.addWidget(label)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)

    def show_answer(self, check: FitCheck, reader: Reader) -> None:
        """Show another answer."""
        self.verdict = Verdict(check.verdict)
        says, why = reader.sentence(check.says), reader.sentence(check.why)
        self._mark.show_verdict(self.verdict)
        self.says.setText(says)
        self.why.setText(why)
        self.setAccessibleName(f"{reader.text(f'verdict.{check.verdict}')}: {says}")
        self.setAccessibleDescription(why)


class Answers(QWidget):
    """The answers of a card, worst first; nothing where there are none.

    Parameters
    ----------
    reader : Reader
        Sentences and units.
    theme : Theme
        Colours of the marks.
    """

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader, self._theme = reader, theme
        self._rows: list[Answer] = []
        self._count = 0
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(7)

    @property
    def rows(self) -> Sequence[Answer]:
        """The answers that are shown."""
        return self._rows[: self._count]

    def show_answers(self, checks: Sequence[FitCheck]) -> None:
        """Show other answers, in their order; rows are kept and filled anew."""
        self._count = len(checks)
        while len(self._rows) < len(checks):
            row = Answer(self._theme, self)
            self._rows.append(row)
            self._column.addWidget(row)
        for row, check in zip(self._rows, checks, strict=False):
            row.show_answer(check, self._reader)
        for number, row in enumerate(self._rows):
            row.setVisible(number < len(checks))
        self.setVisible(bool(checks))
