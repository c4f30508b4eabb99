"""Where the cursor goes when what had it is no longer there: it stays in the step.

Qt hands the focus of a disabled or hidden widget to the next one of the window. That may be the
plan's name, with all of it selected, and whoever types on renames the plan.
"""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from retrofit.desk.step_stack import StepStack, can_have_focus


class FocusKeeper(QObject):
    """Keeps the focus in the step when its widget is disabled or hidden.

    Parameters
    ----------
    steps : StepStack
        The steps.
    away : QWidget
        Where it must not go by itself: the field of the plan's name.
    """

    def __init__(self, steps: StepStack, away: QWidget, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._steps, self._away = steps, away
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._moved)

    def _moved(self, old: QWidget | None, now: QWidget | None) -> None:
        if old is None or now is None or not isValid(old) or (old.isEnabled() and old.isVisible()):
            return
        page = self._steps.currentWidget()
        if page is None or page.isAncestorOf(now):
            return
        if page.isAncestorOf(old):
            (_before(old, page) or page).setFocus()
        elif now is self._away:
            self._steps.enter()


def _before(old: QWidget, page: QWidget) -> QWidget | None:
    """Return what Tab comes to in the page right before a widget, None if there is nothing."""
    found = old.previousInFocusChain()
    while found is not None and found is not old:
        if page.isAncestorOf(found) and can_have_focus(found):
            return found
        found = found.previousInFocusChain()
    return None
