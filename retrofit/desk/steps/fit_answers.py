"""The answers of the fit in its step: the worst on top, each card its own; the stale are faint."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QGraphicsOpacityEffect, QLabel, QWidget

from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.answers import Answers
from retrofit.desk.widgets.check_list import CheckRow
from retrofit.desk.widgets.sized_view import SizedView
from retrofit.desk.widgets.svg_view import FAINT
from retrofit.desk.widgets.words_edit import WordsEdit
from retrofit.fit.verdict import FitCheck
from retrofit.plan.checks.check import Check
from retrofit.plan.fits import Fitted

THREADS = ("thread", "port_thread")
"""Fields that everything hangs on."""


class FitAnswers:
    """Shows what was found of the fit.

    Parameters
    ----------
    page : StepPage
        The step; it has the fields of both threads.
    theme : Theme
        Colours of the marks.
    mended_at : callable
        From the field that a check names to that of the step.
    """

    def __init__(self, page: StepPage, theme: Theme, mended_at: Callable[[str], str]) -> None:
        self._page, self._theme, self._mended_at = page, theme, mended_at
        self._cards: list[tuple[tuple[str, ...], Answers]] = []
        self._stale: list[tuple[QLabel, SizedView, Answers]] = []
        self._check: Check | None = None
        self.worst = CheckRow(theme)
        self.worst.setObjectName("worst")
        self.worst.setContentsMargins(10, 2, 6, 2)
        self.worst.clicked.connect(self._mend)
        for name in THREADS:
            page.fields[name].problem_shown.connect(self._show_stale)

    def add_to(self, card: Card, names: tuple[str, ...], view: SizedView | None = None) -> None:
        """Give a card with these fields room for its answers, and below them for its drawing.

        Both are faint, under a notice, while a thread is typed that is not understood.
        """
        answers = Answers(self._page.place.reader, self._theme)
        self._cards.append((names, answers))
        if view is not None:
            notice = QLabel()
            notice.setObjectName("notice")
            notice.setWordWrap(True)
            notice.setMargin(8)
            card.add(notice, wide=True)
            notice.setVisible(False)
            self._stale.append((notice, view, answers))
        card.add(answers, wide=True)
        if view is not None:
            card.add(view, wide=True)

    def show(self, found: Fitted, checks: Sequence[Check]) -> None:
        """Show the answers of the fit; `checks` are all of the plan, worst first."""
        names = {check.name for check in found.checks}
        self._check = next((check for check in checks if check.name in names), None)
        unasked = found.direct is None and getattr(self._check, "name", "") == "thread"
        self.worst.setVisible(self._check is not None and not unasked)
        if self._check is not None:
            self.worst.show_check(self._check, self._page.place.reader)
            self.worst.how.setVisible(False)
        held: list[list[FitCheck]] = [[] for _ in self._cards]
        if found.direct is not None:
            held[0].append(found.direct.check)
        for check in found.checks:
            if found.direct is None or check != found.direct.check:
                held[self._card_of(check)].append(check)
        for (_, answers), mine in zip(self._cards, held, strict=True):
            answers.show_answers(mine)
        self._show_stale()

    def _card_of(self, check: FitCheck) -> int:
        name = self._mended_at(check.field)
        for number, (names, _) in enumerate(self._cards):
            if name in names:
                return number
        return 0

    def _show_stale(self) -> None:
        """Say of which thread everything is shown while another one is not understood."""
        said = ""
        for name in THREADS:
            field = self._page.fields[name]
            held = field.editor.held if isinstance(field.editor, WordsEdit) else ""
            if field.problem and held and not said:
                said = self._page.place.reader.text(f"step.fit.{name}.stale", thread=held)
        for notice, view, answers in self._stale:
            notice.setText(said)
            notice.setVisible(bool(said))
            view.fade(faded=bool(said))
            _fade(answers, faded=bool(said))
        self.worst.setEnabled(not said)
        _fade(self.worst, faded=bool(said))

    def _mend(self) -> None:
        check = self._check
        if check is None:
            return
        if check.step == "fit" or check.field in self._page.fields:
            self._page.go_to(check.field or check.name)
        else:
            self._page.place.step_wanted.emit(check.step)


def _fade(widget: QWidget, *, faded: bool) -> None:
    """Show a widget faintly, or fully again."""
    effect = None
    if faded:
        effect = QGraphicsOpacityEffect(widget)
        effect.setOpacity(FAINT)
    widget.setGraphicsEffect(effect)  # type: ignore[arg-type]
