"""Pull-ups: the closed form against the solved circuit and the figures worked out beforehand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import decode
from retrofit.movements import Apparent, apparent
from retrofit.plan.document import Plan
from retrofit.terminals import CoilOhms, SourceOhms
from retrofit.trim.pull_up import PullUp, pull_up_for, source_of_coils
from retrofit.wired import Supplies
from tests.retrofit.plan.plans import COILS, LEVEL_240_33, gauge, plan, sender

RATIO = source_of_coils(CoilOhms(90.0, 110.0))


def test_that_a_pull_up_on_a_ratio_gauge_meets_the_simulated_figures() -> None:
    """12 V, 90/110 Ω, 49.5 Ω: 10 Ω is seen as 33.76 Ω, 70 Ω is past open (ngspice)."""
    up = PullUp(RATIO, 1.0 + 90.0 / 49.5)
    assert up.ohm == pytest.approx(49.5, rel=1e-12)
    assert up.law(np.array([10.0]))[0, 0] == pytest.approx(33.76, abs=0.005)
    assert up.open_beyond == pytest.approx(110.0 / (up.kappa - 1.0), rel=1e-12)
    assert up.open_beyond < 70.0
    # v(n) 2.676258993 V over 10 Ω.
    assert up.sender_amps(10.0, 12.0) == pytest.approx(0.2676258993, rel=1e-9)


def test_that_a_pull_up_on_a_heater_multiplies_the_ohms() -> None:
    """60 Ω, 10 V, 120 Ω, 41 Ω: the current of 61.5 Ω, v(n) 5.0617283951 (ngspice)."""
    up = PullUp(SourceOhms(1.0, 60.0), 1.0 + 60.0 / 120.0)
    assert up.ohm == pytest.approx(120.0)
    assert up.law(np.array([41.0]))[0, 0] == pytest.approx(61.5, rel=1e-12)
    assert up.sender_amps(41.0, 10.0) * 41.0 == pytest.approx(5.0617283951, rel=1e-9)
    assert up.open_beyond == np.inf


def test_that_c07_is_widened_by_half_with_two_ohms_in_series() -> None:
    """0 Ω full to 70 Ω empty on 2–5 and 105–110 Ω: factor 1.5, pull-up twice the source."""
    up = PullUp(SourceOhms(1.0, 80.0), 1.5, 2.0)
    assert up.ohm / 80.0 == pytest.approx(2.0)
    full, empty = up.law(np.array([0.0, 70.0]))[0]
    assert 2.0 <= full <= 5.0
    assert 105.0 <= empty <= 110.0
    found = pull_up_for(SourceOhms(1.0, 80.0), (0.0, 70.0), (3.5, 107.5))
    assert found is not None
    assert found.law(np.array([0.0, 70.0]))[0] == pytest.approx([3.5, 107.5], rel=1e-12)
    assert found.kappa == pytest.approx(104.0 / 70.0)


def test_that_c08_takes_three_times_the_current() -> None:
    """70–10 Ω on 240–33 Ω, factor 3.4, for a gauge whose open voltage is its supply."""
    up = PullUp(SourceOhms(1.0, 100.0), 3.4)
    assert up.ohm / 100.0 == pytest.approx(0.4167, abs=5e-5)
    assert up.law(np.array([10.0, 70.0]))[0] == pytest.approx([34.0, 238.0])
    amps = up.sender_amps(10.0, 12.0)
    assert amps == pytest.approx(0.304, abs=0.0005)
    assert amps**2 * 10.0 == pytest.approx(0.93, abs=0.005)
    assert amps > 2.5 * 12.0 / 110.0  # without it
    # 33 Ω at full is out of reach with anything in series: none is asked for.
    found = pull_up_for(SourceOhms(1.0, 100.0), (10.0, 70.0), (33.0, 240.0))
    assert found is not None
    assert found.series == 0.0
    assert found.kappa == pytest.approx(240.0 / 70.0)


@given(
    st.floats(0.3, 1.0),
    st.floats(20.0, 500.0),
    st.floats(1.01, 4.0),
    st.floats(0.0, 50.0),
    st.floats(0.0, 30.0),
    st.floats(1.0, 60.0),
)
def test_that_the_pull_up_of_two_targets_is_the_one_that_made_them(
    share: float, ohm: float, kappa: float, series: float, low: float, apart: float
) -> None:
    source = SourceOhms(share, ohm)
    made = PullUp(source, kappa, series)
    pair = (low, low + apart)
    target = made.law(np.array(pair))[0]
    if not (0.0 <= target[0] < target[1] < 1e6) or pair[1] >= made.open_beyond:
        return
    found = pull_up_for(source, pair, (float(target[0]), float(target[1])))
    assert found is not None
    assert found.law(np.array(pair))[0] == pytest.approx(target, rel=1e-6, abs=1e-9)


def test_that_nothing_is_pulled_up_where_ohms_have_to_go_down() -> None:
    assert pull_up_for(RATIO, (10.0, 180.0), (10.0, 120.0)) is None


def test_that_the_closed_form_is_the_solved_circuit() -> None:
    for movement in (
        {"kind": "ratio", **COILS},
        {"kind": "heater", "heater": "60 Ω", "feed": "12 V"},
    ):
        made = plan(
            gauge(LEVEL_240_33, movement=movement),
            sender(LEVEL_240_33),
            {"pull-up": "330 Ω", "series at sender": "5 Ω"},
        )
        pair = decode(made, Plan, "test").pairings[0]
        source = RATIO if movement["kind"] == "ratio" else SourceOhms(1.0, 60.0)
        kappa = 1.0 + source.ohm / (source.share * 330.0)
        found = apparent(pair.gauge, pair.installation, pair.trim, Supplies(np.array([12.0])))
        assert isinstance(found, Apparent)
        ohms = np.array([0.0, 33.0, 103.0, 150.0])
        law = PullUp(source, kappa, 5.0).law(ohms)[0]
        assert found.law(ohms)[0] == pytest.approx(law, rel=1e-9)
