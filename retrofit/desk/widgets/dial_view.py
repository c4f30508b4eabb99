"""A dial in the panel; one of two bears its name above."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from retrofit.desk.finder_rows import short_name
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.svg_view import LayeredView


class DialView(QWidget):
    """A dial, with the name of its gauge where it stands beside another.

    Parameters
    ----------
    key : str
        Text of its name, with a place for the gauge's.
    """

    def __init__(self, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key, self._said = key, ""
        self.view = LayeredView()
        self.name = QLabel()
        self.name.setObjectName("dial-name")
        self.name.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.name.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.name)
        column.addWidget(self.view)

    def call(self, gauge: str, reader: Reader) -> None:
        """Say of which gauge it is; what does not fit is in the tip."""
        self._said = reader.text(self._key, name=short_name(gauge))
        whole = reader.text(self._key, name=gauge)
        self.name.setToolTip(whole)
        self.name.setAccessibleName(whole)
        self.name.show()
        self._elide()

    def alone(self) -> None:
        """Bear no name: there is no other dial."""
        self.name.hide()

    def _elide(self) -> None:
        metrics, room = self.name.fontMetrics(), max(self.width(), 40)
        self.name.setText(metrics.elidedText(self._said, Qt.TextElideMode.ElideRight, room))

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Cut the name to the room there is."""
        super().resizeEvent(event)
        self._elide()
