"""A slider that tries other supplies on the dial without changing the plan."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.desk.widgets.calm_slider import CalmSlider
from retrofit.desk.workplace import Workplace
from retrofit.plan.stages import supply_range

_STEP = 0.1
"""Volts of one place of the slider [V]."""

_AROUND = 0.25
"""Share of the usual supply to either side where no range is given."""


class SupplySlider(QWidget):
    """Shows what the needle does at another supply; it is no edit.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = place
        text = place.reader.text
        self.slider = CalmSlider()
        self.slider.setAccessibleName(text("supply.try"))
        self.slider.setPageStep(10)
        self.back = QPushButton(text("supply.back"))
        self.back.setObjectName("flat")
        self.says = QLabel()
        self.says.setObjectName("muted")
        self.says.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(10)
        row.addWidget(QLabel(text("supply.try")))
        row.addWidget(self.slider, 1)
        row.addWidget(self.back)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.setSpacing(4)
        whole.addLayout(row)
        whole.addWidget(self.says)
        self.slider.valueChanged.connect(self._tried)
        self.back.clicked.connect(self.read)
        place.tried.connect(self._ended)
        place.changed.connect(self._ended)
        self.read()

    def read(self) -> None:
        """Put the slider on the supply of the plan."""
        supply = self._place.view.pairing.installation.supply
        nominal = supply.nominal.si(Kind.VOLTAGE)
        low, high = supply_range(supply) or (nominal * (1 - _AROUND), nominal * (1 + _AROUND))
        self.slider.blockSignals(True)
        self.slider.setRange(round(min(low, nominal) / _STEP), round(max(high, nominal) / _STEP))
        self.slider.setValue(round(nominal / _STEP))
        self.slider.blockSignals(False)
        self._place.try_supply(None)
        self._say(nominal, tried=False)

    def _ended(self) -> None:
        """Follow where the trial was ended elsewhere."""
        if self._place.tried_volts is None and self.back.isEnabled():
            self.read()

    def _tried(self, value: int) -> None:
        volts = value * _STEP
        self._place.try_supply(volts)
        self._say(volts, tried=True)

    def _say(self, volts: float, *, tried: bool) -> None:
        key = "supply.tried" if tried else "supply.usual"
        words = self._place.reader.sentence(message(key, volts=SiValue(volts, Kind.VOLTAGE)))
        self.says.setText(words)
        self.slider.setAccessibleDescription(words)
        self.back.setEnabled(tried)
