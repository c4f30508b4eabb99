"""The three tests before a trim: day and reading of each, or why it was left out."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from catalog.errors import UserError
from retrofit.desk.edits import set_test
from retrofit.desk.workplace import Workplace
from retrofit.plan.bench_tests import TEST_KINDS, BenchTest, TestKind

_FIELDS = ("done_on", "reading", "overridden")


class BenchTestRows(QWidget):
    """A row for each test; kept as soon as it says enough.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = place
        self.fields: dict[tuple[TestKind, str], QLineEdit] = {}
        self.problem = QLabel()
        self.problem.setObjectName("field-problem")
        self.problem.setWordWrap(True)
        self.problem.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        text = place.reader.text
        for column, name in enumerate(_FIELDS, 1):
            head = QLabel(text(f"bench_test.{name}"))
            head.setObjectName("field-label")
            grid.addWidget(head, 0, column)
        for row, kind in enumerate(TEST_KINDS):
            grid.addWidget(QLabel(text(f"tests.{kind}")), 2 * row + 1, 0)
            hint = QLabel(text(f"check.tests.do_{kind}"))
            hint.setObjectName("field-hint")
            hint.setWordWrap(True)
            grid.addWidget(hint, 2 * row + 2, 1, 1, 3)
            for column, name in enumerate(_FIELDS, 1):
                editor = QLineEdit()
                editor.setMaxLength(200)
                title = text(f"bench_test.{name}")
                editor.setAccessibleName(f"{text(f'tests.{kind}')}: {title}")
                editor.editingFinished.connect(self._typed)
                self.fields[(kind, name)] = editor
                grid.addWidget(editor, 2 * row + 1, column)
        self.fields[("supply", "done_on")].setPlaceholderText("2031-05-24")
        grid.addWidget(self.problem, 2 * len(TEST_KINDS) + 1, 1, 1, 3)
        grid.setColumnStretch(1, 2)
        grid.setColumnStretch(2, 3)
        grid.setColumnStretch(3, 3)

    def read(self) -> None:
        """Show the tests as they are now; what is half typed stays."""
        kept = {test.kind: test for test in self._place.view.plan.tests}
        for kind in TEST_KINDS:
            if kind not in kept and any(self._words(kind)):
                continue
            for name in _FIELDS:
                words = getattr(kept[kind], name) if kind in kept else ""
                editor = self.fields[(kind, name)]
                if editor.text() != words:
                    editor.setText(words)

    def forget(self) -> None:
        """Forget what is half typed: another plan is open."""
        for editor in self.fields.values():
            editor.clear()
        self.problem.hide()

    def go_there(self) -> None:
        """Put the cursor in the first test that is missing."""
        kept = {test.kind for test in self._place.view.plan.tests}
        missing = [kind for kind in TEST_KINDS if kind not in kept] or list(TEST_KINDS)
        self.fields[(missing[0], "done_on")].setFocus()

    def _words(self, kind: TestKind) -> tuple[str, str, str]:
        day, reading, why = (self.fields[(kind, name)].text().strip() for name in _FIELDS)
        return day, reading, why

    def _typed(self) -> None:
        kept = {test.kind: test for test in self._place.view.plan.tests}
        problems = []
        for kind in TEST_KINDS:
            day, reading, why = self._words(kind)
            half = bool(day) != bool(reading) and not why
            if half and kind not in kept:
                continue
            try:
                test = BenchTest(kind, day, reading, why) if day or reading or why else None
            except UserError as error:
                problems.append(self._place.reader.error(error))
                continue
            if test != kept.get(kind):
                problems.append(self._place.attempt(set_test(kind, test)))
        said = "\n".join(one for one in problems if one)
        self.problem.setText(said)
        self.problem.setVisible(bool(said))
