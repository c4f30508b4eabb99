"""The bar at the top: the plan's name, its pairings, units, undo and saving."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from retrofit.desk.edits import rename_plan
from retrofit.desk.widgets.elided_edit import ElidedEdit
from retrofit.desk.workplace import Workplace


class TopBar(QFrame):
    """Name, pairings, units, undo, redo, save.

    Parameters
    ----------
    place : Workplace
        The open plan.
    units : QWidget
        The menu of shown units.
    actions : tuple of QAction
        Undo, redo and save, shown as buttons.
    take_over : QAction
        Takes the file from who holds it; a button while the plan can only be looked at.
    """

    pairing_wanted = Signal(str)
    """The user wants to see another pairing."""

    another_wanted = Signal()
    """The user wants one more pairing."""

    def __init__(
        self,
        place: Workplace,
        units: QWidget,
        actions: tuple[QAction, ...],
        take_over: QAction,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("top")
        self._place = place
        text = place.reader.text
        self.name = ElidedEdit()
        self.name.setObjectName("plan-name")
        self.name.setAccessibleName(text("top.name"))
        self.name.setPlaceholderText(text("top.name"))
        self.name.setMaxLength(200)
        self.name.editingFinished.connect(self._named)
        self.name.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.letters: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._group.buttonClicked.connect(self._letter)
        self._letters = QHBoxLayout()
        self._letters.setSpacing(6)
        self.plus = QPushButton("+")
        self.plus.setObjectName("letter")
        self.plus.setAccessibleName(text("top.another"))
        self.plus.setToolTip(text("top.another"))
        self.plus.clicked.connect(self.another_wanted)
        self.state = QLabel()
        self.state.setObjectName("muted")
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 14, 8)
        row.setSpacing(8)
        row.addWidget(self.name, 1)
        label = QLabel(text("top.pairings"))
        label.setObjectName("muted")
        row.addWidget(label)
        row.addLayout(self._letters)
        row.addWidget(self.plus)
        row.addSpacing(12)
        row.addWidget(self.state)
        self.take_over = _button(take_over)
        row.addWidget(self.take_over)
        row.addWidget(units)
        for action in actions:
            row.addWidget(_button(action))
        self.read()

    def read(self) -> None:
        """Show the plan's name, its pairings and whether it is saved."""
        plan, label = self._place.view.plan, self._place.view.label
        if not self.name.isModified() or not self.name.hasFocus():
            self.name.setText(plan.name)
            self.name.setCursorPosition(0)
        labels = [pairing.label for pairing in plan.pairings]
        if labels != list(self.letters):
            self._make_letters(labels)
        for letter, button in self.letters.items():
            button.setChecked(letter == label)
            pairing = plan.pairing(letter)
            about = f"{pairing.gauge.name} · {pairing.sender.name}"
            button.setToolTip(about)
            button.setAccessibleDescription(about)
        session = self._place.session
        key = "read_only" if session.read_only else "unsaved" if session.unsaved else "saved"
        self.state.setText(self._place.reader.text(f"top.{key}"))
        self.take_over.setVisible(session.read_only)

    def _make_letters(self, labels: list[str]) -> None:
        for button in self.letters.values():
            self._group.removeButton(button)
            self._letters.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.letters = {}
        for label in labels:
            button = QPushButton(label)
            button.setObjectName("letter")
            button.setCheckable(True)
            button.setAccessibleName(self._place.reader.text("top.pairing", label=label))
            button.setProperty("letter", label)
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            self._group.addButton(button)
            self._letters.addWidget(button)
            self.letters[label] = button

    def _letter(self, button: QPushButton) -> None:
        self.pairing_wanted.emit(str(button.property("letter")))

    def _named(self) -> None:
        if self.name.isModified():
            self.name.setModified(False)
            self._place.attempt(rename_plan(self.name.text().strip()))


def _button(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    button.setAccessibleName(action.text().replace("&", ""))
    button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return button
