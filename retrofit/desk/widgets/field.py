"""A labelled field: what it is, the editor, and underneath what is wrong or worth knowing."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from retrofit.desk.reader import Reader


class Field(QWidget):
    """A label over an editor, with a line for the problem or a hint.

    Parameters
    ----------
    label : str
        What the field is; clicking it puts the cursor in the editor.
    editor : QWidget
        The editor.
    hint : str
        What is worth knowing, shown while nothing is wrong.
    parent : QWidget, optional
        Owner.
    """

    problem_shown = Signal(str)
    """Another problem is shown, or none any more (empty)."""

    def __init__(
        self, label: str, editor: QWidget, hint: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._hint = hint
        self._label = QLabel(label)
        self._label.setObjectName("field-label")
        self._label.setBuddy(editor)
        self._label.setWordWrap(True)
        self._under = QLabel(hint)
        self._under.setObjectName("field-hint")
        self._under.setWordWrap(True)
        self.editor = editor
        if not editor.accessibleName():
            editor.setAccessibleName(label.replace("&", ""))
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(4)
        rows.addWidget(self._label)
        rows.addWidget(editor)
        rows.addWidget(self._under)
        self._under.setVisible(bool(hint))  # not before: without a parent it would be a window
        self.setFocusProxy(editor)

    def say_whose(self, reader: Reader, whose: str) -> None:
        """Tell a screen reader which of several alike this field belongs to."""
        self.editor.setAccessibleName(reader.text("field.of", field=self._label.text(), of=whose))

    @property
    def problem(self) -> str:
        """The problem that is shown, empty when there is none."""
        return self._under.text() if self._under.objectName() == "field-problem" else ""

    def show_problem(self, text: str) -> None:
        """Show what is wrong with the field, or its hint again when `text` is empty."""
        other = text != self.problem
        self._under.setObjectName("field-problem" if text else "field-hint")
        self._under.setText(text or self._hint)
        self._under.setVisible(bool(text or self._hint))
        self.editor.setProperty("wrong", bool(text))
        for widget in (self._under, self.editor):
            widget.style().unpolish(widget)
            widget.style().polish(widget)
        if text:
            self.editor.setAccessibleDescription(text)
        if other:
            self.problem_shown.emit(text)

    def show_hint(self, text: str) -> None:
        """Have another hint from now on, or none when `text` is empty."""
        if text != self._hint:
            self._hint = text
            if not self.problem:
                self.show_problem("")

    def go_there(self) -> None:
        """Put the cursor in the editor and select what is in it."""
        self.editor.setFocus()
        if isinstance(self.editor, QLineEdit):
            line = self.editor
            line.setSelection(len(line.text()), -len(line.text()))  # the start of it is seen
