"""What every step has: a heading, a line that says what it is for, cards with fields."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area, Edit
from retrofit.desk.session import Change
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.field_grid import FieldGrid
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.desk.widgets.words_edit import WordsEdit
from retrofit.desk.workplace import Workplace

AmountEdit = Callable[[Amount | None], Edit]
WordEdit = Callable[[str], Edit]


class Card(QFrame):
    """A white card with a title and a grid of fields.

    Parameters
    ----------
    title : str
        What the fields are about.
    columns : int
        Fields beside each other.
    """

    def __init__(self, title: str, columns: int = 2, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        rows = QVBoxLayout(self)
        rows.setContentsMargins(16, 14, 16, 16)
        rows.setSpacing(10)
        if title:
            heading = QLabel(title)
            heading.setObjectName("card-title")
            rows.addWidget(heading)
        self._grid = FieldGrid(columns)
        rows.addLayout(self._grid)
        self.rows = rows

    def begin_row(self) -> None:
        """Let what is added next stand at the beginning of a row."""
        self._grid.begin_row()

    def add(
        self,
        widget: QWidget,
        *,
        wide: bool = False,
        at: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignTop,
    ) -> None:
        """Add a widget in the next free cell, or in a row of its own."""
        self._grid.put(widget, wide=wide, at=at)


class FoldCard(Card):
    """A card whose fields are folded away until its title is pressed.

    Parameters
    ----------
    title : str
        What the fields are about.
    columns : int
        Fields beside each other.
    """

    def __init__(self, title: str, columns: int = 3, parent: QWidget | None = None) -> None:
        super().__init__("", columns, parent)
        self.setObjectName("fold-card")
        self.rows.setContentsMargins(0, 0, 0, 0)
        self._inside = QWidget(self)
        self._grid = FieldGrid(columns, self._inside)
        self.heading = QToolButton(self)
        self.heading.setObjectName("fold")
        self.heading.setCheckable(True)
        self.heading.setText(title)
        self.heading.setAccessibleName(title)
        self.heading.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.heading.toggled.connect(self._folded)
        self._title = title
        self.rows.addWidget(self.heading)
        self.rows.addWidget(self._inside)
        self._folded(opened=False)

    def open(self, *, opened: bool = True) -> None:
        """Unfold the card; it never folds by itself what somebody has opened."""
        if opened:
            self.heading.setChecked(True)

    def say(self, summary: str) -> None:
        """Show in a few words what is inside."""
        self.heading.setText(f"{self._title}  ·  {summary}" if summary else self._title)

    def _folded(self, opened: bool) -> None:
        arrow = Qt.ArrowType.DownArrow if opened else Qt.ArrowType.RightArrow
        self.heading.setArrowType(arrow)
        self._inside.setVisible(opened)


class StepPage(QScrollArea):
    """One step of the work.

    Parameters
    ----------
    key : str
        Name of the step: its texts are ``step.<key>.title`` and ``step.<key>.lead``.
    place : Workplace
        The open plan and the means to work on it.
    """

    CAUTIONS: frozenset[str] = frozenset()
    """Which cautions of the plan belong where the hands are at this step."""

    AREAS: frozenset[Area] = frozenset({Area.DOCUMENT})
    """What a change must touch for the step to read again."""

    WIDEST = 1160
    """Most width [logical pixels] on a large screen; a field as wide as that is hard to read."""

    def __init__(self, key: str, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.key = key
        self.place = place
        self.fields: dict[str, Field] = {}
        self._caution: QLabel | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setObjectName("step")
        self.setAccessibleName(self.text("title"))
        inside = QWidget()
        inside.setObjectName("step-inside")
        beside = QHBoxLayout(inside)
        beside.setContentsMargins(0, 0, 0, 0)
        holder = QWidget()
        holder.setMaximumWidth(self.WIDEST)
        beside.addWidget(holder, 1)
        beside.addStretch(0)
        self.column = QVBoxLayout(holder)
        self.column.setContentsMargins(24, 20, 24, 24)
        self.column.setSpacing(14)
        title = QLabel(self.text("title"))
        title.setObjectName("step-title")
        self.lead = QLabel(self.text("lead"))
        self.lead.setObjectName("step-lead")
        self.lead.setWordWrap(True)
        self.column.addWidget(title)
        self.column.addWidget(self.lead)
        self.setWidget(inside)
        place.opened.connect(self.forget)
        place.changed.connect(self._heard)
        place.reader.changed.connect(self.read)

    def text(self, name: str) -> str:
        """Return a text of this step."""
        return self.place.reader.text(f"step.{self.key}.{name}")

    def read(self) -> None:
        """Show the plan as it is now."""
        raise NotImplementedError

    def forget(self) -> None:
        """Drop what was typed and not taken, and what is said of it: another plan is open."""
        for field in self.fields.values():
            editor = field.editor
            if isinstance(editor, QuantityEdit | WordsEdit):
                editor.forget()
            elif isinstance(editor, QLineEdit):
                editor.setModified(False)
            field.show_problem("")

    def go_to(self, field: str) -> None:
        """Put the cursor in the field that mends a check; in the first one for any other name."""
        found = self.fields.get(field) or next(iter(self.fields.values()), None)
        if found is not None:
            self.bring_up(found)
            found.go_there()

    def bring_up(self, widget: QWidget) -> None:
        """Scroll to a widget, also where it has only now been unfolded and has no place yet."""
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
        self.ensureWidgetVisible(widget)

    def amount_field(
        self,
        name: str,
        kind: Kind,
        edit: AmountEdit,
        *,
        optional: bool = False,
        label: str = "",
    ) -> QuantityEdit:
        """Add a field for an amount; `edit` makes the edit from what was typed.

        `label` is its text where that is not the one of its name.
        """
        words = label or self.text(name)
        editor = QuantityEdit(kind, self.place.reader, words, optional=optional)
        self.put_field(name, editor, edit, label=label)
        return editor

    def put_field(
        self, name: str, editor: QuantityEdit, edit: AmountEdit, *, label: str = ""
    ) -> None:
        """Add a field with an editor of amounts of its own; see `amount_field`."""
        field = Field(label or self.text(name), editor, "" if label else self._hint(name))
        self.fields[name] = field

        def typed(amount: Amount | None) -> None:
            field.show_problem(self.place.attempt(edit(amount)))

        def nudged(amount: Amount | None) -> None:
            field.show_problem(self.place.attempt(edit(amount), more=True))

        editor.edited.connect(typed)
        editor.nudged.connect(nudged)
        editor.refused.connect(field.show_problem)

    def word_field(
        self, name: str, words: tuple[str, ...], edit: WordEdit, *, label: str = ""
    ) -> Choice:
        """Add a field that takes one of a few words; their texts are ``word.<word>``."""
        texts = [(word, self.place.reader.text(f"word.{word}")) for word in words]
        return self.choice_field(name, texts, edit, label=label)

    def choice_field(
        self, name: str, texts: list[tuple[str, str]], edit: WordEdit, *, label: str = ""
    ) -> Choice:
        """Add a field that takes one of a few words, each with its text."""
        title = label or self.text(name)
        editor = Choice(texts, title)
        # A long entry must not set the width of the page.
        editor.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        editor.setMinimumContentsLength(6)
        field = Field(title, editor, "" if label else self._hint(name))
        self.fields[name] = field

        def chosen(word: str) -> None:
            field.show_problem(self.place.attempt(edit(word)))

        editor.chosen.connect(chosen)
        return editor

    def line_field(self, name: str, edit: WordEdit, *, label: str = "") -> WordsEdit:
        """Add a field for free words; `edit` makes the edit from what was typed."""
        title = label or self.text(name)
        editor = WordsEdit(title)
        field = Field(title, editor, "" if label else self._hint(name))
        self.fields[name] = field

        def finished(words: str) -> None:
            problem = self.place.attempt(edit(words))
            if problem:
                editor.refuse()
            field.show_problem(problem)

        def settled() -> None:
            field.show_problem("")

        editor.finished.connect(finished)
        editor.settled.connect(settled)
        return editor

    def _hint(self, name: str) -> str:
        key = f"step.{self.key}.{name}.hint"
        text = self.place.reader.renderer.known(key)
        return "" if text is None else text

    def caution_line(self) -> QLabel:
        """Return the line of this step's cautions, to be put in by the step; kept up to date."""
        line = QLabel(self.widget())
        line.setObjectName("caution")
        line.setWordWrap(True)
        self._caution = line
        self._show_cautions()
        return line

    def _show_cautions(self) -> None:
        if self._caution is None:
            return
        found = [m for m in self.place.assessment().cautions if m.key in self.CAUTIONS]
        self._caution.setText(" ".join(self.place.reader.sentence(m) for m in found))
        self._caution.setVisible(bool(found))

    def _heard(self, change: Change) -> None:
        self._show_cautions()
        if change.touches & self.AREAS or change.before.label != change.after.label:
            self.read()
