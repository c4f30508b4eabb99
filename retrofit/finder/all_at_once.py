"""Up to two resistors and no limits of the sender: all candidates of a gauge at once."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from catalog.message import message
from retrofit.finder.fits import Fitting
from retrofit.finder.rows import Bounded, Candidate, Excluded, Fit, Row, Solution
from retrofit.finder.screening import Tried
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.trim.answer import WELL_WITHIN
from retrofit.trim.many.crowd import Crowd, Solved
from retrofit.trim.question import TIE
from retrofit.trim.search import Watch
from retrofit.trim.topologies import Index


class AllAtOnce:
    """A crowd of candidates before one gauge.

    Parameters
    ----------
    tried : Tried
        The candidates and what is asked of each.
    fitting : Fitting
        Makes their fits.
    wishes : TrimWishes
        From which resistors, one or two.
    """

    def __init__(self, tried: Tried, fitting: Fitting, wishes: TrimWishes) -> None:
        self._tried, self._fitting, self._wishes = tried, fitting, wishes
        self._crowd = Crowd(
            tried.question,
            tried.ohms,
            wishes.ohms(),
            1 if wishes.most == 1 else 2,
            pull_up=wishes.pull_up,
        )
        self._known: list[Index] = []

    def first(self, wanted: int, watch: Watch) -> Iterator[list[Solution]]:
        """Give at least so many of the best, or all; `bounded` then tells of the others."""
        found = self._crowd.first(wanted, watch)
        self._known.append(found.sender)
        yield self._solutions(found)

    def bounded(self) -> list[Bounded]:
        """Return those that are not solved yet, with what none of their trims can beat."""
        left = np.ones(len(self._crowd), dtype=np.bool_)
        left[np.concatenate([np.zeros(0, dtype=np.intp), *self._known])] = False
        bounds, those = self._crowd.bounds[left].tolist(), self._tried.candidates
        return [Bounded(those[n], at) for n, at in zip(np.flatnonzero(left), bounds, strict=True)]

    def rest(self, watch: Watch) -> Iterator[list[Solution]]:
        """Give all others, some hundreds at a time."""
        known = np.concatenate([np.zeros(0, dtype=np.intp), *self._known])
        for found in self._crowd.rest(known, watch):
            self._known.append(found.sender)
            yield self._solutions(found)

    def _solutions(self, found: Solved) -> list[Solution]:
        candidates = [self._tried.candidates[n] for n in found.sender]
        bests, leads = self._fits(found), self._leads(found)
        return [
            Row(candidate, best, leads.get(n, best))
            if np.isfinite(best.worst)
            else _unreachable(candidate)
            for n, (candidate, best) in enumerate(zip(candidates, bests, strict=True))
        ]

    def _fits(self, found: Solved) -> list[Fit]:
        trims = [self._crowd.trim(index) for index in found.index]
        return self._fitting.fits(trims, found.worst, found.shown)

    def _leads(self, found: Solved) -> dict[int, Fit]:
        """Return, by row, the fewest resistors that do as well, where they differ from the best.

        So they do within the noise of the best, and where they err less than `WELL_WITHIN`.
        """
        limit = np.maximum(self._crowd.spread(found, self._wishes.tolerance) + TIE, WELL_WITHIN)
        counts = self._crowd.counts(found)
        leads: dict[int, Fit] = {}
        open_ = np.flatnonzero(np.isfinite(found.worst) & (counts > 0))
        for most in range(int(np.max(counts, initial=0))):
            open_ = open_[counts[open_] > most]
            fewer = self._crowd.among(found.sender[open_], most).everyone()
            # A limit of flattery may leave the spread without end.
            good = np.flatnonzero((fewer.worst <= limit[open_]) & np.isfinite(fewer.worst))
            fits = self._fits(fewer.pick(good))
            leads.update(zip(open_[good].tolist(), fits, strict=True))
            open_ = np.delete(open_, good)
        return leads


def _unreachable(candidate: Candidate) -> Excluded:
    return Excluded(candidate, "unreachable", message("trims.unreachable"))
