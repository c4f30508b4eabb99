"""The window in the states that are kept as pictures, each made by a few edits from a known plan.

Renders them in a process of its own, whose scale, locale and fonts no other test has touched:
``python -m tests.desk.scenes FOLDER`` writes one PNG a picture. The Trim step is not among them.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QFont, QImage
from PySide6.QtWidgets import QApplication

from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from retrofit.desk.app import make_application, open_window
from retrofit.desk.edits import set_resistor
from retrofit.desk.files import demo_plan, new_plan, start_session
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.session import Session
from retrofit.desk.steps.advice_card import AdviceCard
from retrofit.desk.steps.catalogue import COMPARE, IDENTIFY, CataloguePage
from retrofit.desk.steps.part_step import KNOWN, TABLE, PartStep
from retrofit.desk.widgets.dial_mark_rows import SENDER
from retrofit.desk.window import Window
from retrofit.installation import TrimResistor
from retrofit.messages import Renderer
from retrofit.settings import Settings

ThemeName = Literal["light", "dark"]

WIDE, NARROW = (1440, 900), (1024, 700)
README_SIZE = (1180, 740)

HINTING = QFont.HintingPreference.PreferNoHinting

PASTED = "level %\tohm\n0\t88\n25\t70\n50\t80\n100\tabc\n"
"""A table with a row that turns round and one that holds no ohms."""


def _of_demo() -> Session:
    return start_session(demo_plan())


def _new_level() -> Session:
    return start_session(new_plan("level", Renderer(NumberStyle())))


def _part_step(window: Window, key: str) -> PartStep:
    step = window.steps[key]
    assert isinstance(step, PartStep)
    window.show_step(key)
    return step


def duty(window: Window) -> None:
    window.show_step("duty")


def fit(window: Window) -> None:
    window.show_step("fit")


def fit_chain(window: Window) -> None:
    """The fit step further down: chain, seals, earth."""
    window.mend("fit", "adapters")


def wiring(window: Window) -> None:
    window.show_step("wiring")


def gauge(window: Window) -> None:
    _part_step(window, "gauge")


def gauge_known(window: Window) -> None:
    _part_step(window, "gauge").tabs.setCurrentIndex(KNOWN)


def sender(window: Window) -> None:
    _part_step(window, "sender")


def sender_known(window: Window) -> None:
    _part_step(window, "sender").tabs.setCurrentIndex(KNOWN)


def paste(window: Window) -> None:
    step = _part_step(window, "sender")
    step.tabs.setCurrentIndex(TABLE)
    step.paste.area.setPlainText(PASTED)


def paste_empty(window: Window) -> None:
    _part_step(window, "sender").tabs.setCurrentIndex(TABLE)


def sheet(window: Window) -> None:
    window.show_step("sheet")


def sums(window: Window) -> None:
    window.panel.ask_shown()


def advice(window: Window) -> None:
    """Show the proposals for wires, their card open."""
    window.show_step("wiring")
    step = window.steps["wiring"]
    card = next(iter(step.findChildren(AdviceCard)))
    card.fold.open()
    settle()
    step.ensureWidgetVisible(card, 0, 400)


def finder(window: Window) -> None:
    """Look at every sender with its best two resistors, the second row selected and on trial."""
    step = _part_step(window, "sender")
    settle()
    step.finding.most.buttons["2"].click()
    settle()
    step.finding.finder.look_at(step.finding.finder.rows[1].key)
    step.finding.finder.trial.click()
    settle()  # the page grows with what is said of the row, a level at a time


def compare(window: Window) -> None:
    """Show two pairings beside each other: without a trim and with one."""
    window.add_pairing()
    label = window.place.view.plan.pairings[-1].label
    trim = TrimResistor("across sender", Amount(560.0, "Ω"))
    assert window.place.attempt(set_resistor(label, trim)) == ""
    window.show_step("compare")


def compare_alone(window: Window) -> None:
    window.show_step("compare")


def catalogue(window: Window) -> CataloguePage:
    """Show the catalogue page, the user's catalogue open."""
    window.open_stock()
    window.show_step("catalogue")
    page = window.steps["catalogue"]
    assert isinstance(page, CataloguePage)
    return page


def catalogue_list(window: Window) -> None:
    catalogue(window)


def catalogue_curve(window: Window) -> None:
    page = catalogue(window)
    settle()
    page.ensureWidgetVisible(page.form.curve.rows[SENDER].heads)


def catalogue_compare(window: Window) -> None:
    page = catalogue(window)
    for key in ("temperature-291-22-120c", "temperature-450-15-300f", "temperature-platinum-100"):
        page.show_part(key)
        page.parts.compare.click()
    page.tabs.setCurrentIndex(COMPARE)


def catalogue_identify(window: Window) -> None:
    page = catalogue(window)
    page.tabs.setCurrentIndex(IDENTIFY)
    pairs = zip(page.identify.points.rows, ((40.0, 287.0), (120.0, 22.3)), strict=False)
    for row, (at, ohms) in pairs:
        row.at.set_amount(Amount(at, "°C"))
        row.gives.set_amount(Amount(ohms, "Ω"))
    page.identify.rising.chosen.emit("")


@dataclass(frozen=True)
class Scene:
    """What is shown, how large, in which colours.

    Attributes
    ----------
    name : str
        Name of the picture's file.
    session : callable
        Makes the session.
    go : callable
        Brings the window there.
    size : (int, int)
        Size of the window [logical pixels].
    theme : str
        "light" or "dark".
    """

    name: str
    session: Callable[[], Session]
    go: Callable[[Window], None]
    size: tuple[int, int]
    theme: ThemeName


STATES: tuple[tuple[str, Callable[[], Session], Callable[[Window], None]], ...] = (
    ("duty", _of_demo, duty),
    ("gauge", _of_demo, gauge),
    ("paste", _new_level, paste),
    ("wiring", _of_demo, wiring),
    ("compare", _of_demo, compare),
    ("new", _new_level, duty),
)
"""What the twelve pictures show."""

MORE_STATES: tuple[tuple[str, Callable[[], Session], Callable[[Window], None]], ...] = (
    ("gauge-known", _of_demo, gauge_known),
    ("sender", _of_demo, sender),
    ("fit", _of_demo, fit),
    ("fit-chain", _of_demo, fit_chain),
    ("new-fit", _new_level, fit),
    ("sender-known", _of_demo, sender_known),
    ("finder", _of_demo, finder),
    ("paste-empty", _of_demo, paste_empty),
    ("compare-alone", _of_demo, compare_alone),
    ("new-gauge", _new_level, gauge),
    ("new-wiring", _new_level, wiring),
    ("catalogue", _of_demo, catalogue_list),
    ("catalogue-curve", _of_demo, catalogue_curve),
    ("catalogue-compare", _of_demo, catalogue_compare),
    ("catalogue-identify", _of_demo, catalogue_identify),
    ("sheet", _of_demo, sheet),
    ("sums", _of_demo, sums),
    ("advice", _of_demo, advice),
)
"""What the contact sheets show besides."""


def kept() -> list[Scene]:
    """Return the twelve scenes: every state in both sizes, half of them light at each size."""
    found = []
    for place, (name, session, go) in enumerate(STATES):
        themes: tuple[ThemeName, ThemeName] = ("light", "dark")
        if place % 2:
            themes = ("dark", "light")
        for size, theme in zip((WIDE, NARROW), themes, strict=True):
            found.append(Scene(f"{name}-{size[0]}-{theme}", session, go, size, theme))
    return found


def of_readme() -> list[Scene]:
    """Return the scenes that README.md shows."""
    return [
        Scene("window", _of_demo, duty, README_SIZE, "light"),
        Scene("gauge", _of_demo, gauge, README_SIZE, "light"),
        Scene("compare", _of_demo, compare, (1440, 740), "dark"),
    ]


def settle() -> None:
    """Let the window lay itself out and paint."""
    for _ in range(6):
        QApplication.processEvents()


def opened(scene: Scene) -> Window:
    """Open the window at a scene, with no cursor in it."""
    app = make_application(["retrofit"])
    font = app.font()
    # What a machine's settings say of hinting moves whole lines of text by a pixel.
    font.setHintingPreference(HINTING)
    font.setStyleStrategy(QFont.StyleStrategy.NoSubpixelAntialias)
    app.setFont(font)
    window = open_window(scene.session(), Settings(theme=scene.theme), InlineExecutor())
    window.resize(*scene.size)
    window.show()
    settle()
    scene.go(window)
    focus = QApplication.focusWidget()
    if focus is not None:
        focus.clearFocus()
    settle()
    return window


def closed(window: Window) -> None:
    """Close the window and let Qt take it away."""
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def render(scene: Scene) -> QImage:
    """Return the picture of a scene."""
    window = opened(scene)
    image = window.grab().toImage()
    closed(window)
    return image


def main(folder: Path) -> None:
    """Write the pictures of all scenes."""
    folder.mkdir(parents=True, exist_ok=True)
    for scene in kept():
        assert render(scene).save(str(folder / f"{scene.name}.png"))
    (folder / "readme").mkdir(exist_ok=True)
    for scene in of_readme():
        assert render(scene).save(str(folder / "readme" / f"{scene.name}.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
