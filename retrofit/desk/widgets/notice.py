"""A line across the top of the step: what went wrong or needs an answer, never a dialog."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

Answer = tuple[str, Callable[[], None]]


class Notice(QFrame):
    """Says one thing, with buttons that answer it; hidden while there is nothing to say."""

    def __init__(self, close: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._buttons: list[QPushButton] = []
        self._answers: list[Callable[[], None]] = []
        self._close = QPushButton(close)
        self._close.clicked.connect(self.dismiss)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 8, 8, 8)
        self._row.addWidget(self._words, 1)
        self._row.addWidget(self._close)
        self.hide()

    @property
    def text(self) -> str:
        """What is said now, empty while the notice is hidden."""
        return "" if self.isHidden() else self._words.text()

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """The buttons that answer."""
        return tuple(self._buttons)

    def say(self, text: str, answers: tuple[Answer, ...] = ()) -> None:
        """Say something, in place of what was said before."""
        self._words.setText(text)
        for button in self._buttons:
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._buttons = []
        self._answers = [do for _, do in answers]
        for index, (label, _) in enumerate(answers):
            button = QPushButton(label)
            button.clicked.connect(self._answered)
            self._row.insertWidget(1 + index, button)
            self._buttons.append(button)
        self.setAccessibleName(text)
        self.show()

    def dismiss(self) -> None:
        """Stop saying it."""
        self.hide()

    def _answered(self) -> None:
        for button, do in zip(self._buttons, self._answers, strict=True):
            if button is self.sender():
                self.hide()
                do()
                return
