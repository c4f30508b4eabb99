"""Shows a drawing made for the width in which it stands, so that letters keep their size."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from retrofit.desk.widgets.svg_view import PIXELS_PER_MM, LayeredView
from retrofit.drawing.look import Drawing

LEAST = 60.0
"""Least width of a drawing [mm]; in a narrower place it is shown smaller."""

Draw = Callable[[float], Drawing]
"""Makes a drawing of a width [mm]."""


class SizedView(LayeredView):
    """A drawing at its own size: as wide as the view, as high as it asks to be."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._draw: Draw | None = None
        self._drawn = 0.0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def draw_with(self, draw: Draw) -> None:
        """Show another drawing."""
        self._draw = draw
        self._redraw()

    def _redraw(self) -> None:
        if self._draw is None:
            return
        self._drawn = max(self.width() / PIXELS_PER_MM, LEAST)
        made = self._draw(self._drawn)
        self.show_ground(made)
        self.setFixedHeight(math.ceil(made.height * self.width() / made.width))

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Make the drawing again for another width."""
        super().resizeEvent(event)
        if abs(max(self.width() / PIXELS_PER_MM, LEAST) - self._drawn) > 1e-6:
            self._redraw()
