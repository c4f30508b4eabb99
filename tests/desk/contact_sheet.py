"""Every step × size × theme, to be looked at: python -m tests.desk.contact_sheet FOLDER [STATE…].

Writes each picture alone and one sheet a state. QT_SCALE_FACTOR=2 before it shows 200 %.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from tests.desk.scenes import MORE_STATES, NARROW, STATES, WIDE, Scene, ThemeName, render

SIZES = (NARROW, WIDE, (1920, 1080), (3840, 2160))
THEMES: tuple[ThemeName, ThemeName] = ("light", "dark")
CELL = (960, 600)
GAP = 16


def sheet(pictures: Sequence[Sequence[QImage]]) -> QImage:
    """Put pictures on one sheet, each as large as its cell lets it be."""
    wide = max(len(row) for row in pictures) * (CELL[0] + GAP) + GAP
    made = QImage(wide, len(pictures) * (CELL[1] + GAP) + GAP, QImage.Format.Format_RGB32)
    made.fill(QColor("#808080"))
    with QPainter(made) as painter:
        for down, row in enumerate(pictures):
            for across, picture in enumerate(row):
                small = picture.scaled(
                    *CELL,
                    Qt.AspectRatioMode.KeepAspectRatio,
                    Qt.TransformationMode.SmoothTransformation,
                )
                x, y = GAP + across * (CELL[0] + GAP), GAP + down * (CELL[1] + GAP)
                painter.drawImage(QRectF(x, y, small.width(), small.height()), small)
    return made


def main(folder: Path, wanted: Sequence[str]) -> None:
    """Write the pictures and the sheets."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, session, go in (*STATES, *MORE_STATES):
        if wanted and name not in wanted:
            continue
        rows = []
        for theme in THEMES:
            row = []
            for size in SIZES:
                picture = render(Scene(name, session, go, size, theme))
                picture.setDevicePixelRatio(1.0)
                picture.save(str(folder / f"{name}-{size[0]}-{theme}.png"))
                row.append(picture)
            rows.append(row)
        sheet(rows).save(str(folder / f"sheet-{name}.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
