"""Render the drawings to PNG to be looked at: python -m tests.drawing.contact_sheet FOLDER."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QByteArray, QRectF
from PySide6.QtGui import QColor, QFontDatabase, QGuiApplication, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.drawing.chart import error_chart
from retrofit.drawing.dial import dial_drawing
from retrofit.drawing.lettering import FILES
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.palette import DARK, GREY, LIGHT, Palette
from retrofit.drawing.row_curve import row_curve
from retrofit.drawing.signs import verdict_drawing
from retrofit.messages import Renderer
from retrofit.plan.checks.check import Verdict
from retrofit.shipped import path
from tests.drawing.plans import PLANS, assessed

SCALE = 7.0  # pixels a millimetre: 178 to the inch
GAP = 4.0

UNITS = {Kind.TEMPERATURE: "°F", Kind.PRESSURE: "psi", Kind.LEVEL: "%"}
TYPED = NumberStyle(decimal=",", units=UNITS)


def sheet(rows: Sequence[Sequence[Drawing]], ground: str) -> QImage:
    """Paint drawings in rows on one picture."""
    wide = max(sum(d.width + GAP for d in row) for row in rows) + GAP
    high = sum(max(d.height for d in row) + GAP for row in rows) + GAP
    image = QImage(round(wide * SCALE), round(high * SCALE), QImage.Format.Format_RGB32)
    image.fill(QColor(ground))
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(SCALE, SCALE)
        y = GAP
        for row in rows:
            x = GAP
            for drawing in row:
                renderer = QSvgRenderer(QByteArray(drawing.svg.encode()))
                assert renderer.isValid()
                renderer.render(painter, QRectF(x, y, drawing.width, drawing.height))
                x += drawing.width + GAP
            y += max(d.height for d in row) + GAP
    return image


def pictures() -> Iterator[tuple[str, QImage]]:
    """Give the name and picture of every sheet."""
    for palette in (LIGHT, DARK, GREY):
        look = Look(palette, Renderer(NumberStyle()))
        for k, names in enumerate((list(PLANS)[:5], list(PLANS)[5:])):
            rows = [plan_row(name, look) for name in names]
            yield f"plans-{palette.name}-{k}", sheet(rows, palette.card)
    yield "sizes", sheet(list(sizes(LIGHT)), LIGHT.paper)
    yield "typed", sheet([plan_row(n, Look(LIGHT, Renderer(TYPED))) for n in PLANS], LIGHT.card)
    for palette in (LIGHT, DARK, GREY):
        yield f"list-{palette.name}", sheet(list(lists(palette)), palette.card)


def plan_row(name: str, look: Look) -> list[Drawing]:
    """Draw the dial at two values, the chart and the row of a plan."""
    assessment = assessed(name)
    low, high = assessment.plan.duty.span
    marks = assessment.plan.duty.marks
    at = marks[-1].at.si(assessment.plan.duty.kind) if marks else (low + high) / 2.0
    return [
        dial_drawing(assessment, look, (88.0, 70.0), at),
        dial_drawing(assessment, look, (60.0, 60.0), low + 0.93 * (high - low)),
        error_chart(assessment, look, (96.0, 62.0)),
    ]


def sizes(palette: Palette) -> Iterator[list[Drawing]]:
    """Draw one plan in sizes from tiny to large."""
    look = Look(palette, Renderer(NumberStyle()))
    for name in ("coolant", "crowded", "oil"):
        assessment = assessed(name)
        at = assessment.plan.duty.span[0] + 0.6 * (
            assessment.plan.duty.span[1] - assessment.plan.duty.span[0]
        )
        yield [dial_drawing(assessment, look, (s, s * 0.85), at) for s in (34.0, 50.0, 72.0, 120.0)]
        yield [error_chart(assessment, look, (s, s * 0.6)) for s in (50.0, 72.0, 120.0)]


def lists(palette: Palette) -> Iterator[list[Drawing]]:
    """Draw the rows of a list and the verdict marks."""
    look = Look(palette, Renderer(NumberStyle()))
    for name in PLANS:
        signs: list[Drawing] = [verdict_drawing(verdict, look, 4.0) for verdict in Verdict]
        yield [row_curve(assessed(name), look), *signs, verdict_drawing(Verdict.UNKNOWN, look, 8.0)]


def main(folder: Path) -> None:
    """Write every sheet into a folder."""
    application = QGuiApplication.instance() or QGuiApplication([])
    for file in FILES.values():
        assert QFontDatabase.addApplicationFont(str(path("fonts", file))) >= 0
    folder.mkdir(parents=True, exist_ok=True)
    for name, image in pictures():
        image.save(str(folder / f"{name}.png"))
        print(folder / f"{name}.png")
    del application


if __name__ == "__main__":
    main(Path(sys.argv[1]))
