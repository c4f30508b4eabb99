"""Pages on a printer: pictures of the sheet, each as large as its paper lets it be."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPagedPaintDevice, QPainter

DOTS_PER_INCH = 300.0
"""Of the pages that go to a printer."""


def print_pages(device: QPagedPaintDevice, pages: Sequence[bytes]) -> int:
    """Paint pages onto a printer or a PDF file, one a page; return how many.

    Parameters
    ----------
    device : QPagedPaintDevice
        Where to.
    pages : sequence of bytes
        PNG pictures.
    """
    painted = 0
    with QPainter(device) as painter:
        for page in pages:
            if painted:
                device.newPage()
            image = QImage.fromData(page)
            room = painter.viewport()
            scale = min(room.width() / image.width(), room.height() / image.height())
            width, height = image.width() * scale, image.height() * scale
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            left = (room.width() - width) / 2.0
            painter.drawImage(QRectF(left, 0.0, width, height), image)
            painted += 1
    return painted


def smoothed(page: bytes, width: int, ratio: float) -> QImage:
    """Return a page as wide as asked [logical pixels] on a screen of that pixel ratio."""
    image = QImage.fromData(page)
    made = image.scaledToWidth(round(width * ratio), Qt.TransformationMode.SmoothTransformation)
    made.setDevicePixelRatio(ratio)
    return made
