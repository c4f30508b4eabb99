"""Small buttons that are on or off, beside each other on as many lines as they need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QSizePolicy, QWidget

from retrofit.desk.widgets.flow import FlowLayout


@dataclass(frozen=True)
class ChipWords:
    """One chip.

    Attributes
    ----------
    key : str
        Its name.
    text : str
        What stands on it.
    group : str
        Of one group at most one is on.
    """

    key: str
    text: str
    group: str


class ChipRow(QWidget):
    """Chips behind a word that says what they are.

    Parameters
    ----------
    title : str
        That word.
    one : bool
        Whether exactly one of them is on at any time: a choice.
    """

    changed = Signal()
    """The user switched a chip."""

    def __init__(self, title: str, *, one: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._one = one
        self._title = title
        self._groups: dict[str, str] = {}
        self.buttons: dict[str, QPushButton] = {}
        self._flow = FlowLayout()
        self.setLayout(self._flow)
        label = QLabel(title)
        label.setObjectName("muted")
        self._flow.addWidget(label)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def checked(self) -> tuple[str, ...]:
        """Keys of the chips that are on."""
        return tuple(key for key, button in self.buttons.items() if button.isChecked())

    def offer(self, chips: Sequence[ChipWords]) -> None:
        """Show these chips; one that was there stays as it is."""
        there = {chip.key for chip in chips}
        for key in [key for key in self.buttons if key not in there]:
            button = self.buttons.pop(key)
            self._flow.removeWidget(button)
            button.deleteLater()
        for chip in chips:
            if chip.key not in self.buttons:
                self._add(chip)
            self._write(self.buttons[chip.key], chip.text)
            self._groups[chip.key] = chip.group
        self.updateGeometry()

    def check(self, key: str) -> None:
        """Switch a chip on without telling."""
        self._settle(key)
        self.buttons[key].setChecked(True)

    def _add(self, chip: ChipWords) -> None:
        button = QPushButton()
        button.setObjectName("chip")
        button.setCheckable(True)
        button.setProperty("chip", chip.key)
        button.clicked.connect(self._clicked)
        self.buttons[chip.key] = button
        self._flow.addWidget(button)

    def _write(self, button: QPushButton, text: str) -> None:
        if button.text() != text:
            button.setText(text)
            button.setAccessibleName(f"{self._title} {text}")

    def _settle(self, key: str) -> None:
        """Switch off whatever cannot be on beside this one."""
        for other, button in self.buttons.items():
            if other != key and self._groups[other] == self._groups[key]:
                button.setChecked(False)

    def _clicked(self) -> None:
        button = self.sender()
        if not isinstance(button, QPushButton):
            return
        key = str(button.property("chip"))
        again = self._one and not button.isChecked()
        if again:
            button.setChecked(True)
            return
        self._settle(key)
        self.changed.emit()

    # --- Qt -------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for one line; how many it takes is known with the width."""
        return self._flow.minimumSize()

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Ask for one line: Qt would ask for as many as the narrowest width takes."""
        return self._flow.minimumSize()
