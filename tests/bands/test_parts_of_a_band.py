"""What a cause contributes where it has no width, where nothing is known, and all alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrofit.bands.causes import Cause
from retrofit.bands.contributions import contributions
from retrofit.bands.corners import worst_case
from retrofit.circuit.bilinear import Bilinear
from tests.bands.networks import ELEMENTS, Gauge, causes_of, plain

NAMES = tuple(ELEMENTS)


def test_that_a_cause_without_width_contributes_nothing() -> None:
    causes = (*causes_of("sender"), Cause("dial", 0.0, 0.0, 0.0))
    parts = contributions(Gauge(("sender", "dial")).model(5), causes)
    assert np.all(parts.u[1] == 0.0)
    assert np.all(parts.share[1] == 0.0)
    assert np.all(parts.share[0] == pytest.approx(1.0))


def test_that_nothing_is_known_of_the_shares_where_the_sender_is_not() -> None:
    model = plain(lambda v: Bilinear.in_series(v[:, 0]), np.array([np.nan, 103.0]))
    parts = contributions(model, (Cause("wire", 1.0, 0.0, 2.0),))
    assert np.isnan(parts.share[0, 0])
    assert np.isnan(parts.alone_low[0, 0])
    assert parts.share[0, 1] == 1.0


@given(st.sampled_from(NAMES), st.floats(0.1, 1.0))
def test_that_a_move_alone_is_the_worst_case_of_that_cause_alone(name: str, width: float) -> None:
    gauge, causes = Gauge((name,), logger=True), causes_of(name, widths=(width,))
    nominal = gauge.model(9).shown(np.array([[causes[0].nominal]]))[0]
    parts, worst = contributions(gauge.model(9), causes), worst_case(gauge.model(9), causes)
    np.testing.assert_allclose(nominal + parts.alone_low[0], worst.low, atol=1e-6)
    np.testing.assert_allclose(nominal + parts.alone_high[0], worst.high, atol=1e-6)
