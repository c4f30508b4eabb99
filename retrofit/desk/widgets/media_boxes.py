"""Which media a sender is stated for: a box for each."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

_ACROSS = 3


class MediaBoxes(QWidget):
    """A box for each medium.

    Parameters
    ----------
    words : sequence of (str, str)
        Medium as the plan has it, and its text.
    name : str
        Accessible name.
    """

    chosen = Signal(tuple)
    """The user ticked or cleared a box: all media that are ticked now."""

    def __init__(self, words: Sequence[tuple[str, str]], name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(4)
        self.boxes: dict[str, QCheckBox] = {}
        for number, (word, text) in enumerate(words):
            box = QCheckBox(text)
            box.clicked.connect(self._clicked)
            self.boxes[word] = box
            grid.addWidget(box, *divmod(number, _ACROSS))
        self.setFocusProxy(next(iter(self.boxes.values())))

    def set_words(self, words: Sequence[str]) -> None:
        """Tick these media and no other."""
        for word, box in self.boxes.items():
            box.setChecked(word in words)

    def _clicked(self) -> None:
        self.chosen.emit(tuple(word for word, box in self.boxes.items() if box.isChecked()))
