"""Installations against figures worked out outside this program.

Each figure comes from closed forms and from the ngspice circuit simulator at the stated inputs
(the project's acceptance list, numbers 3 to 7 and 11 to 13), recomputed here by hand where the
formula is one line. The coils are examples, not measurements of any product.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from catalog.parts.gauge import (
    CoilMovement,
    DialMark,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    Movement,
    RatioMovement,
)
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.circuit.reduction import Current, Ratio, Reduction, Voltage
from retrofit.circuit.stabiliser import Held, chopped, stabilised
from retrofit.installation import (
    Installation,
    Load,
    Path,
    SecondGauge,
    Supply,
    TrimResistor,
)
from retrofit.movements import Apparent, apparent, second_apparent
from retrofit.wired import PANEL_TEMPERATURE, SIGNAL_NODE, Supplies, Wired, load_name, wired

RATIO = RatioMovement(Figure(Amount(90.0, "Ω")), Figure(Amount(110.0, "Ω")))


def ohms(value: float) -> Figure:
    return Figure(Amount(value, "Ω"))


def volts(value: float) -> Supply:
    return Supply(Amount(value, "V"))


def gauge(movement: Movement, *marks: tuple[float, float]) -> Gauge:
    return Gauge(
        "gauge",
        "gauge",
        "level",
        movement,
        Amount(0.0, "%"),
        Amount(100.0, "%"),
        tuple(DialMark(Amount(at, "%"), Amount(ohm, "Ω")) for at, ohm in marks),
    )


def circuit(
    dial: Gauge, installation: Installation, supply: float, at: dict[str, float] | None = None
) -> Wired:
    found = wired(dial, installation, (), Supplies(np.array([supply])), at or {})
    assert found is not None
    return found


def node_and_ratio(found: Wired, ohm: float) -> tuple[float, float]:
    reduced = Reduction(found.network, found.first, found.second)
    ratio = reduced.law(Ratio(Current("earth coil"), Current("supply coil")))
    at = np.array([ohm])
    return float(reduced.law(Voltage(SIGNAL_NODE))(at)[0, 0]), float(ratio(at)[0, 0])


@pytest.mark.parametrize(
    ("amperes", "volt", "ratio"),
    [(5.0, 3.6686541512, 0.305312), (0.0, 3.5377710206, 0.290551), (-5.0, 3.4068878900, 0.276174)],
)
def test_that_a_current_in_the_senders_earth_moves_a_ratio_gauge(
    amperes: float, volt: float, ratio: float
) -> None:
    """Number 5; its listed ratios .305308 and .290553 do not follow from its own volts."""
    load = Load("lights", "engine earth", None, Figure(Amount(abs(amperes), "A")), "at times", "no")
    charging = replace(load, name="charging", when="charging")
    installed = Installation(
        volts(13.5), engine_earth=Path(measured=ohms(0.05)), loads=(load, charging)
    )
    on = {load_name(load if amperes >= 0.0 else charging): 1.0}
    found = node_and_ratio(circuit(gauge(RATIO), installed, 13.5, on), 45.0)
    assert found[0] == pytest.approx(volt, rel=1e-9)
    assert found[1] == pytest.approx(ratio, abs=2e-6)


def test_that_a_current_in_the_gauges_earth_moves_it_the_other_way() -> None:
    load = Load("lights", "gauge earth", None, Figure(Amount(5.0, "A")), "always", "no")
    shared = Path(measured=ohms(0.05))
    installed = Installation(volts(13.5), gauge_earth=shared, loads=(load,))
    _, ratio = node_and_ratio(circuit(gauge(RATIO), installed, 13.5), 45.0)
    assert ratio == pytest.approx(0.275586, abs=1e-6)


@pytest.mark.parametrize("supply", [11.0, 13.5, 16.0])
def test_that_a_load_on_the_same_supply_does_the_same_at_every_supply(supply: float) -> None:
    """Number 5: 2.65 Ω from the supply to the engine block is a resistance, so a ratio cancels."""
    lights = Load("lights", "engine earth", Amount(13.5**2 / 2.65, "W"), None, "always", "no")
    installed = Installation(volts(13.5), engine_earth=Path(measured=ohms(0.05)), loads=(lights,))
    _, ratio = node_and_ratio(circuit(gauge(RATIO), installed, supply), 45.0)
    assert ratio == pytest.approx(0.30530761923, rel=1e-9)


def seen(found: Apparent | object, ohm: float) -> float:
    assert isinstance(found, Apparent)
    return float(found.of(np.array([ohm]))[0, 0])


@pytest.mark.parametrize(("shared", "each"), [(16.5, 33.0), (51.5, 103.0), (120.0, 240.0)])
@pytest.mark.parametrize("known", [True, False], ids=["coils known", "coils unknown"])
def test_that_two_equal_gauges_on_one_sender_each_see_twice_its_ohms(
    shared: float, each: float, known: bool
) -> None:
    dial = gauge(RATIO if known else RatioMovement())
    installed = Installation(volts(13.5), second=SecondGauge(dial))
    supplies = Supplies(np.array([13.5]))
    assert seen(apparent(dial, installed, (), supplies), shared) == pytest.approx(each, rel=1e-9)
    second = second_apparent(dial, installed, (), supplies)
    assert seen(second, shared) == pytest.approx(each, rel=1e-9)


def test_that_a_dial_and_a_digital_gauge_on_one_sender_falsify_each_other() -> None:
    """Number 13 and case C30: 12 V through 100 Ω and 5 V through 1 kΩ on 64.3 Ω.

    Exact: the node stands at 4.7077256 V, so the dial sees 64.56 Ω and the digital one 16.1 kΩ.
    """
    dial = gauge(CoilMovement(ohms(100.0), Figure(Amount(12.0, "V"))))
    digital = gauge(ElectronicMovement(ohms(1000.0), "reference", Figure(Amount(5.0, "V"))))
    installed = Installation(volts(12.0), second=SecondGauge(digital))
    found = circuit(dial, installed, 12.0)
    reduced = Reduction(found.network, found.first, found.second)
    node = float(reduced.law(Voltage(SIGNAL_NODE))(np.array([64.3]))[0, 0])
    assert node == pytest.approx(4.7077256, rel=1e-7)
    supplies = Supplies(np.array([12.0]))
    assert seen(apparent(dial, installed, (), supplies), 64.3) == pytest.approx(64.56, abs=5e-3)
    other = second_apparent(dial, installed, (), supplies)
    assert seen(other, 64.3) == pytest.approx(16107.0, abs=2.0)


def test_that_a_dead_second_gauge_still_loads_the_sender() -> None:
    """By hand: its 110 Ω to earth lies beside the sender, its supply coil leads nowhere."""
    dial = gauge(RATIO)
    installed = Installation(volts(13.5), second=SecondGauge(dial, "no"))
    found = seen(apparent(dial, installed, (), Supplies(np.array([13.5]))), 90.0)
    assert found == pytest.approx(90.0 * 110.0 / 200.0, rel=1e-9)


@pytest.mark.parametrize(("ohm", "shown"), [(103.0, 0.579), (240.0, 0.087), (33.0, 1.043)])
def test_that_a_warm_copper_coil_shows_too_much(ohm: float, shown: float) -> None:
    """Number 11: an earth coil of 183.3 Ω, all copper, 40 K warmer, on a 240/103/33 Ω dial."""
    movement = RatioMovement(ohms(90.0), ohms(183.3), copper=Figure(Amount(100.0, "%")))
    dial = gauge(movement, (0.0, 240.0), (50.0, 103.0), (100.0, 33.0))
    warm = {PANEL_TEMPERATURE: 60.0}
    law = apparent(dial, Installation(volts(13.5)), (), Supplies(np.array([13.5])), warm)
    sees = seen(law, ohm)
    assert sees == pytest.approx(ohm / (1.0 + 0.00393 * 40.0), rel=1e-9)
    s = (sees - 240.0) / (33.0 - 240.0)
    q = 0.511  # number 10: the family's q for 240/103/33
    assert q * s / (1.0 - s + q * s) == pytest.approx(shown, abs=2e-3)


def test_that_a_moving_coil_follows_its_supply() -> None:
    """Number 12: at 14.4 V a coil marked at 12 V takes 1.2 times the current."""
    dial = gauge(CoilMovement(ohms(100.0), Figure(Amount(12.0, "V"))))
    found = circuit(dial, Installation(volts(14.4)), 14.4)
    amps = Reduction(found.network, found.first, found.second).law(Current("coil"))
    marked = 12.0 / (100.0 + 50.0)
    assert float(amps(np.array([50.0]))[0, 0]) / marked == pytest.approx(1.2, rel=1e-9)


def test_that_a_chopper_means_one_thing_to_a_meter_and_another_to_a_heater() -> None:
    """Number 6: 14 V at 50 %: 7.0 V mean, 9.8994949 V heat-equivalent; and what R that shows."""
    output = chopped(np.array([14.0]), np.array([0.5]))
    assert float(output.mean[0]) == pytest.approx(7.0)
    assert float(output.heat_equivalent[0]) == pytest.approx(9.8994949, rel=1e-8)
    dial = gauge(HeaterMovement(ohms(60.0), Figure(Amount(10.0, "V"))))
    law = apparent(dial, Installation(volts(14.0)), (), Supplies(output.heat_equivalent))
    assert seen(law, 57.0) == pytest.approx(58.188, abs=5e-4)


@pytest.mark.parametrize(
    ("supply", "duty", "mean"),
    [(11.5, 0.756, 8.7), (12.2, 0.672, 8.2), (13.0, 0.592, 7.7), (14.4, 0.482, 6.9)],
)
def test_that_ten_heat_equivalent_volts_look_less_to_a_meter(
    supply: float, duty: float, mean: float
) -> None:
    """Case C24, by hand: duty (10/V)², mean duty·V."""
    output = stabilised(np.array([supply]), np.array([10.0]), Held.HEAT)
    assert float(output.duty[0]) == pytest.approx(duty, abs=6e-4)
    assert float(output.mean[0]) == pytest.approx(mean, abs=0.06)


def test_that_a_pull_up_on_a_heater_multiplies_the_sender() -> None:
    """Number 3: 60 Ω heater at 10 V, 120 Ω pull-up, 41 Ω: 5.0617283951 V, as 61.5 Ω would."""
    dial = gauge(HeaterMovement(ohms(60.0), Figure(Amount(10.0, "V"))))
    trim = (TrimResistor("pull-up", Amount(120.0, "Ω")),)
    supplies = Supplies(np.array([10.0]))
    law = apparent(dial, Installation(volts(10.0)), trim, supplies)
    assert seen(law, 41.0) == pytest.approx(61.5, rel=1e-9)


@pytest.mark.parametrize(
    ("ohm", "share"), [(10.0, 0.2173913), (107.0, 1.6360856), (184.0, 2.2772277)]
)
def test_that_a_logger_with_a_pull_up_reads_a_resistance_as_volts(ohm: float, share: float) -> None:
    """Number 7: 5 V behind 220 Ω."""
    logger = gauge(ElectronicMovement(ohms(220.0), "reference", Figure(Amount(5.0, "V"))))
    found = circuit(logger, Installation(volts(12.0)), 12.0)
    reduced = Reduction(found.network, found.first, found.second)
    node = float(reduced.law(Voltage(SIGNAL_NODE))(np.array([ohm]))[0, 0])
    assert node == pytest.approx(share, rel=1e-7)


@pytest.mark.parametrize(("supply", "share"), [(11.0, 0.43137), (12.5, 0.49020), (14.4, 0.56471)])
def test_that_a_pull_up_on_the_battery_drifts_against_a_fixed_reference(
    supply: float, share: float
) -> None:
    """Number 7: 410 Ω to the battery, a 5 V reference, 100 Ω."""
    logger = gauge(ElectronicMovement(ohms(410.0), "supply", feed=Figure(Amount(12.5, "V"))))
    found = circuit(logger, Installation(volts(supply)), supply)
    reduced = Reduction(found.network, found.first, found.second)
    node = float(reduced.law(Voltage(SIGNAL_NODE))(np.array([100.0]))[0, 0])
    assert node / 5.0 == pytest.approx(share, abs=1e-5)
