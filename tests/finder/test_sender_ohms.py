"""Many senders at once against the curve that an assessment draws of each alone."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.curves.characteristic import Characteristic
from catalog.curves.interpolated import Interpolated
from catalog.library import load_generic
from retrofit.dial import MarkedDial, dial_curve, like_dial
from retrofit.finder.sender_ohms import known_ohms
from tests.benchmarks.many_parts import many_senders


def dials() -> list[Characteristic]:
    """Every dial of the generic catalogue for levels and temperatures, and a marked one."""
    gauges = [one for one in load_generic().gauges if one.quantity in ("level", "temperature")]
    found = [dial for one in gauges if (dial := dial_curve(one)) is not None]
    return [*found, MarkedDial(((0.0, 240.0), (0.5, 103.0), (1.0, 33.0)))]


@pytest.mark.parametrize("quantity", ["level", "temperature"])
def test_that_each_sender_gives_what_its_own_curve_gives(quantity: str) -> None:
    senders = [one for one in load_generic().senders if one.quantity == quantity]
    senders += many_senders(60) if quantity == "level" else ()
    curves = [one.curve for one in senders if one.curve is not None]
    for dial in dials():
        low, high = min(dial.low, -0.1), dial.high * 1.1
        x = np.linspace(low, high, 24)
        found = known_ohms(curves, dial, x)
        for row, curve in enumerate(curves):
            known = (x >= curve.low) & (x <= curve.high)
            drawn = curve if dial == curve else like_dial(curve, dial)
            expected = np.where(known, drawn.output(np.where(known, x, np.nan)), np.nan)
            np.testing.assert_allclose(found[row], expected, rtol=1e-11, atol=1e-11)


def test_that_nobody_gives_nothing() -> None:
    dial = Interpolated(((0.0, 240.0), (1.0, 33.0)), straight=True, known=True)
    assert known_ohms([], dial, np.array([0.0, 1.0])).shape == (0, 2)
