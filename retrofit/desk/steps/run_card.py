"""One run of the installation: its wire, its joints, or the ohms that a meter read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QLabel

from catalog.errors import UserError
from catalog.message import SiValue, message
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.wires import awg, conductor, metric
from retrofit.desk.edits import Edit
from retrofit.desk.steps.page import FoldCard, StepPage
from retrofit.desk.steps.typed_figures import figure
from retrofit.installation import Path, Run, Wire
from retrofit.installation.path_ohms import path_ohms

_NO_LENGTH = Amount(0.0, "m")

SetPath = Callable[[Path], Edit]


class RunCard:
    """The fields of one run, in a card of the step.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    run : str
        Which run.
    set_path : callable
        Makes the edit from the changed run.
    """

    def __init__(self, page: StepPage, run: Run, set_path: SetPath) -> None:
        self.run = run
        self._page, self._set, self._path = page, set_path, Path()
        name = run.replace(" ", "_")
        text = page.place.reader.text
        title = text(f"run.{run}")
        self.card = FoldCard(title[0].upper() + title[1:])
        self._size = page.line_field(f"{name}.size", self._sized, label=text("runs.size"))
        sizes = [one.size for one in metric()] + [awg(n).size for n in range(10, 25, 2)]
        self._size.offer(sizes)
        self._size.setPlaceholderText("1.5 mm²")
        self._length = page.amount_field(
            f"{name}.length", Kind.LENGTH, self._long, optional=True, label=text("runs.length")
        )
        self._hot = page.amount_field(
            f"{name}.hottest", Kind.TEMPERATURE, self._heated, optional=True, label=text("runs.hot")
        )
        self._contacts = page.amount_field(
            f"{name}.contacts",
            Kind.RESISTANCE,
            self._figure("contacts"),
            optional=True,
            label=text("runs.contacts"),
        )
        self._measured = page.amount_field(
            f"{name}.measured",
            Kind.RESISTANCE,
            self._figure("measured"),
            optional=True,
            label=text("runs.measured"),
        )
        self._colour = page.line_field(f"{name}.colour", self._coloured, label=text("runs.colour"))
        for part in ("size", "length", "hottest", "contacts", "measured", "colour"):
            self.card.add(page.fields[f"{name}.{part}"])
            page.fields[f"{name}.{part}"].say_whose(page.place.reader, title)
        hint = QLabel(text(f"run.{run}.hint"))
        hint.setObjectName("field-hint")
        hint.setWordWrap(True)
        self.card.add(hint, wide=True)

    def show(self, path: Path) -> None:
        """Show a run as it is in the plan."""
        self._path = path
        wire = path.wire
        self._size.hold("" if wire is None else wire.size)
        self._colour.hold("" if wire is None else wire.colour)
        known = wire is not None and wire.length != _NO_LENGTH
        self._length.set_amount(wire.length if known and wire is not None else None)
        self._hot.set_amount(None if wire is None else wire.temperature)
        self._contacts.set_amount(None if path.contacts is None else path.contacts.amount)
        self._measured.set_amount(None if path.measured is None else path.measured.amount)
        self.card.open(opened=not path.empty)
        self.card.say(self._summary(path))

    def _summary(self, path: Path) -> str:
        if path.empty:
            return ""
        found = path_ohms(path, self.run)
        reader = self._page.place.reader
        if found.unknown is not None:
            return reader.text("word.unknown")
        return reader.sentence(message("runs.ohms", ohm=SiValue(found.ohm, Kind.RESISTANCE)))

    def _wire(self, **changes: Any) -> Edit:
        """Make the edit of a changed wire; one without size and length is taken away."""
        wire = replace(self._path.wire or Wire("", _NO_LENGTH), **changes)
        gone = wire == Wire("", _NO_LENGTH)
        return self._set(replace(self._path, wire=None if gone else wire))

    def _sized(self, words: str) -> Edit:
        if not words:
            return self._wire(size="")
        try:
            return self._wire(size=conductor(words).size)
        except UserError as error:
            refused = error
            return Edit(message("edit.nothing"), lambda _: _refuse(refused), frozenset())

    def _long(self, amount: Amount | None) -> Edit:
        return self._wire(length=amount or _NO_LENGTH)

    def _heated(self, amount: Amount | None) -> Edit:
        return self._wire(temperature=amount)

    def _coloured(self, words: str) -> Edit:
        return self._wire(colour=words)

    def _figure(self, part: str) -> Callable[[Amount | None], Edit]:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {part: figure(amount)}
            return self._set(replace(self._path, **changes))

        return edit


def _refuse(error: UserError) -> Any:
    raise error
