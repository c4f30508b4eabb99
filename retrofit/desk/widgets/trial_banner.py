"""Says over the dial that it shows what is not in the plan, with the way back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.desk.workplace import Workplace


class TrialBanner(QFrame):
    """What is tried on the dial: a part or trim, a supply, or both; hidden while nothing is.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._place = place
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.back = QPushButton(place.reader.text("panel.back"))
        self.back.setAccessibleName(place.reader.text("panel.back.name"))
        self.back.clicked.connect(self._end)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 6, 6, 6)
        row.setSpacing(8)
        row.addWidget(self.words, 1)
        row.addWidget(self.back, 0, Qt.AlignmentFlag.AlignTop)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.hide()

    def read(self) -> None:
        """Say what is tried now."""
        trial, volts, reader = self._place.trial, self._place.tried_volts, self._place.reader
        words = []
        if volts is not None:
            said = message("panel.tried_supply", volts=SiValue(volts, Kind.VOLTAGE))
            words.append(reader.sentence(said))
        if trial is not None:
            words.append(reader.text("panel.trial", what=trial.words))
        self.words.setText("\n".join(words))
        self.back.setVisible(volts is not None)  # the finder's row has its own way back
        self.setVisible(bool(words))

    def tall(self, wide: int) -> int:
        """Return the height that it takes in a width, 0 while it is hidden [logical pixels]."""
        layout = self.layout()
        if self.isHidden() or layout is None:
            return 0
        return layout.totalHeightForWidth(wide)

    def _end(self) -> None:
        self._place.try_supply(None)
