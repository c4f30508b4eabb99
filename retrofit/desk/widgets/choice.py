"""One of a few words, chosen by mouse or by typing."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontMetricsF, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionComboBox,
    QWidget,
)

_BESIDE = 2
"""Room that is left beside the text of a choice [logical pixels]."""


class Choice(QComboBox):
    """A choice of words that keeps the word apart from its text.

    Parameters
    ----------
    words : sequence of (str, str)
        Word as the plan has it, and its text.
    name : str
        Accessible name.
    """

    chosen = Signal(str)
    """The user chose another word."""

    def __init__(
        self, words: Sequence[tuple[str, str]], name: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setItemDelegate(QStyledItemDelegate(self))  # the usual one ignores the style sheet
        self.setMaxVisibleItems(20)
        for word, text in words:
            self.addItem(text, word)
        self.activated.connect(self._chosen)

    @property
    def word(self) -> str:
        """The word that is chosen, empty for none."""
        return str(self.currentData() or "")

    @property
    def room(self) -> int:
        """Least width in which each of the texts is seen whole [logical pixels]."""
        option = QStyleOptionComboBox()
        super().initStyleOption(option)
        metrics = QFontMetricsF(self.font())
        texts = (self.itemText(n) for n in range(self.count()))
        longest = max((metrics.horizontalAdvance(text) for text in texts), default=0.0)
        return math.ceil(longest) + self.width() - self._inside(option) + _BESIDE

    def _inside(self, option: QStyleOptionComboBox) -> int:
        """Return the width in which the text is written [logical pixels]."""
        whole, part = QStyle.ComplexControl.CC_ComboBox, QStyle.SubControl.SC_ComboBoxEditField
        return self.style().subControlRect(whole, option, part, self).width()

    def set_word(self, word: str) -> None:
        """Show a word."""
        index = self.findData(word)
        if index != self.currentIndex():
            self.setCurrentIndex(index)
        self.setAccessibleDescription(self.currentText())

    def _chosen(self, index: int) -> None:
        self.setAccessibleDescription(self.currentText())
        self.chosen.emit(str(self.itemData(index)))

    def initStyleOption(self, option: QStyleOptionComboBox) -> None:  # noqa: N802
        """Let a text that does not fit end in …."""
        super().initStyleOption(option)
        end, room = Qt.TextElideMode.ElideRight, self._inside(option) - _BESIDE
        option.currentText = self.fontMetrics().elidedText(self.currentText(), end, room)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Let the page scroll: a wheel must not change the plan unseen."""
        event.ignore()
