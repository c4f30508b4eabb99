"""The apparent resistance: closed forms of one node against the network, open and earthed leads."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import decode
from catalog.message import Message
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.reduction import Current, Ratio, Reduction, Voltage
from retrofit.movements import Apparent, apparent
from retrofit.plan.document import Pairing, Plan
from retrofit.wired import SIGNAL_NODE, Supplies, wired
from tests.retrofit.plan.plans import (
    LEVEL_240_33,
    PRESSURE_10_184,
    Raw,
    assessed,
    gauge,
    plan,
    sender,
    sentence,
)

CLOSE = 1e-9
ohm = st.floats(1.0, 1000.0)
high_ohm = st.floats(20.0, 2000.0)


def pairing(
    movement: Raw, trim: dict[str, str] | None = None, volts: str = "13.5 V", earth: float = 0.0
) -> Pairing:
    made = gauge(LEVEL_240_33, movement=movement)
    wiring: Raw = {"supply": {"nominal": volts}}
    if earth:
        wiring["sender_earth"] = f"{earth!r} Ω"
    raw = plan(made, sender(LEVEL_240_33), trim, wiring=wiring)
    return decode(raw, Plan, "test").pairings[0]


def law_of(pair: Pairing, *volts: float) -> Apparent:
    supplies = Supplies(np.array(volts or (13.5,)))
    found = apparent(pair.gauge, pair.installation, pair.trim, supplies)
    assert isinstance(found, Apparent)
    return found


def seen(pair: Pairing, *ohms: float, volts: float = 13.5) -> list[float]:
    return [float(each) for each in law_of(pair, volts).of(np.array(ohms))[0]]


def quantity(
    pair: Pairing, what: Voltage | Current | Ratio, ohms: list[float], volts: float
) -> list[float]:
    """A voltage, current or ratio in the network around the sender."""
    circuit = wired(pair.gauge, pair.installation, pair.trim, Supplies(np.array([volts])))
    assert circuit is not None
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    return [float(each) for each in reduced.law(what)(np.array(ohms))[0]]


def ratio(supply: float = 90.0, earth: float = 110.0) -> Raw:
    return {"kind": "ratio", "supply_coil": f"{supply!r} Ω", "earth_coil": f"{earth!r} Ω"}


def heater(ohms: float = 60.0, feed: float = 10.0) -> Raw:
    return {"kind": "heater", "heater": f"{ohms!r} Ω", "feed": f"{feed!r} V"}


def coil(ohms: float = 60.0, feed: float = 13.5) -> Raw:
    return {"kind": "coil", "coil": f"{ohms!r} Ω", "feed": f"{feed!r} V"}


def electronic(pull_up: float = 220.0, reference: float = 5.0) -> Raw:
    return {
        "kind": "electronic",
        "pull_up": f"{pull_up!r} Ω",
        "rail": "reference",
        "reference": f"{reference!r} V",
    }


CURRENTS = Ratio(Current("earth coil"), Current("supply coil"))
ALL = [ratio(), heater(feed=13.5), coil(), electronic()]


# --- closed forms -------------------------------------------------------------------------------


@given(ohm, ohm, high_ohm, ohm)
def test_that_a_pull_up_on_a_plain_ratio_gauge_gives_the_closed_form_and_passes_open(
    supply: float, earth: float, pull_up: float, r: float
) -> None:
    # Kirchhoff at S, d = (V/Rb)/((Vs − V)/Ra), Rapp = Rb·d/(1 − d):
    # Rapp = κR/(1 − (κ − 1)R/Rb), κ = 1 + Ra/Rpu; the supply drops out.
    kappa = 1.0 + supply / pull_up
    share = (kappa - 1.0) * r / earth
    found = seen(pairing(ratio(supply, earth), {"pull-up": f"{pull_up!r} Ω"}), r)[0]
    if abs(share - 1.0) < 1e-6:
        return
    expected = kappa * r / (1.0 - share) if share < 1.0 else math.inf
    # Near the pole both lose digits in 1 − share.
    assert found == pytest.approx(expected, rel=CLOSE / min(1.0, abs(1.0 - share)))


@given(ohm, high_ohm, ohm, st.sampled_from(["heater", "coil"]))
def test_that_a_pull_up_on_a_heater_or_coil_multiplies_the_senders_ohms(
    winding: float, pull_up: float, r: float, kind: str
) -> None:
    # Open voltage and pull-up share the supply: Rapp = R·(1 + Rg/Rpu).
    movement = heater(winding, 13.5) if kind == "heater" else coil(winding)
    found = seen(pairing(movement, {"pull-up": f"{pull_up!r} Ω"}), r)[0]
    assert found == pytest.approx(r * (1.0 + winding / pull_up), rel=CLOSE)


@given(high_ohm, st.floats(3.0, 10.0), st.floats(6.0, 30.0), st.floats(200.0, 20000.0), ohm)
def test_that_a_pull_up_to_another_voltage_follows_the_node_equation(
    inner: float, reference: float, volts: float, pull_up: float, r: float
) -> None:
    # Rapp = R·[1 + (Rth/Rpu)(Vpu − Vn)/(Voc − Vn)], Vn from Millman's theorem.
    node = (reference / inner + volts / pull_up) / (1.0 / inner + 1.0 / pull_up + 1.0 / r)
    pair = pairing(electronic(inner, reference), {"pull-up": f"{pull_up!r} Ω"})
    found = seen(pair, r, volts=volts)[0]
    left = (reference - node) / reference
    if abs(left) < 1e-6:
        return
    expected = r * (1.0 + inner / pull_up * (volts - node) / (reference - node))
    assert found == pytest.approx(
        expected if left > 0.0 else math.inf, rel=CLOSE / min(1.0, abs(left))
    )


@given(ohm, ohm, high_ohm, ohm, high_ohm, st.floats(0.01, 20.0), st.sampled_from(ALL))
def test_that_resistors_in_the_senders_path_act_alike_on_every_movement(
    r: float, at_sender: float, across: float, at_gauge: float, shunt: float, e: float, m: Raw
) -> None:
    # Series and parallel from the sender to the gauge, earth path in series with the sender.
    trim = {
        "across sender": across,
        "series at sender": at_sender,
        "signal to earth": shunt,
        "series at gauge": at_gauge,
    }
    inner = 1.0 / (1.0 / r + 1.0 / across) + e + at_sender
    expected = at_gauge + 1.0 / (1.0 / inner + 1.0 / shunt)
    typed = {place: f"{value!r} Ω" for place, value in trim.items()}
    for movement in (m, {"kind": "ratio"}):  # with the coils known, and unknown
        assert seen(pairing(movement, typed, earth=e), r)[0] == pytest.approx(expected, rel=CLOSE)


@given(ohm, st.floats(8.0, 16.0), st.sampled_from([heater, coil]))
def test_that_heater_and_coil_see_another_resistance_off_their_feed(
    r: float, volts: float, kind: object
) -> None:
    # The same current at the feed of the dial: Rapp = Vfeed·(R + Rg)/V − Rg.
    movement = heater(60.0, 10.0) if kind is heater else coil(60.0, 10.0)
    found = seen(pairing(movement), r, volts=volts)[0]
    assert found == pytest.approx(10.0 * (r + 60.0) / volts - 60.0, rel=CLOSE, abs=1e-9)


@given(st.floats(0.1, 10.0), ohm)
def test_that_scaling_every_resistance_scales_what_is_seen(k: float, r: float) -> None:
    trim = {"pull-up": 300.0, "series at gauge": 7.0, "across sender": 470.0}
    for make in (ratio, heater):
        plain, scaled = (
            seen(
                pairing(
                    make(90.0 * f, 110.0 * f) if make is ratio else heater(60.0 * f, 13.5),
                    {place: f"{value * f!r} Ω" for place, value in trim.items()},
                ),
                r * f,
            )[0]
            for f in (1.0, k)
        )
        assert scaled == (math.inf if math.isinf(plain) else pytest.approx(plain * k, rel=CLOSE))


# --- acceptance figures -------------------------------------------------------------------------


def test_that_a_ratio_gauge_has_the_published_current_ratios() -> None:
    # Closed form d = R/(R + Rb); ngspice agrees.
    ohms = [10.0, 33.0, 90.0, 180.0, 240.0, math.inf]
    found = quantity(pairing(ratio()), CURRENTS, ohms, 13.5)
    expected = [0.0833333, 0.2307692, 0.45, 0.6206897, 0.6857143, 1.0]
    assert found == pytest.approx(expected, rel=1e-6)
    assert found == pytest.approx([*(r / (r + 110.0) for r in ohms[:-1]), 1.0], rel=CLOSE)


def test_that_a_pull_up_drives_a_ratio_gauge_past_open() -> None:
    pair = pairing(ratio(), {"pull-up": "49.5 Ω"})
    volts = quantity(pair, Voltage(SIGNAL_NODE), [10.0, 70.0], 12.0)
    assert volts == pytest.approx([2.676258993, 6.870712401], rel=1e-9)
    assert quantity(pair, CURRENTS, [70.0], 12.0) == pytest.approx([1.0960], abs=5e-5)
    assert seen(pair, 10.0, 70.0, volts=12.0) == pytest.approx([33.76, math.inf], abs=5e-3)


def test_that_a_pull_up_on_a_heater_gives_the_published_node_and_current() -> None:
    pair = pairing(heater(), {"pull-up": "120 Ω"})
    assert quantity(pair, Voltage(SIGNAL_NODE), [41.0], 10.0) == pytest.approx([5.0617283951])
    current = quantity(pair, Current("heater"), [41.0], 10.0)
    assert current == pytest.approx([0.08230452675], rel=1e-9)
    assert seen(pair, 41.0, volts=10.0) == pytest.approx([61.5], rel=1e-9)


def test_that_a_logger_input_has_the_published_volts() -> None:
    found = quantity(pairing(electronic()), Voltage(SIGNAL_NODE), [10.0, 107.0, 184.0], 13.5)
    assert found == pytest.approx([0.2173913, 1.6360856, 2.2772277], rel=1e-6)


def test_that_a_pull_up_on_the_battery_makes_a_logger_follow_the_battery() -> None:
    movement = {**electronic(410.0), "rail": "supply", "feed": "12.5 V"}
    volts = (11.0, 12.5, 14.4)
    pair = pairing(movement)
    shares = [quantity(pair, Voltage(SIGNAL_NODE), [100.0], v)[0] / 5.0 for v in volts]
    assert shares == pytest.approx([0.43137, 0.49020, 0.56471], abs=5e-6)
    # So the dial of 12.5 V sees 100 Ω at 12.5 V only: V·R/(R + Rp) held against 12.5 V.
    nodes = [v * 100.0 / 510.0 for v in volts]
    expected = [410.0 * n / (12.5 - n) for n in nodes]
    assert [seen(pair, 100.0, volts=v)[0] for v in volts] == pytest.approx(expected, rel=1e-9)


def test_that_a_reference_on_the_same_rail_leaves_the_battery_out() -> None:
    pair = pairing(electronic())
    assert law_of(pair, 9.0, 16.0).of(np.array([100.0])).ravel() == pytest.approx([100.0, 100.0])


def test_that_the_fixed_reference_need_not_be_known_where_the_pull_up_hangs_on_the_supply() -> None:
    movement = {"kind": "electronic", "pull_up": "410 Ω", "rail": "supply", "feed": "12.5 V"}
    assert seen(pairing(movement), 100.0, volts=12.5) == pytest.approx([100.0])
    assert seen(pairing(movement), 100.0, volts=14.4)[0] > 110.0


def test_that_a_coil_gauge_gains_a_fifth_of_its_current_from_12_to_14_4_volts() -> None:
    pair = pairing(coil(60.0, 12.0))
    low, high = (quantity(pair, Current("coil"), [30.0], v)[0] for v in (12.0, 14.4))
    assert high / low == pytest.approx(1.2, rel=1e-12)


def test_that_three_equal_legs_leave_the_coils_unknown_and_the_program_says_so() -> None:
    # Star 45/24.75/55 and the delta 90/110/200 read alike: 100/69.75/79.75 Ω.
    readings = {
        "supply_earth": "100 Ω",
        "supply_signal": "69.75 Ω",
        "signal_earth": "79.75 Ω",
        "meter_error": "0.5 %",
    }
    made = gauge(LEVEL_240_33, terminals=readings)
    found = assessed(plan(made, sender(LEVEL_240_33)))
    (check,) = [one for one in found.checks if one.name == "coils"]
    assert (check.verdict.value, check.why.key) == ("unknown", "check.coils.alike")
    assert "45 Ω, 24.75 Ω and 55 Ω" in sentence(check).replace("\N{NO-BREAK SPACE}", " ")
    pulled = assessed(plan(made, sender(LEVEL_240_33), {"pull-up": "120 Ω"}))
    assert pulled.needle is None
    assert pulled.reason is not None
    assert pulled.reason.key == "movement.pull_up_unjudged"


def test_that_terminal_readings_of_a_plain_divider_are_its_coils() -> None:
    # Common practice, no source: 440, 260 and 180 Ω mean a plain divider of 260 and 180 Ω.
    readings = {
        "supply_earth": "440 Ω",
        "supply_signal": "260 Ω",
        "signal_earth": "180 Ω",
        "meter_error": "0.5 %",
    }
    made = gauge(LEVEL_240_33, terminals=readings)
    found = assessed(plan(made, sender(LEVEL_240_33), {"pull-up": "520 Ω"}))
    assert found.needle is not None
    kappa = 1.0 + 260.0 / 520.0
    expected = kappa * 100.0 / (1.0 - (kappa - 1.0) * 100.0 / 180.0)
    assert found.needle.apparent.of(np.array([100.0]))[0, 0] == pytest.approx(expected, rel=CLOSE)
    (check,) = [one for one in found.checks if one.name == "coils"]
    assert check.verdict.value == "good"


def test_that_readings_that_are_no_resistance_are_told_by_the_dial_check_and_stop_nothing() -> None:
    readings = {
        "supply_earth": "440 Ω",
        "supply_signal": "-260 Ω",
        "signal_earth": "180 Ω",
        "meter_error": "0.5 %",
    }
    found = assessed(plan(gauge(LEVEL_240_33, terminals=readings), sender(LEVEL_240_33)))
    (check,) = [one for one in found.checks if one.name == "dial"]
    assert (check.verdict.value, check.why.key) == ("stop", "bench.terminal")


# --- past open, open, earthed -------------------------------------------------------------------


def test_that_a_strong_pull_up_behind_a_resistor_is_past_open_even_with_the_lead_earthed() -> None:
    # With 20 Ω to the supply and 1000 Ω at the gauge, S stands above the balance of the coils at
    # every sender: the earth coil carries more than the supply coil at 0 Ω already.
    pair = pairing(ratio(), {"pull-up": "20 Ω", "series at gauge": "1000 Ω"})
    assert quantity(pair, CURRENTS, [0.0], 13.5)[0] > 1.0
    assert seen(pair, 0.0, 33.0, 240.0, math.inf) == [math.inf] * 4


@pytest.mark.parametrize("trim", [None, {"pull-up": "300 Ω"}, {"series at gauge": "10 Ω"}])
@pytest.mark.parametrize("movement", ALL, ids=lambda m: m["kind"])
def test_that_an_open_lead_is_seen_as_open_by_every_movement(
    movement: Raw, trim: dict[str, str] | None
) -> None:
    (found,) = seen(pairing(movement, trim), math.inf)
    assert found > 1e12


def with_the_lead_open(movement: Raw, marks: dict[str, str], quantity: str) -> int:
    """Which stop holds the needle: −1 low, +1 high."""
    found = assessed(plan(gauge(marks, quantity, movement=movement), sender(marks, quantity)))
    assert found.lead_open is not None
    return found.lead_open.held


@pytest.mark.parametrize("movement", [ratio(), electronic()], ids=["ratio", "electronic"])
def test_that_an_open_lead_sends_ratio_and_electronic_needles_past_the_high_ohm_end(
    movement: Raw,
) -> None:
    assert with_the_lead_open(movement, LEVEL_240_33, "level") == -1
    assert with_the_lead_open(movement, PRESSURE_10_184, "pressure") == 1


@pytest.mark.parametrize("movement", [heater(feed=13.5), coil()], ids=["heater", "coil"])
def test_that_an_open_lead_lets_heater_and_coil_needles_fall_to_rest(movement: Raw) -> None:
    # No current: a dial that falls in ohms rests at its low end, which is the high-ohm end.
    assert with_the_lead_open(movement, LEVEL_240_33, "level") == -1
    pair = pairing(movement)
    name = "heater" if movement["kind"] == "heater" else "coil"
    assert quantity(pair, Current(name), [math.inf], 13.5) == [0.0]


# --- what cannot be told ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "movement",
    [{"kind": "ratio"}, {"kind": "heater"}, {"kind": "coil"}, {"kind": "electronic"}],
    ids=lambda m: m["kind"],
)
def test_that_a_pull_up_is_not_judged_while_the_movement_is_unknown(movement: Raw) -> None:
    pair = pairing(movement, {"pull-up": "100 Ω"})
    found = apparent(pair.gauge, pair.installation, pair.trim, Supplies(np.array([13.5])))
    assert isinstance(found, Message)
    assert found.key == "movement.pull_up_unjudged"


def test_that_a_resistor_on_a_volt_signal_is_refused_with_its_reason() -> None:
    made = gauge({"0 %": "0.5 V", "100 %": "4.5 V"}, movement={"kind": "voltage input"})
    found = assessed(plan(made, sender({"0 %": "0.5 V", "100 %": "4.5 V"}), {"pull-up": "1 kΩ"}))
    assert found.reason is not None
    assert found.reason.key == "movement.trim_on_signal"


def test_that_the_order_in_which_resistors_were_typed_does_not_matter() -> None:
    pair = pairing(
        ratio(), {"series at gauge": "10 Ω", "pull-up": "300 Ω", "across sender": "1 kΩ"}
    )
    turned = replace(pair, trim=tuple(reversed(pair.trim)))
    assert seen(pair, 50.0) == seen(turned, 50.0)


def test_that_a_law_that_does_not_hang_on_the_sender_is_the_same_with_its_lead_open() -> None:
    flat = Apparent(Bilinear.of(0.0, 42.0, 0.0, 1.0))
    assert flat.of(np.array([0.0, 10.0, np.inf])).tolist() == [[42.0, 42.0, 42.0]]
