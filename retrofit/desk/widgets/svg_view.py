"""Paints drawings, the same as on paper, at any size and scale factor."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QWidget

from retrofit.drawing.look import Drawing

PIXELS_PER_MM = 96.0 / 25.4
"""Logical pixels to the millimetre, so that 1 mm of a drawing is about 1 mm of screen."""

FAINT = 0.4
"""Opacity of what is not of what was typed last."""


class LayeredView(QWidget):
    """Shows a drawing that changes rarely, and over it one of the same size that moves."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ground, self._live = QSvgRenderer(self), QSvgRenderer(self)
        self._picture = QPixmap()
        self._size = (1.0, 1.0)
        self._faded = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_ground(self, drawing: Drawing) -> None:
        """Show another ground; its accessible name and text become the widget's."""
        self._ground.load(QByteArray(drawing.svg.encode()))
        self._size = (drawing.width, drawing.height)
        self._picture = QPixmap()
        self.setAccessibleName(drawing.title)
        self.setAccessibleDescription(drawing.desc)
        self.update()

    def show_live(self, drawing: Drawing) -> None:
        """Show another layer over the ground; its text becomes the widget's."""
        self._live.load(QByteArray(drawing.svg.encode()))
        self.setAccessibleDescription(drawing.desc)
        self.update()

    @property
    def faded(self) -> bool:
        """Whether it is shown faintly: it is not of what was typed last."""
        return self._faded

    def fade(self, *, faded: bool) -> None:
        """Show the drawing faintly, or fully again."""
        if faded != self._faded:
            self._faded = faded
            self.update()

    @property
    def box(self) -> QRectF:
        """Where the drawing lies in the widget [logical pixels]."""
        width, height = self._size
        scale = min(self.width() / width, self.height() / height)
        box = QRectF(0.0, 0.0, width * scale, height * scale)
        box.moveCenter(QRectF(self.rect()).center())
        return box

    # --- Qt -------------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Ask for the least in which a drawing can be read."""
        return QSize(160, 110)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the ground, kept as a picture while it stays the same, and what moves."""
        del event
        ratio = self.devicePixelRatioF()
        wanted = self.size() * ratio
        if self._picture.size() != wanted:
            self._picture = QPixmap(wanted)
            self._picture.setDevicePixelRatio(ratio)
            self._picture.fill(Qt.GlobalColor.transparent)
            with QPainter(self._picture) as painter:
                self._ground.render(painter, self.box)
        with QPainter(self) as painter:
            painter.setOpacity(FAINT if self._faded else 1.0)
            painter.drawPixmap(0, 0, self._picture)
            if self._live.isValid():
                self._live.render(painter, self.box)
