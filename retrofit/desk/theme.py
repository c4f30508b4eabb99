"""Light and dark: the palette of the drawings, worn by the whole window."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from retrofit.drawing.palette import DARK, LIGHT, Palette
from retrofit.drawing.svg import FONT
from retrofit.plan.checks.check import Verdict
from retrofit.shipped import path

Wanted = Literal["light", "dark", "system"]

BODY_POINTS, SMALL, TITLE = 10.5, "12.5px", "20px"


class Theme(QObject):
    """The colours in force.

    Parameters
    ----------
    wanted : str
        "light", "dark", or "system" for what the desktop around us uses.
    """

    changed = Signal()
    """Other colours are in force: paint again."""

    def __init__(self, wanted: Wanted = "system", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._wanted: Wanted = wanted
        self._palette = self._found()
        hints = QGuiApplication.styleHints()
        hints.colorSchemeChanged.connect(self._system_changed)

    @property
    def palette(self) -> Palette:
        """The palette in force."""
        return self._palette

    @property
    def wanted(self) -> Wanted:
        """What the user asked for."""
        return self._wanted

    def verdict(self, verdict: Verdict) -> str:
        """Return the colour of the mark of a verdict."""
        return self._palette.verdict(verdict)

    def use(self, wanted: Wanted) -> None:
        """Wear other colours."""
        self._wanted = wanted
        self._wear()

    def wear(self) -> None:
        """Dress the application: font, palette and style sheet."""
        app = QApplication.instance()
        if not isinstance(app, QApplication):
            return
        colours = self._palette
        app.setPalette(_qt_palette(colours))
        app.setStyleSheet(style_sheet(colours))

    def _found(self) -> Palette:
        if self._wanted == "system":
            dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
        else:
            dark = self._wanted == "dark"
        return DARK if dark else LIGHT

    def _system_changed(self) -> None:
        if self._wanted == "system":
            self._wear()

    def _wear(self) -> None:
        found = self._found()
        if found is not self._palette:
            self._palette = found
            self.wear()
            self.changed.emit()


def load_font(app: QApplication) -> bool:
    """Use the shipped font; return whether it could be loaded."""
    loaded = [
        QFontDatabase.addApplicationFont(str(path("fonts", name))) >= 0
        for name in ("Inter-Regular.otf", "Inter-SemiBold.otf")
    ]
    font = QFont(FONT)
    font.setPointSizeF(BODY_POINTS)
    app.setFont(font)
    return all(loaded)


def figures_of_one_width(font: QFont) -> QFont:
    """Return a font whose figures stand under each other.

    Worn by the window, not by the application: QtSvg bases every text of a drawing on the
    application's font, and wider figures would leave the room that drawings measure for them.
    """
    made = QFont(font)
    made.setFeature(QFont.Tag("tnum"), 1)
    return made


def _qt_palette(colours: Palette) -> QPalette:
    """Return what Qt's own parts of the window wear."""
    made = QPalette()
    role = QPalette.ColorRole
    for name, colour in (
        (role.Window, colours.paper),
        (role.WindowText, colours.ink),
        (role.Base, colours.card),
        (role.AlternateBase, colours.paper),
        (role.Text, colours.ink),
        (role.Button, colours.card),
        (role.ButtonText, colours.ink),
        (role.ToolTipBase, colours.card),
        (role.ToolTipText, colours.ink),
        (role.Highlight, colours.true),
        (role.HighlightedText, colours.card),
        (role.PlaceholderText, colours.muted),
        (role.Link, colours.true),
    ):
        made.setColor(name, QColor(colour))
    for name in (role.Text, role.WindowText, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, name, QColor(colours.muted))
    return made


def style_sheet(c: Palette) -> str:
    """Return the style sheet of the window in the colours `c`."""
    tick = path("icons").as_posix()
    side = "dark" if c.name == "dark" else "light"
    return f"""
QMainWindow, QWidget#step-inside, QScrollArea#step, QDialog {{ background: {c.paper}; }}
QFrame#top {{ background: {c.card}; border-bottom: 1px solid {c.line}; }}
QFrame#rail {{ background: {c.gap}; border-right: 1px solid {c.line}; }}
QFrame#panel, QWidget#panel-inside, QScrollArea#panel-scroll {{ background: {c.card}; }}
QFrame#panel {{ border-left: 1px solid {c.line}; }}
QFrame#card {{ background: {c.card}; border: 1px solid {c.line}; border-radius: 8px; }}
QLabel#step-title {{ font-size: {TITLE}; font-weight: 600; color: {c.ink}; }}
QLabel#step-lead, QLabel#field-hint, QLabel#check-why, QLabel#muted {{
  color: {c.muted}; font-size: {SMALL}; }}
QLabel#card-title {{ font-weight: 600; color: {c.ink}; }}
QLabel#field-label {{ color: {c.muted}; font-size: {SMALL}; }}
QLabel#field-value {{ color: {c.ink}; padding: 6px 0px; }}
QLabel#field-problem {{ color: {c.stop}; font-size: {SMALL}; }}
QLabel#check-says {{ color: {c.ink}; font-weight: 500; }}
QLabel#dial-name {{ color: {c.muted}; font-size: {SMALL}; }}
QLabel#panel-heading {{ color: {c.muted}; font-size: {SMALL}; }}
QLabel#true-value {{ color: {c.true}; font-weight: 600; }}
QLabel#shown-value {{ color: {c.shown}; font-weight: 600; }}
QLabel#caution, QFrame#caution {{ background: {c.card}; border: 1px solid {c.caution};
  border-radius: 8px; padding: 9px 12px; color: {c.ink}; }}
QLabel#notice, QFrame#notice {{ background: {c.corridor}; border: 1px solid {c.corridor_edge};
  border-radius: 8px; color: {c.ink}; }}
QLineEdit, QPlainTextEdit, QComboBox {{ background: {c.card}; color: {c.ink};
  border: 1px solid {c.corridor_edge}; border-radius: 6px; padding: 6px 9px; min-height: 20px;
  selection-background-color: {c.true}; selection-color: {c.card};
  placeholder-text-color: {c.muted}; }}
QComboBox {{ padding: 6px 2px 6px 11px; combobox-popup: 0; }}
QComboBox::drop-down {{ border: 0; width: 24px; }}
QComboBox::down-arrow {{ image: url("{tick}/down-{side}.svg"); width: 10px; height: 10px; }}
QComboBox QAbstractItemView {{ background: {c.card}; color: {c.ink};
  border: 1px solid {c.line}; selection-background-color: {c.corridor};
  selection-color: {c.ink}; outline: 0; }}
QComboBox QAbstractItemView::item {{ padding: 3px 10px; min-height: 22px; color: {c.ink}; }}
QComboBox QAbstractItemView::item:selected {{ background: {c.corridor}; }}
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QListView:focus, QTableView:focus {{
  border: 2px solid {c.true}; padding: 5px 8px; }}
QListView:focus, QTableView:focus {{ border-width: 1px; padding: 0; }}
QComboBox:focus {{ padding: 5px 1px 5px 10px; }}
QLineEdit[wrong="true"] {{ border: 2px solid {c.stop}; padding: 5px 8px; }}
QLineEdit:disabled, QComboBox:disabled {{ color: {c.muted}; border-color: {c.line}; }}
QLineEdit#plan-name {{ border-color: transparent; background: transparent; font-size: 16px;
  font-weight: 600; }}
QLineEdit#plan-name:hover {{ border-color: {c.line}; }}
QLineEdit#plan-name:focus {{ border: 2px solid {c.true}; background: {c.card}; }}
QPushButton, QToolButton {{ background: {c.card}; color: {c.ink};
  border: 1px solid {c.corridor_edge}; border-radius: 6px; padding: 6px 12px; min-height: 20px; }}
QPushButton:hover, QToolButton:hover {{ background: {c.corridor}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px solid {c.true}; padding: 5px 11px; }}
QPushButton:disabled, QToolButton:disabled {{ color: {c.muted}; border-color: {c.line}; }}
QPushButton#primary {{ background: {c.true}; color: {c.card}; border-color: {c.true};
  font-weight: 600; }}
QPushButton#primary:focus {{ border: 2px solid {c.ink}; }}
QPushButton#primary:disabled {{ background: {c.gap}; color: {c.muted}; border-color: {c.line}; }}
QPushButton#flat, QToolButton#flat {{ border-color: transparent; background: transparent; }}
QPushButton#flat:hover, QToolButton#flat:hover {{ background: {c.corridor}; }}
QPushButton#flat:focus, QToolButton#flat:focus {{ border: 2px solid {c.true}; }}
QToolButton#fold {{ border-color: transparent; background: transparent; padding-left: 0px; }}
QToolButton#fold:hover {{ background: {c.corridor}; }}
QToolButton#fold:focus {{ border: 2px solid {c.true}; }}
QToolButton[popupMode="2"] {{ padding-right: 26px; }}
QToolButton::menu-indicator {{ image: url("{tick}/down-{side}.svg"); width: 10px; height: 10px;
  subcontrol-position: right center; right: 9px; }}
QPushButton#rail-button {{ text-align: left; border: 2px solid transparent;
  background: transparent; color: {c.ink}; padding: 8px 10px; border-radius: 8px; }}
QPushButton#rail-button:hover {{ background: {c.paper}; }}
QPushButton#rail-button:checked {{ background: {c.card}; font-weight: 600;
  border-color: {c.line}; }}
QPushButton#rail-button:focus {{ border-color: {c.true}; }}
QPushButton#toggle:checked {{ background: {c.corridor}; border-color: {c.true}; }}
QPushButton#chip {{ border-radius: 14px; padding: 3px 11px; min-height: 20px;
  font-size: {SMALL}; }}
QPushButton#chip:checked {{ background: {c.true}; border-color: {c.true}; color: {c.card}; }}
QPushButton#chip:focus {{ border: 2px solid {c.true}; padding: 2px 10px; }}
QPushButton#chip:checked:focus {{ border-color: {c.ink}; }}
QPushButton#letter {{ min-width: 22px; padding: 5px 7px; }}
QPushButton#letter:checked {{ background: {c.ink}; color: {c.card}; border-color: {c.ink};
  font-weight: 600; }}
QPushButton#check-row {{ text-align: left; border: 0; border-top: 1px solid {c.line};
  border-radius: 0; padding: 0; background: transparent; }}
QPushButton#check-row:hover {{ background: {c.corridor}; }}
QPushButton#check-row:focus {{ border: 2px solid {c.true}; }}
QToolButton#how {{ border-color: transparent; background: transparent; color: {c.muted};
  padding: 1px 5px; min-height: 16px; }}
QToolButton#how:hover {{ background: {c.corridor}; color: {c.ink}; }}
QToolButton#how:focus {{ border: 2px solid {c.true}; padding: 0px 4px; color: {c.ink}; }}
QFrame#sums {{ background: {c.card}; border-top: 1px solid {c.line}; }}
QFrame#sums QTextBrowser {{ background: {c.card}; color: {c.ink}; }}
QFrame#sums QTextBrowser:focus {{ border: 2px solid {c.true}; }}
QScrollArea#pages {{ background: {c.gap}; border: 1px solid {c.line}; border-radius: 8px; }}
QWidget#pages-inside {{ background: {c.gap}; }}
QListView, QTableView {{ background: {c.card}; color: {c.ink}; border: 1px solid {c.line};
  border-radius: 8px; gridline-color: {c.line}; selection-background-color: {c.corridor};
  selection-color: {c.ink}; outline: 0; }}
QComboBox QAbstractItemView, QComboBox QAbstractItemView:focus {{
  border: 1px solid {c.corridor_edge}; border-radius: 0; padding: 0; }}
QHeaderView {{ background: {c.card}; border: 0; border-radius: 8px; }}
QTableCornerButton::section {{ background: {c.card}; border: 0;
  border-bottom: 1px solid {c.line}; }}
QHeaderView::section {{ background: {c.card}; color: {c.muted}; border: 0;
  border-bottom: 1px solid {c.line}; padding: 6px 8px; font-size: {SMALL}; }}
QTableView#preview QHeaderView::section:horizontal:first {{ padding-left: 26px; }}
QTabWidget::pane {{ border: 0; }}
QTabBar {{ qproperty-drawBase: 0; }}
QTabBar::tab {{ background: transparent; color: {c.muted}; padding: 7px 14px; border: 0;
  border-bottom: 2px solid transparent; }}
QTabBar::tab:selected {{ color: {c.ink}; font-weight: 600; border-bottom: 2px solid {c.true}; }}
QTabBar::tab:focus {{ color: {c.true}; }}
QCheckBox {{ color: {c.ink}; spacing: 8px; border: 2px solid transparent; padding: 2px 4px; }}
QCheckBox:focus {{ border: 2px solid {c.true}; border-radius: 6px; }}
QCheckBox::indicator {{ width: 14px; height: 14px; border: 1px solid {c.corridor_edge};
  border-radius: 3px; background: {c.card}; }}
QCheckBox::indicator:checked {{ background: {c.true}; border-color: {c.true};
  image: url("{tick}/check-{side}.svg"); }}
QSlider:horizontal {{ min-height: 22px; }}
QSlider::groove:horizontal {{ height: 6px; border-radius: 3px; background: {c.corridor}; }}
QSlider::handle:horizontal {{ background: {c.true}; width: 14px; height: 14px; margin: -6px 0;
  border-radius: 9px; border: 2px solid {c.card}; }}
QSlider::handle:horizontal:focus {{ border: 2px solid {c.ink}; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar::handle:vertical {{ background: {c.line}; border-radius: 5px; min-height: 30px; }}
QScrollBar::handle:vertical:hover {{ background: {c.muted}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
QScrollBar::handle:horizontal {{ background: {c.line}; border-radius: 5px; min-width: 30px; }}
QMenuBar {{ background: {c.card}; color: {c.ink}; padding: 3px 11px 0; }}
QMenuBar::item {{ padding: 4px 9px; border-radius: 4px; background: transparent; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {c.corridor}; color: {c.ink}; }}
QMenu {{ background: {c.card}; color: {c.ink}; border: 1px solid {c.line}; padding: 4px; }}
QMenu::item {{ padding: 6px 22px; }}
QMenu::item:disabled {{ color: {c.muted}; }}
QMenu::separator {{ height: 1px; background: {c.line}; margin: 4px 8px; }}
QToolTip {{ background: {c.card}; color: {c.ink}; border: 1px solid {c.line}; padding: 4px; }}
QProgressBar {{ border: 0; background: {c.corridor}; border-radius: 3px; height: 6px; }}
QProgressBar::chunk {{ background: {c.true}; border-radius: 3px; }}
QStatusBar {{ background: {c.card}; color: {c.muted}; }}
"""
