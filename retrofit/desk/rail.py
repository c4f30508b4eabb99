"""The narrow rail of steps at the left."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QFrame, QPushButton, QVBoxLayout, QWidget

from retrofit.desk.reader import Reader


class Rail(QFrame):
    """The steps of the work, numbered, and the pages below them.

    Parameters
    ----------
    steps, pages : sequence of str
        Keys of the steps, in the order of the work, and of the pages below them.
    reader : Reader
        Texts: ``step.<key>.title``.
    """

    wanted = Signal(str)
    """The user wants a step or page."""

    def __init__(
        self,
        steps: Sequence[str],
        pages: Sequence[str],
        reader: Reader,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("rail")
        self.setAccessibleName(reader.text("rail.name"))
        self.buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._group.buttonClicked.connect(self._clicked)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 16, 8, 16)
        column.setSpacing(4)
        for number, key in enumerate(steps, 1):
            column.addWidget(self._button(key, f"{number}   ", reader, f"Ctrl+{number}"))
        column.addStretch(1)
        for number, key in enumerate(pages, len(steps) + 1):
            column.addWidget(self._button(key, "", reader, f"Ctrl+{number}"))

    def _button(self, key: str, before: str, reader: Reader, keys: str) -> QPushButton:
        title = reader.text(f"step.{key}.title")
        button = QPushButton(before + title)
        button.setObjectName("rail-button")
        button.setCheckable(True)
        button.setToolTip(f"{title} ({keys})")
        button.setAccessibleName(title)
        button.setAccessibleDescription(reader.text(f"step.{key}.lead"))
        button.setProperty("step", key)
        button.setCursor(Qt.CursorShape.PointingHandCursor)
        self._group.addButton(button)
        self.buttons[key] = button
        return button

    def mark(self, key: str) -> None:
        """Mark the step that is shown."""
        self.buttons[key].setChecked(True)

    def _clicked(self, button: QPushButton) -> None:
        self.wanted.emit(str(button.property("step")))
