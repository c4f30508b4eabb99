"""How far two pictures of the window differ, blind to how a machine draws the edges of letters."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from catalog.arrays import Array

SHARE = 1.0 / 3.0
"""Size of a kept picture, as a share of the window [1]."""

TILE = 5
"""Edge of a tile of a kept picture [pixels]: a tile covers 15 logical pixels, one line of text."""

MOST = 9.0
"""Most that the mean tone of a tile may differ in any colour [of 255].

Measured on the twelve pictures: letters drawn with other hinting move a tile by 1 at most; a
control that is missing moves one by 10 at the least, where little but its edge is in sight, and
most by 25 and more (`test_pictures` checks both).
"""


def kept_size(image: QImage) -> QImage:
    """Return a picture of the window as small as it is kept."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    plain.setDevicePixelRatio(1.0)
    return plain.scaled(
        round(plain.width() * SHARE),
        round(plain.height() * SHARE),
        Qt.AspectRatioMode.IgnoreAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )


def as_array(image: QImage) -> Array:
    """Return the colours of a picture, shape (height, width, 3) [0 to 255]."""
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), -1)
    wide = 3 * plain.width()
    return rows[:, :wide].reshape(plain.height(), plain.width(), 3).astype(float)


def tile_differences(first: QImage, second: QImage) -> Array:
    """Return the mean difference of every tile, shape (tiles down, tiles across) [0 to 255].

    Pictures of different sizes differ by 255 in their one tile.
    """
    if first.size() != second.size():
        return np.full((1, 1), 255.0)
    # Letters drawn half a pixel further on another machine are the same letters: compare tones
    # after averaging over each tile, so that only what fills a good part of a tile counts.
    gap = as_array(first) - as_array(second)
    down, across = (edge // TILE for edge in gap.shape[:2])
    tiles = gap[: down * TILE, : across * TILE].reshape(down, TILE, across, TILE, 3)
    means: Array = np.abs(tiles.mean(axis=(1, 3))).max(axis=2)
    return means


def difference(first: QImage, second: QImage) -> float:
    """Return the largest difference of a tile [0 to 255]."""
    return float(tile_differences(first, second).max())


def said(first: QImage, second: QImage) -> str:
    """Return where two pictures differ most, in logical pixels of the window."""
    tiles = tile_differences(first, second)
    down, across = np.unravel_index(int(tiles.argmax()), tiles.shape)
    edge = TILE / SHARE
    return (
        f"{tiles.max():.1f} of 255 around x {across * edge:.0f}, y {down * edge:.0f}; "
        f"{int((tiles > MOST).sum())} tiles above {MOST:.0f}"
    )


def with_few_colours(image: QImage) -> QImage:
    """Return a picture in its 256 commonest colours, which makes a third of the file."""
    colours = as_array(image).astype(np.uint8)
    shape = colours.shape[:2]
    found, place, count = np.unique(
        colours.reshape(-1, 3), axis=0, return_inverse=True, return_counts=True
    )
    kept = found[np.argsort(-count, kind="stable")[:256]].astype(int)
    nearest = [int(np.abs(kept - colour).sum(axis=1).argmin()) for colour in found.astype(int)]
    places = np.array(nearest, np.uint8)[place.reshape(shape)]
    made = QImage(shape[1], shape[0], QImage.Format.Format_Indexed8)
    made.setColorTable([0xFF000000 | r << 16 | g << 8 | b for r, g, b in kept.tolist()])
    np.frombuffer(made.bits(), np.uint8).reshape(shape[0], -1)[:, : shape[1]] = places
    return made


def load(path: Path) -> QImage:
    """Return a picture from a file."""
    image = QImage(str(path))
    assert not image.isNull(), f"{path} is missing: RETROFIT_RENEW=1 writes it"
    return image
