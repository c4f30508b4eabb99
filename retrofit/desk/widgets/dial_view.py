"""A dial in the panel; one of two bears its name above and what it shows below."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from catalog.message import SiValue, message
from catalog.quantities.kinds import difference
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.svg_view import LayeredView
from retrofit.drawing.spot import spot_at
from retrofit.plan.assess import Assessment

WORDLESS = 164
"""Width of a dial that has no readout in its drawing [px]."""

_ROW = 236
"""Width from which the readout of a drawing has true and shown in a row [px]."""

_ANY = 16_777_215
"""Qt's greatest size: no limit [px]."""


class DialView(QWidget):
    """A dial, with its name and its reading in words where it stands beside another.

    Parameters
    ----------
    key : str
        Text of its name, with a place for the gauge's.
    """

    def __init__(self, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key, self._said, self._narrow = key, "", False
        self.view = LayeredView()
        self.name, self.reads = QLabel(), QLabel()
        self.name.setObjectName("dial-name")
        self.reads.setObjectName("dial-reads")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for label in (self.name, self.reads):
            label.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            label.hide()
        column.addWidget(self.name)
        column.addWidget(self.view)
        column.addWidget(self.reads)

    def caption(self, found: Assessment, true: float, reader: Reader) -> None:
        """Say of which gauge it is and what that shows at a true value [SI]."""
        kind = found.plan.duty.kind
        self._said = reader.text(self._key, name=found.pairing.gauge.name)
        self.name.setToolTip(found.pairing.gauge.name)
        spot = spot_at(found, true)
        words = reader.text("panel.reads_nothing")
        if not math.isnan(spot.shown):
            shown, error = SiValue(spot.shown, kind), SiValue(spot.error, difference(kind))
            words = reader.sentence(message("panel.reads", shown=shown, error=error))
        self.reads.setText(words)
        self.name.show()
        self.reads.setVisible(self._narrow)
        self._elide()

    def beside(self, room: int) -> None:
        """Make room for another dial: in a narrow one words below take the drawing's place.

        `room` is the width that each may have [px].
        """
        self._narrow = room < _ROW
        self.view.setMaximumWidth(WORDLESS if self._narrow else _ANY)

    def alone(self) -> None:
        """Leave name and reading to the drawing: there is no other dial."""
        self.name.hide()
        self.reads.hide()
        self.view.setMaximumWidth(_ANY)

    def _elide(self) -> None:
        room = self.name.fontMetrics()
        self.name.setText(
            room.elidedText(self._said, Qt.TextElideMode.ElideRight, max(self.width(), 40))
        )

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Cut the name to the room there is."""
        super().resizeEvent(event)
        self._elide()
