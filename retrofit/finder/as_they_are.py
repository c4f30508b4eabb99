"""Where no resistors may be tried at all: each candidate as it is, by its assessment."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retrofit.finder.rows import CURVE_POINTS, Bounded, Candidate, Excluded, Fit, Row, Solution
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.candidates import CURVE_POINTS as FINER
from retrofit.plan.candidates import candidate_of
from retrofit.plan.checks.check import SMALL
from retrofit.plan.document import Pairing, Plan
from retrofit.trim.answer import Trim
from retrofit.trim.search import Watch

NO_TRIM = Trim((math.inf, 0.0, math.inf, 0.0, math.inf))


class AsTheyAre:
    """Candidates that read volts or amperes, or share the sender with a second gauge.

    Parameters
    ----------
    plan : Plan
        Its duty is what has to be read.
    pairing : Pairing
        What the parts are put into.
    candidates : tuple of Candidate
        What to put in.
    """

    def __init__(self, plan: Plan, pairing: Pairing, candidates: tuple[Candidate, ...]) -> None:
        self._plan, self._pairing = plan, pairing
        self._left = list(candidates)

    def first(self, _wanted: int, watch: Watch) -> Iterator[list[Solution]]:
        """Give all of them, one at a time: nothing is known of any before."""
        while self._left:
            watch.check()
            yield [self._solved(self._left.pop(0))]

    def bounded(self) -> list[Bounded]:
        """Return those that are left, of which nothing is proven."""
        return [Bounded(one, 0.0) for one in self._left]

    def rest(self, watch: Watch) -> Iterator[list[Solution]]:
        """Give whatever is left."""
        return self.first(len(self._left), watch)

    def _solved(self, one: Candidate) -> Solution:
        pairing = replace(
            self._pairing,
            gauge=one.gauge,
            sender=one.sender,
            gauge_origin=None,
            sender_origin=None,
            trim=(),
        )
        found = assess(replace(self._plan, pairings=(pairing,)))
        judged = candidate_of(found, one.key)
        if math.isnan(judged.share):
            return Excluded(one, "unjudged", judged.says)
        step = (FINER - 1) // (CURVE_POINTS - 1)
        fit = Fit(NO_TRIM, judged.share, np.array(judged.errors[::step]), _flattering(found))
        return Row(one, fit, fit)


def _flattering(found: Assessment) -> tuple[str, ...]:
    return tuple(
        mark.mark.name
        for mark in found.marks
        if mark.allowed is not None
        and mark.mark.flatters != "unknown"
        and mark.flattery(mark.mark.flatters) > SMALL * mark.allowed
    )
