"""Twelve pictures of the window look as they did; RETROFIT_RENEW=1 writes them anew.

After a change that is meant to be seen: ``RETROFIT_RENEW=1 python -m pytest
tests/desk/test_pictures.py tests/desk/test_readme_pictures.py``; look at every picture before it
is kept.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QFont, QImage
from PySide6.QtWidgets import (
    QComboBox,
    QGraphicsOpacityEffect,
    QLineEdit,
    QPushButton,
    QWidget,
)

from retrofit.desk.widgets.svg_view import LayeredView
from tests.desk import scenes
from tests.desk.picture_comparison import (
    MOST,
    difference,
    kept_size,
    load,
    said,
)
from tests.desk.scenes import Scene

FOLDER = Path(__file__).parent / "pictures"
RENEW = "RETROFIT_RENEW"
SCENES = scenes.kept()
CONTROLS = (QPushButton, QLineEdit, QComboBox, LayeredView)
IN_SIGHT = 24
"""Least edge of what is in sight of a control [logical pixels] for it to be missed."""


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_that_the_window_looks_as_it_did(scene: Scene, rendered: Path) -> None:
    now = kept_size(load(rendered / f"{scene.name}.png"))
    kept = FOLDER / f"{scene.name}.png"
    if os.environ.get(RENEW):
        assert now.save(str(kept), "PNG", 0)  # type: ignore[call-overload]
    before = load(kept)
    assert difference(before, now) <= MOST, f"{scene.name}: {said(before, now)}"


def test_that_twelve_pictures_are_kept_and_no_other() -> None:
    assert {path.stem for path in FOLDER.iterdir()} == {scene.name for scene in SCENES}
    assert len(SCENES) == 12
    assert {scene.theme for scene in SCENES if scene.size == scenes.WIDE} == {"light", "dark"}
    assert sum(path.stat().st_size for path in FOLDER.iterdir()) < 600_000


def in_sight(window: QWidget) -> list[QWidget]:
    """Return the controls and drawings that can be seen."""
    found: list[QWidget] = []
    for widget in window.findChildren(QWidget):
        box = widget.visibleRegion().boundingRect()
        seen = widget.isVisible() and min(box.width(), box.height()) >= IN_SIGHT
        if seen and isinstance(widget, CONTROLS):
            found.append(widget)
    return found


@pytest.mark.parametrize("scene", [SCENES[0], SCENES[11]], ids=lambda scene: scene.name)
def test_that_a_control_that_is_missing_is_told(scene: Scene) -> None:
    window = scenes.opened(scene)
    whole = kept_size(window.grab().toImage())
    controls = in_sight(window)
    assert len(controls) > 12
    for control in controls:
        gone = QGraphicsOpacityEffect(control)
        gone.setOpacity(0.0)
        control.setGraphicsEffect(gone)
        scenes.settle()
        without = kept_size(window.grab().toImage())
        assert difference(whole, without) > MOST, (control, control.accessibleName())
        control.setGraphicsEffect(None)  # type: ignore[arg-type]
    scenes.closed(window)


def test_that_another_way_to_draw_letters_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    scene = SCENES[1]
    plain = kept_size(scenes.render(scene))
    monkeypatch.setattr(scenes, "HINTING", QFont.HintingPreference.PreferVerticalHinting)
    hinted = kept_size(scenes.render(scene))
    assert 0.0 < difference(plain, hinted) <= MOST / 5.0


def test_that_another_needle_another_colour_and_another_size_are_told() -> None:
    scene = SCENES[1]
    plain = kept_size(scenes.render(scene))
    window = scenes.opened(scene)
    window.panel.slider.setValue(window.panel.slider.minimum())
    scenes.settle()
    assert difference(plain, kept_size(window.grab().toImage())) > MOST
    scenes.closed(window)
    light = scenes.render(replace(scene, theme="light"))
    assert difference(plain, kept_size(light)) > 100.0
    assert difference(plain, QImage(10, 10, QImage.Format.Format_RGB32)) == 255.0
