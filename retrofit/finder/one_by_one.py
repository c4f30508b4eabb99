"""Three resistors, a scarce stock or limits of the sender: one search a candidate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import message
from retrofit.finder.fits import Fitting
from retrofit.finder.rows import Bounded, Excluded, Fit, Row, Solution
from retrofit.finder.screening import Tried
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.trim_wishes import TrimWishes, proposable
from retrofit.trim.answer import Found, Wishes, best_trims
from retrofit.trim.many.levels import Levels
from retrofit.trim.many.reach_bound import reach_bound
from retrofit.trim.question import Question
from retrofit.trim.search import Watch
from retrofit.trim.ties import Filter


class OneByOne:
    """Candidates before one gauge that need a search each, the most promising first.

    Parameters
    ----------
    tried : Tried
        The candidates and what is asked of each.
    fitting : Fitting
        Makes their fits.
    wishes : TrimWishes
        From which resistors, and how many.
    pairing, duty : Pairing, Duty
        What the sender's own limits are worked out from.
    """

    def __init__(
        self, tried: Tried, fitting: Fitting, wishes: TrimWishes, pairing: Pairing, duty: Duty
    ) -> None:
        self._tried, self._fitting, self._wishes = tried, fitting, wishes
        self._pairing, self._duty = pairing, duty
        self._bounds = self._bounded()
        self._left = np.argsort(self._bounds, kind="stable").tolist()

    def first(self, wanted: int, watch: Watch) -> Iterator[list[Solution]]:
        """Give one after the other until no bound is below the last rank that is wanted."""
        worst: list[float] = []
        while self._left:
            if len(worst) >= wanted and sorted(worst)[wanted - 1] <= self._bounds[self._left[0]]:
                return
            found = self._solved(self._left.pop(0), watch)
            if isinstance(found, Row):
                worst.append(found.best.worst)
            yield [found]

    def bounded(self) -> list[Bounded]:
        """Return those that are not solved yet, with what none of their trims can beat."""
        return [Bounded(self._tried.candidates[n], float(self._bounds[n])) for n in self._left]

    def rest(self, watch: Watch) -> Iterator[list[Solution]]:
        """Give all others, one at a time."""
        while self._left:
            yield [self._solved(self._left.pop(0), watch)]

    def _question(self, n: int) -> Question:
        return replace(self._tried.question, ohms=self._tried.ohms[n])

    def _bounded(self) -> Array:
        question = self._tried.question
        if (self._wishes.pull_up and question.node.pull_up) or len(self._tried.candidates) == 1:
            return np.zeros(len(self._tried.candidates))
        levels = Levels.of(question)
        every = range(len(self._tried.candidates))
        return np.array([reach_bound(self._question(n), levels) for n in every])

    def _solved(self, n: int, watch: Watch) -> Solution:
        candidate, wishes = self._tried.candidates[n], self._wishes
        asked = Wishes(wishes.most, wishes.pull_up, wishes.tolerance, self._allowed(n))
        answer = best_trims(self._question(n), wishes.ohms(), asked, watch)
        if answer.best is None or answer.lead is None:
            limited = self._duty.original is not None
            key = "trims.unreachable_limits" if limited else "trims.unreachable"
            return Excluded(candidate, "unreachable", message(key))
        best, lead = (self._fit(each) for each in (answer.best, answer.lead))
        return Row(candidate, best, best if answer.lead is answer.best else lead)

    def _fit(self, found: Found) -> Fit:
        worst = np.array([found.worst])
        return self._fitting.fits([found.trim], worst, found.shown[None, :])[0]

    def _allowed(self, n: int) -> Filter | None:
        """Return which trims its sender and the stock allow."""
        candidate = self._tried.candidates[n]
        there = replace(self._pairing, gauge=candidate.gauge, sender=candidate.sender)
        return proposable(there, self._duty, self._wishes)
