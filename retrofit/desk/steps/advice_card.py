"""Which wires and fuse are proposed and why; read only, for local codes go before it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QWidget

from catalog.message import Message, message
from retrofit.desk.steps.page import Card, FoldCard
from retrofit.desk.workplace import Workplace
from retrofit.plan.wiring_advice import WiringAdvice


class AdviceCard(Card):
    """The proposals of the plan as it is now, each with its reasons behind it.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(place.reader.text("advice.title"), columns=1, parent=parent)
        self._place = place
        self.told = QLabel()
        self.told.setTextFormat(Qt.TextFormat.RichText)
        self.told.setWordWrap(True)
        self.says = QLabel()
        self.says.setWordWrap(True)
        self.fold = FoldCard(place.reader.text("advice.why"), columns=1)
        self.fold.add(self.told)
        self.add(self.says)
        self.add(self.fold)

    def read(self) -> None:
        """Show what is proposed now; nothing is worked out while nobody looks."""
        if not self.isVisible():
            return
        advice, reader = self._place.assessment().advice, self._place.reader
        sizes = [reader.sentence(one.size_says) for one in advice.wires if one.size]
        sizes = list(dict.fromkeys(sizes))
        rating = advice.fuse.rating
        if rating is not None:
            sizes.append(reader.sentence(message("drawing.wiring.fuse_of", rating=rating)))
        self.says.setText(", ".join(sizes))
        self.told.setText("".join(self._lines(advice)))

    def _lines(self, advice: WiringAdvice) -> Iterator[str]:
        sentence = self._place.reader.sentence
        said = {one.run: [sentence(reason) for reason in one.reasons] for one in advice.wires}
        told = Counter(reason for reasons in said.values() for reason in reasons)
        for wire in advice.wires:
            own = [one for one in said[wire.run] if told[one] == 1]
            yield self._line(wire.says, own)
        shared = [one for one, count in told.items() if count > 1]
        if shared:
            yield self._line(message("advice.shared"), shared)
        rating = advice.fuse.rating
        key = "cli.advice.no_fuse" if rating is None else "cli.advice.fuse"
        yield self._line(
            message(key, rating=rating or 0.0), [sentence(one) for one in advice.fuse.reasons]
        )
        yield f"<p>{escape(' '.join(sentence(one) for one in advice.general))}</p>"

    def _line(self, title: Message, reasons: list[str]) -> str:
        told = escape(" ".join(reasons))
        words = escape(self._place.reader.sentence(title))
        head = f'<span style="font-weight:600">{words}</span>'
        return f"<p>{head}<br>{told}</p>" if told else f"<p>{head}</p>"

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Show what is proposed by now."""
        super().showEvent(event)
        self.read()
