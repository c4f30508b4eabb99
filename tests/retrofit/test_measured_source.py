"""A ratio gauge known by the source behind its signal terminal alone, judged with a pull-up."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import decode
from retrofit.circuit.network import Network
from retrofit.circuit.reduction import Current, Ratio, Reduction, Voltage
from retrofit.movements import Apparent, apparent
from retrofit.plan.document import Pairing, Plan
from retrofit.wired import SIGNAL_NODE, Supplies, wired
from tests.retrofit.plan.plans import LEVEL_240_33, Raw, assessed, gauge, plan, sender

ohm = st.floats(10.0, 1000.0)
trims = st.fixed_dictionaries(
    {"pull-up": ohm},
    optional={
        "across sender": ohm,
        "series at sender": ohm,
        "signal to earth": ohm,
        "series at gauge": ohm,
    },
)


def source_test(share: float, inside: float, volts: float = 12.0) -> Raw:
    """What a perfect meter reads across a third and three times the inner resistance."""
    return {
        "first": f"{inside / 3.0!r} Ω",
        "first_volts": f"{share * volts / 4.0!r} V",
        "second": f"{inside * 3.0!r} Ω",
        "second_volts": f"{share * volts * 0.75!r} V",
        "supply": f"{volts!r} V",
        "meter_error": "0 %",
    }


def pairing(dial: Raw, trim: dict[str, float], earth: float = 0.0) -> Pairing:
    typed = {place: f"{value!r} Ω" for place, value in trim.items()}
    wiring = {"supply": {"nominal": "12 V"}, "sender_earth": f"{earth!r} Ω"}
    raw = plan(dial, sender(LEVEL_240_33), typed, wiring=wiring)
    return decode(raw, Plan, "test").pairings[0]


def coiled(supply: float, earth: float) -> Raw:
    movement = {"kind": "ratio", "supply_coil": f"{supply!r} Ω", "earth_coil": f"{earth!r} Ω"}
    return gauge(LEVEL_240_33, movement=movement)


def sourced(share: float, inside: float) -> Raw:
    return gauge(LEVEL_240_33, source=source_test(share, inside))


def law(pair: Pairing, *volts: float) -> Apparent:
    found = apparent(pair.gauge, pair.installation, pair.trim, Supplies(np.array(volts)))
    assert isinstance(found, Apparent)
    return found


def as_ratio(seen: float, earth: float) -> float:
    """Apparent ohms as the ratio of currents R/(R + Rb), which is finite where they are not."""
    return 1.0 if math.isinf(seen) else seen / (seen + earth)


@given(ohm, ohm, trims, st.floats(0.0, 5.0), st.floats(1.0, 1000.0), st.floats(8.0, 16.0))
def test_that_the_source_of_a_plain_divider_tells_what_its_coils_tell(
    supply: float, earth: float, trim: dict[str, float], path: float, r: float, volts: float
) -> None:
    # Thevenin: Voc/V = Rb/(Ra + Rb), Rth = Ra∥Rb.
    share, inside = earth / (supply + earth), supply * earth / (supply + earth)
    at = np.array([0.0, r, math.inf])
    known = law(pairing(coiled(supply, earth), trim, path), 12.0, volts).of(at)
    found = law(pairing(sourced(share, inside), trim, path), 12.0, volts).of(at)
    for one, other in zip(found.ravel().tolist(), known.ravel().tolist(), strict=True):
        ratio = as_ratio(other, earth)
        assert as_ratio(one, earth) == pytest.approx(ratio, rel=1e-9, abs=1e-9)


@given(ohm, ohm, ohm, ohm, st.floats(1.0, 1000.0))
def test_that_the_source_of_a_star_puts_the_needle_where_the_star_s_own_currents_do(
    supply: float, signal: float, earth: float, pull_up: float, r: float
) -> None:
    # The coils cannot be told from the terminals, yet any three linear coils carry the ratio of
    # currents that the signal voltage sets: the star solved whole, with the pull-up at R and
    # without it at the apparent resistance, has one and the same ratio.
    share = earth / (supply + earth)
    inside = signal + supply * earth / (supply + earth)
    pair = pairing(sourced(share, inside), {"pull-up": pull_up})
    seen = float(law(pair, 12.0).of(np.array([r]))[0, 0])
    if math.isinf(seen):
        return

    def ratio(at: float, pulled: bool) -> float:
        network = Network()
        network.voltage_source("battery", "live", "earth", 12.0)
        network.resistor("supply leg", "live", "centre", supply)
        network.resistor("signal leg", "centre", "s", signal)
        network.resistor("earth leg", "centre", "earth", earth)
        if pulled:
            network.resistor("pull-up", "live", "s", pull_up)
        currents = Ratio(Current("earth leg"), Current("supply leg"))
        return float(Reduction(network, "s", "earth").law(currents)(np.array([at]))[0, 0])

    assert ratio(seen, pulled=False) == pytest.approx(ratio(r, pulled=True), rel=1e-9)


def test_that_a_source_test_gives_the_published_node_voltages_under_a_pull_up() -> None:
    # Ngspice: 12 V, 90/110 Ω, pull-up 49.5 Ω. From S that gauge is 6.6 V behind 49.5 Ω.
    pair = pairing(sourced(0.55, 49.5), {"pull-up": 49.5})
    circuit = wired(pair.gauge, pair.installation, pair.trim, Supplies(np.array([12.0])))
    assert circuit is not None
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    volts = reduced.law(Voltage(SIGNAL_NODE))(np.array([10.0, 70.0]))[0]
    assert volts == pytest.approx([2.676258993, 6.870712401], rel=1e-9)
    seen = law(pair, 12.0).of(np.array([10.0, 70.0]))[0]
    assert seen == pytest.approx([33.76, math.inf], abs=5e-3)  # past open, as d = 1.0960 says


def test_that_a_plan_with_a_source_test_can_be_read_with_a_pull_up() -> None:
    dial = gauge(LEVEL_240_33, source=source_test(0.55, 49.5))
    found = assessed(plan(dial, sender(LEVEL_240_33), {"pull-up": "1 kΩ"}))
    assert found.reason is None
    assert found.reading is not None
    coils = assessed(plan(coiled(90.0, 110.0), sender(LEVEL_240_33), {"pull-up": "1 kΩ"}))
    assert coils.reading is not None
    assert found.reading.shown == pytest.approx(coils.reading.shown, abs=1e-9)


def test_that_coils_that_are_known_come_before_a_source_that_was_tested() -> None:
    dial = {**coiled(90.0, 110.0), "source": source_test(0.3, 20.0)}
    trim = {"pull-up": 300.0}
    ours = law(pairing(dial, trim), 12.0).of(np.array([50.0]))
    assert ours == pytest.approx(law(pairing(coiled(90.0, 110.0), trim), 12.0).of(np.array([50.0])))
