"""First-order shares of eight causes at 201 values beside a loop over the uncertainties library.

The loop is as lean as it gets: nodal equations solved by hand, the dial in plain arithmetic. The
claim is 50 times; half of it is asserted, with room for a busy machine.
"""

from __future__ import annotations

import bisect
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest
import uncertainties

from catalog.curves.family import scale_fraction
from catalog.curves.monotone import slopes
from retrofit.bands.causes import Cause
from retrofit.bands.contributions import contributions
from tests.bands.networks import DIAL, ELEMENTS, Gauge, causes_of

CLAIMED = 50.0
"""Times faster than the loop."""

POINTS = 201
NAMES = tuple(ELEMENTS)[:8]
CAUSES = causes_of(*NAMES)

Number = Any  # the library has no types


def seconds(work: Callable[[], object], runs: int) -> float:
    """The best of some runs: the clock of a busy machine only ever adds."""
    found = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        found.append(time.perf_counter() - begun)
    return min(found)


class Piece:
    """The bent dial in plain numbers, so that the library can run through it."""

    def __init__(self) -> None:
        ohms = np.array([ohm for _, ohm in DIAL.points])
        self.first, self.last = float(ohms[0]), float(ohms[-1])
        x = scale_fraction((ohms - ohms[0]) / (ohms[-1] - ohms[0]), DIAL.q)
        self.x, self.y, self.slope = x.tolist(), DIAL.knots.tolist(), slopes(x, DIAL.knots).tolist()
        self.q = DIAL.q

    def value(self, ohm: Number) -> Number:
        s = (ohm - self.first) / (self.last - self.first)
        f = self.q * s / (1.0 + (self.q - 1.0) * s)
        where = bisect.bisect_right(self.x, f.nominal_value) - 1
        if where < 0:
            return self.y[0] + self.slope[0] * (f - self.x[0])
        if where >= len(self.x) - 1:
            return self.y[-1] + self.slope[-1] * (f - self.x[-1])
        h, rise = self.x[where + 1] - self.x[where], self.y[where + 1] - self.y[where]
        m0, m1 = self.slope[where] * h, self.slope[where + 1] * h
        t = (f - self.x[where]) / h
        shape = 3.0 * rise - 2.0 * m0 - m1 + t * (m0 + m1 - 2.0 * rise)
        return self.y[where] + t * (m0 + t * shape)


def loop(causes: tuple[Cause, ...]) -> list[float]:
    """The standard uncertainty at each value, by the library, one value after the other."""
    dial, shown = Piece(), []
    for output in DIAL.output(np.linspace(0.0, 1.0, POINTS)).tolist():
        of = {one.name: uncertainties.ufloat(one.nominal, one.u) for one in causes}
        shown.append(dial.value(seen(of, output)) + of["dial"])
    return [one.std_dev for one in shown]


def seen(of: dict[str, Number], output: float) -> Number:
    """What the dial sees: the nodal equations of the gauge, solved by substitution.

    Supply and gauge earth are put out first; the signal is left.
    """
    battery, feed = ELEMENTS["battery"][0], ELEMENTS["feed"][0]
    path = output * of["sender"] + of["sender wire"] + of["strap"]
    up, low = 1.0 / of["upper coil"], 1.0 / of["lower coil"]
    earth = 1.0 / of["gauge earth"]
    at_supply, at_earth = 1.0 / feed + up, low + earth
    own = up + low + 1.0 / path - up * up / at_supply - low * low / at_earth
    driven = up * (battery / feed) / at_supply + low * of["lamps"] / at_earth
    signal = driven / own
    supply = (battery / feed + up * signal) / at_supply
    ground = (of["lamps"] + low * signal) / at_earth
    ratio = (signal - ground) * low / ((supply - signal) * up)
    return ELEMENTS["lower coil"][0] * ratio / (1.0 - ratio)


def test_that_first_order_shares_are_far_faster_than_a_loop_over_the_library(
    capsys: pytest.CaptureFixture[str],
) -> None:
    gauge = Gauge(NAMES)
    ours = seconds(lambda: contributions(gauge.model(POINTS), CAUSES), 9)
    theirs = seconds(partial(loop, CAUSES), 3)
    with capsys.disabled():
        print(
            f"\nfirst-order shares, 8 causes, {POINTS} values: {ours * 1e3:.1f} ms; a loop over "
            f"uncertainties {theirs * 1e3:.0f} ms; ratio {theirs / ours:.0f}"
        )
    assert theirs / ours >= CLAIMED / 2.0


def test_that_the_loop_and_the_shares_find_the_same_uncertainty() -> None:
    parts = contributions(Gauge(NAMES).model(POINTS), CAUSES)
    ours = np.sqrt(np.sum(parts.u**2, axis=0))
    # The library differentiates exactly; ours are differences over a fifth of u.
    np.testing.assert_allclose(ours, loop(CAUSES), rtol=1e-4)
