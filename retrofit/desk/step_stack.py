"""The steps on top of each other, each made when it is first asked for.

All of them at once would take as long as the rest of the first paint.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget
from shiboken6 import isValid

from retrofit.desk.steps.page import StepPage


class StepStack(QStackedWidget):
    """Steps and pages by their keys.

    Parameters
    ----------
    makers : mapping of str to callable
        Makes each step.
    """

    def __init__(
        self, makers: Mapping[str, Callable[[], StepPage]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._makers = makers
        self._made: dict[str, StepPage] = {}
        self._last: dict[str, QWidget] = {}

    def __getitem__(self, key: str) -> StepPage:
        """Return a step, made now if nobody has asked for it before."""
        if key not in self._made:
            step = self._makers[key]()
            self._made[key] = step
            self.addWidget(step)
        return self._made[key]

    @property
    def key(self) -> str:
        """Key of the step that is shown, empty before the first."""
        shown = self.currentWidget()
        return next((key for key, step in self._made.items() if step is shown), "")

    def show_step(self, key: str) -> None:
        """Show a step."""
        left, focus = self.currentWidget(), QApplication.focusWidget()
        if left is not None and focus is not None and left.isAncestorOf(focus):
            self._last[self.key] = focus
        self.setCurrentWidget(self[key])

    def enter(self) -> None:
        """Put the cursor into the step that is shown: where it was last, or in the first field."""
        page = self.currentWidget()
        if page is None:
            return
        last = self._last.get(self.key)
        if last is not None and isValid(last) and can_have_focus(last):
            last.setFocus()
            return
        found = page.nextInFocusChain()
        while found is not None and found is not page:
            if page.isAncestorOf(found) and can_have_focus(found):
                found.setFocus()
                return
            found = found.nextInFocusChain()
        page.setFocus()


def can_have_focus(widget: QWidget) -> bool:
    """Return whether Tab comes to a widget."""
    tab = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
    return bool(tab) and widget.isVisible() and widget.isEnabled() and not widget.focusProxy()
