"""Parts in from files and out into them: first what would change, then all of it or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from catalog.codec import Part
from catalog.errors import UserError
from catalog.exchange.choices import Choice as Decided
from catalog.exchange.compare import Import, Line, State, compare
from catalog.exchange.files import read_files, write_files
from catalog.exchange.taking import Decision, take
from catalog.message import message
from catalog.shelf import Kept, Shelf
from retrofit.desk.catalogue.history_panel import told_differences
from retrofit.desk.catalogue.row_list import RowList
from retrofit.desk.catalogue.shelves import Change, Shelves
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field

_MOST_ROWS = 6
_CHOICES = ("leave", "theirs", "mine-as-new", "theirs-as-new")
_UNDECIDED = ""
_ORDER: tuple[State, ...] = ("conflict", "changed", "new", "same")
_MOST_PROBLEMS = 12


class ExchangePanel(QWidget):
    """Import with its preview, and export.

    Parameters
    ----------
    stock, shelves : Stock, Shelves
        The catalogue.
    executor : Executor
        Reads, compares and writes aside.
    reader, theme : Reader, Theme
        Texts and colours.
    """

    def __init__(
        self,
        stock: Stock,
        shelves: Shelves,
        executor: Executor,
        reader: Reader,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._stock, self._shelves = stock, shelves
        self._executor, self._reader = executor, reader
        self._found: Import | None = None
        self._files: tuple[Path, ...] = ()
        self._each: dict[str, Decided] = {}
        self._listed: tuple[Kept, ...] = ()
        self._run = 0
        text = reader.text
        self.open = QPushButton(text("exchange.page.open"))
        self.open_folder = QPushButton(text("exchange.page.open_folder"))
        self.says = QLabel()
        self.list = RowList(text("exchange.page.list"), reader, theme)
        self.differs = QLabel()
        self.one = Choice(self._choices("exchange.page.choose"), text("exchange.page.one"))
        self.all = Choice(self._choices("exchange.page.choose"), text("exchange.page.all"))
        self.apply = QPushButton(text("exchange.page.apply"))
        self.forget = QPushButton(text("exchange.page.forget"))
        self.what = Choice(
            [(word, text(f"exchange.page.out.{word}")) for word in ("listed", "own", "every")],
            text("exchange.page.what"),
        )
        self.save_json = QPushButton(text("exchange.page.save_json"))
        self.save_csv = QPushButton(text("exchange.page.save_csv"))
        self.told = QLabel()
        self._one_field = Field(text("exchange.page.one"), self.one)
        self._all_field = Field(text("exchange.page.all"), self.all)
        self._preview = QWidget()
        self._arrange()
        self.told.hide()
        self.says.hide()
        self._connect()
        self._show()

    def _choices(self, undecided: str) -> list[tuple[str, str]]:
        text = self._reader.text
        shown = [(_UNDECIDED, text(undecided))]
        return shown + [(word, text(f"exchange.page.choice.{word}")) for word in _CHOICES]

    def _arrange(self) -> None:
        for choice in (self.one, self.all, self.what):  # a long entry must not set the width
            choice.setSizeAdjustPolicy(
                Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            choice.setMinimumContentsLength(12)
        for label in (self.says, self.differs, self.told):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.differs.setObjectName("muted")
        self.told.setObjectName("muted")
        self.apply.setObjectName("primary")
        buttons, decide, done = QHBoxLayout(), QHBoxLayout(), QHBoxLayout()
        for button in (self.open, self.open_folder):
            buttons.addWidget(button)
        buttons.addStretch(1)
        decide.addWidget(self._one_field, 1)
        decide.addWidget(self._all_field, 1)
        done.addStretch(1)
        done.addWidget(self.forget)
        done.addWidget(self.apply)
        inside = QVBoxLayout(self._preview)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self.list)
        inside.addWidget(self.differs)
        inside.addLayout(decide)
        inside.addLayout(done)
        into = Card(self._reader.text("exchange.page.import"), columns=1)
        hint = QLabel(self._reader.text("exchange.page.hint"))
        hint.setObjectName("muted")
        hint.setWordWrap(True)
        into.rows.addWidget(hint)
        into.rows.addLayout(buttons)
        into.rows.addWidget(self.says)
        into.rows.addWidget(self._preview)
        out = Card(self._reader.text("exchange.page.export"), columns=1)
        out.add(Field(self._reader.text("exchange.page.what"), self.what))
        save = QHBoxLayout()
        save.addWidget(self.save_json)
        save.addWidget(self.save_csv)
        save.addStretch(1)
        out.rows.addLayout(save)
        out.rows.addWidget(self.told)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(12)
        column.addWidget(into)
        column.addWidget(out)
        column.addStretch(1)

    def _connect(self) -> None:
        self.open.clicked.connect(self._ask_files)
        self.open_folder.clicked.connect(self._ask_folder)
        self.list.looked_at.connect(self._looked)
        self.one.chosen.connect(self._decided)
        self.all.chosen.connect(self._decided_all)
        self.apply.clicked.connect(self._apply)
        self.forget.clicked.connect(self.drop)
        self.save_json.clicked.connect(self._ask_json)
        self.save_csv.clicked.connect(self._ask_csv)
        self._shelves.made.connect(self._made)
        self._shelves.changed.connect(self._offer)

    # --- what is asked of it --------------------------------------------------------------------

    def show_listed(self, parts: Sequence[Kept]) -> None:
        """Offer the parts that the list shows for export."""
        self._listed = tuple(parts)

    def look_at(self, paths: Sequence[Path]) -> None:
        """Say what taking files over would change; nothing is changed."""
        self._files, self._each = tuple(paths), {}
        self._run += 1
        run, store, decimal = self._run, self._stock.store, self._reader.decimal
        self._say(self._reader.text("exchange.page.reading"))

        def work(progress: Progress) -> Import:
            progress.step(0, 2)
            incoming = read_files(paths, decimal)
            progress.step(1, 2)
            if store is None:
                return Import((), frozenset(), (message("shelves.not_open"),))
            return compare(incoming, store)

        job: Job[Import] = Job(work, lambda found: self._compared(run, found), self._failed)
        self._executor.run(job)

    def drop(self) -> None:
        """Forget what was read."""
        self._found, self._files, self._each = None, (), {}
        self._run += 1
        self._say("")
        self._show()

    # --- import ---------------------------------------------------------------------------------

    def _ask_files(self) -> None:
        names, _ = QFileDialog.getOpenFileNames(
            self.window(),
            self._reader.text("exchange.page.open"),
            str(Path.home()),
            self._reader.text("exchange.page.filter"),
        )
        if names:
            self.look_at([Path(name) for name in names])

    def _ask_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(
            self.window(), self._reader.text("exchange.page.open_folder"), str(Path.home())
        )
        if name:
            self.look_at([Path(name)])

    def _compared(self, run: int, found: Import) -> None:
        if run == self._run:
            self._found = found
            self._show()

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._found = None
        self._say(self._reader.error(error), wrong=True)
        self._show()

    def _show(self) -> None:
        found = self._found
        self._preview.setVisible(found is not None and bool(found.lines))
        if found is not None:
            ordered = sorted(found.lines, key=lambda line: _ORDER.index(line.state))
            rows = [self._row(line) for line in ordered if line.state != "same"]
            self.list.show_rows(rows, self._reader.text("exchange.page.nothing"))
            self.list.fit(_MOST_ROWS)
            self._tell(found)
            self._looked(self.list.key)
        self._all_field.setVisible(found is not None and bool(found.of("conflict")))
        self._offer()

    def _row(self, line: Line) -> PartRow:
        text = self._reader.text
        said = [text(f"exchange.page.state.{line.state}")]
        choice = self._choice(line)
        if line.state in ("conflict", "changed"):
            said.append(text("exchange.page.differs", count=len(line.differences)))
        if line.state == "conflict":
            key = f"exchange.page.choice.{choice}" if choice else "exchange.page.undecided_row"
            said.append(text(key))
        elif choice == "leave":
            said.append(text("exchange.page.choice.leave"))
        if line.retired:
            said.append(text("exchange.page.retired"))
        if line.earlier is not None:
            said.append(text("exchange.page.earlier", revision=line.earlier))
        return PartRow(line.key, line.theirs.name, " · ".join(said), worst=line.key)

    def _choice(self, line: Line) -> Decided | None:
        return self._decision().of(line)

    def _decision(self) -> Decision:
        word = self.all.word
        return Decision(cast(Decided, word) if word else None, dict(self._each))

    def _tell(self, found: Import) -> None:
        if found.problems:
            told = [self._reader.sentence(one) for one in found.problems[:_MOST_PROBLEMS]]
            more = len(found.problems) - len(told)
            if more > 0:
                told.append(self._reader.text("exchange.page.more_problems", count=more))
            self._say("\n".join(told), wrong=True)
            return
        counts = {state: len(found.of(state)) for state in _ORDER}
        self._say(
            self._reader.text(
                "exchange.page.counts",
                files=", ".join(path.name for path in self._files[:3]),
                new=counts["new"],
                changed=counts["changed"],
                conflicts=counts["conflict"],
                same=counts["same"],
            )
        )

    def _line(self, key: str) -> Line | None:
        lines = () if self._found is None else self._found.lines
        return next((line for line in lines if line.key == key), None)

    def _looked(self, key: str) -> None:
        line = self._line(key)
        differs = line is not None and line.state in ("conflict", "changed")
        self._one_field.setVisible(differs)
        self.differs.setVisible(line is not None)
        if line is None:
            return
        self.one.set_word(self._each.get(key, _UNDECIDED))
        if differs:
            self.differs.setText(told_differences(line.differences, self._reader))
        else:
            self.differs.setText(self._reader.text("exchange.page.new_part", file=line.place.file))

    def _decided(self, word: str) -> None:
        key = self.list.key
        if word:
            self._each[key] = cast(Decided, word)
        else:
            self._each.pop(key, None)
        self._write_rows()

    def _decided_all(self, word: str) -> None:
        del word
        self._write_rows()

    def _write_rows(self) -> None:
        if self._found is not None:
            self.list.model.update_rows([self._row(line) for line in self._found.lines])
        self._offer()

    def _offer(self) -> None:
        """Let only what is sound and decided be taken over."""
        found = self._found
        can = found is not None and not found.problems and self._shelves.can_save
        if can and found is not None:
            open_ones = [line for line in found.of("conflict") if self._choice(line) is None]
            some = any(
                line.state == "new" or self._choice(line) not in (None, "leave")
                for line in found.lines
                if line.state != "same"
            )
            can = not open_ones and some
        self.apply.setEnabled(bool(can))

    def _apply(self) -> None:
        found, decision, files = self._found, self._decision(), self._files
        if found is None:
            return
        names = ", ".join(path.name for path in files[:3])
        label = message("exchange.page.label", files=names)
        words = self._reader.sentence(label)

        def work(store: Any, shelf: Shelf) -> Sequence[str]:
            del shelf
            return [record.key for record in take(found, decision, store, words)]

        self._shelves.do(Change(label, work, merge="import"))

    def _made(self, keys: tuple[str, ...]) -> None:
        """Say that what was read is taken over now."""
        last = self._shelves.last
        if self._found is not None and last is not None and last.label.key == "exchange.page.label":
            self._found = None
            self._each = {}
            self._show()
            self._say(self._reader.text("exchange.page.done", count=len(keys)))

    # --- export ---------------------------------------------------------------------------------

    def _ask_json(self) -> None:
        name, _ = QFileDialog.getSaveFileName(
            self.window(),
            self._reader.text("exchange.page.save_json"),
            str(Path.home() / "parts.json"),
            self._reader.text("exchange.page.json_filter"),
        )
        if name:
            path = Path(name)
            self.write(path if path.suffix else path.with_suffix(".json"))

    def _ask_csv(self) -> None:
        name = QFileDialog.getExistingDirectory(
            self.window(), self._reader.text("exchange.page.save_csv"), str(Path.home())
        )
        if name:
            self.write(Path(name))

    def write(self, target: Path, *, force: bool = True) -> None:
        """Write the chosen parts to a JSON file, or as CSV into a folder."""
        chosen = self._chosen()
        if not chosen:
            self._tell_export(self._reader.text("exchange.page.no_parts"))
            return
        decimal = self._reader.decimal
        # A save dialog has asked already; a folder's files nobody was asked about.
        over = force and target.suffix.lower() == ".json"

        def work(progress: Progress) -> tuple[Path, ...]:
            progress.step(0, 1)
            return tuple(write_files(target, chosen, decimal, force=over))

        self._executor.run(Job(work, self._written, self._not_written))

    def _chosen(self) -> list[Part]:
        if self.what.word == "listed":
            return [one.part for one in self._listed]
        own = self.what.word == "own"
        shelf = self._shelves.shelf
        return [one.part for one in shelf if not one.retired and (one.own or not own)]

    def _written(self, files: tuple[Path, ...]) -> None:
        names = ", ".join(str(file) for file in files)
        self._tell_export(self._reader.text("exchange.page.written", files=names))

    def _not_written(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        said = [*error.messages]
        if any(one.key == "exchange.exists" for one in said):
            said.append(message("exchange.page.other_folder"))
        self._tell_export("\n".join(self._reader.sentence(one) for one in said))

    def _tell_export(self, text: str) -> None:
        self.told.setText(text)
        self.told.setVisible(bool(text))

    def _say(self, text: str, *, wrong: bool = False) -> None:
        self.says.setObjectName("field-problem" if wrong else "")
        self.says.setText(text)
        self.says.setVisible(bool(text))
        self.says.style().unpolish(self.says)
        self.says.style().polish(self.says)
