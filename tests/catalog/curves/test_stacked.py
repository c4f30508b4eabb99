"""Many cubics at once against one after the other, which SciPy checks in ``test_monotone``."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.monotone import MonotoneCubic
from catalog.curves.stacked import StackedCubics

STEPS = st.floats(0.01, 10.0)


@given(st.data(), st.integers(2, 9), st.booleans())
def test_that_each_row_is_the_curve_that_its_points_alone_make(
    data: st.DataObject, points: int, rising: bool
) -> None:
    rows = data.draw(st.integers(1, 4))
    steps = st.lists(STEPS, min_size=points, max_size=points)
    x = np.cumsum(np.array([data.draw(steps) for _ in range(rows)]), axis=1)
    y = np.cumsum(np.array([data.draw(steps) for _ in range(rows)]), axis=1)
    y = y if rising else 100.0 - y
    stacked = StackedCubics(x, y)
    at = np.linspace(float(np.min(x)) - 1.0, float(np.max(x)) + 1.0, 23)
    wanted = np.linspace(float(np.min(y)) - 1.0, float(np.max(y)) + 1.0, 23)
    for row in range(rows):
        alone = MonotoneCubic(x[row], y[row])
        np.testing.assert_allclose(stacked.at(at)[row], alone.at(at), rtol=1e-13, atol=1e-12)
        inverse = stacked.inverse(wanted)[row]
        np.testing.assert_allclose(alone.at(inverse), wanted, rtol=1e-10, atol=1e-9)
        np.testing.assert_allclose(inverse, alone.inverse(wanted), rtol=1e-9, atol=1e-7)
