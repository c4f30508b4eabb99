"""The steps on top of each other, each made when it is first asked for.

All of them at once would take as long as the rest of the first paint.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QStackedWidget, QWidget

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
        self.setCurrentWidget(self[key])
