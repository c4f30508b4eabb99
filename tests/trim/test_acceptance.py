"""Two-resistor optima, pull-ups and proofs of no with their numbers.

The figures were worked out beside the project from closed forms, brute force over all pairs and
a circuit simulator, with the dial as a PCHIP in the stated law variable whose end slopes go on.
E24 from 1 Ω to 10 kΩ is 97 values (IEC 60063).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.curves.interpolated import Interpolated
from retrofit.trim.answer import Answer, Wishes, best_trims
from retrofit.trim.preferred import values
from retrofit.trim.question import Question, objective
from retrofit.trim.signal_node import SignalNode
from tests.trim.smooth_dial import Law, SmoothDial, current, divided, log_ohms, ohms

E24 = values("E24", 1.0, 10_000.0)
LEVEL = np.linspace(0.0, 1.0, 21)
HEAT = np.linspace(40.0, 120.0, 21)
TEMPERATURES = np.arange(40.0, 121.0, 10.0)
CLASS_291 = (291.46, 197.29, 134.03, 97.05, 70.12, 51.21, 38.47, 29.12, 22.44)
CLASS_482 = (481.53, 322.17, 221.17, 155.29, 112.08, 82.96, 61.92, 47.24, 36.51)
"""Every 10 °C from 40 to 120 °C (common practice, no source)."""
AIR_CORE = ((100.0, 450.0), (150.0, 158.2), (200.0, 64.3), (250.0, 29.5), (300.0, 14.96))
"""°F and Ω (common practice, no source)."""


def asked(x: Array, sender: Array, dial: Characteristic, allowed: float = 1.0) -> Question:
    """Errors count in their own unit; only the sender's path is judged."""
    wanted = np.full_like(x, allowed)
    return Question(x, sender, wanted, dial, SignalNode.path_only())


def answered(question: Question, most: int = 2) -> Answer:
    return best_trims(question, E24, Wishes(most=most))


def resistors(answer: Answer, count: int) -> tuple[dict[str, float], float]:
    """The best with so many resistors, and how far it errs."""
    found = answer.by_count[count]
    assert found is not None
    return {str(place): ohm for place, ohm in found.trim.resistors}, found.worst


def assert_best(
    answer: Answer, count: int, held: dict[str, float], worst: float, to: float
) -> None:
    places, errs = resistors(answer, count)
    assert places == held
    assert errs == pytest.approx(worst, abs=to)


def test_that_e24_over_four_decades_is_97_values() -> None:
    assert len(E24) == 97


@pytest.mark.parametrize(("law", "worst"), [(ohms, 0.20169), (current(12.1), 0.20042)])
def test_that_one_82_ohm_across_88_to_8_is_the_best_on_73_23_10(law: Law, worst: float) -> None:
    dial = SmoothDial(((0.0, 73.0), (0.5, 23.0), (1.0, 10.0)), law)
    answer = answered(asked(LEVEL, 88.0 - 80.0 * LEVEL, dial))
    assert_best(answer, 1, {"across sender": 82.0}, worst, 5e-6)
    assert answer.best is answer.lead is answer.by_count[1]


def test_that_88_to_8_on_73_to_10_by_its_ends_takes_1_ohm_and_360() -> None:
    dial = SmoothDial(((0.0, 73.0), (1.0, 10.0)))
    answer = answered(asked(LEVEL, 88.0 - 80.0 * LEVEL, dial))
    held, worst = resistors(answer, 2)
    assert held == {"series at sender": 1.0, "signal to earth": 360.0}
    assert worst == pytest.approx(0.0261905, abs=5e-8)
    assert_best(answer, 1, {"across sender": 430.0}, 0.03407, 5e-6)


def on_scale(sender: tuple[float, float], dial: tuple[float, float]) -> Wishes:
    """Refuse trims that drive the needle off a dial: its ohms and the sender's, least first."""

    def allowed(*places: Array) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        p, s1, q, s2, _ = (each[:, None] for each in places)
        with np.errstate(divide="ignore"):
            inner = 1.0 / (1.0 / np.array(sender) + 1.0 / p) + s1
            path = 1.0 / (1.0 / inner + 1.0 / q) + s2
        inside = (path >= dial[0] - 1e-9) & (path <= dial[1] + 1e-9)
        return np.asarray(np.all(inside, axis=1))

    return Wishes(most=2, allowed=allowed)


def test_that_without_leaving_the_scale_88_to_8_on_73_to_10_takes_2_4_ohm_and_330() -> None:
    dial = SmoothDial(((0.0, 73.0), (1.0, 10.0)))
    question = asked(LEVEL, 88.0 - 80.0 * LEVEL, dial)
    held, worst = resistors(best_trims(question, E24, on_scale((8.0, 88.0), (10.0, 73.0))), 2)
    assert held == {"series at sender": 2.4, "signal to earth": 330.0}
    assert worst == pytest.approx(0.03766, abs=5e-6)


def through(points: tuple[tuple[float, float], ...], x: Array, *, log: bool = False) -> Array:
    """Ohms of a sender by SciPy's PCHIP through its points, in the logarithm where `log`."""
    at, r = np.array(points).T
    if log:
        return np.asarray(np.exp(PchipInterpolator(at, np.log(r))(x)))
    return np.asarray(PchipInterpolator(at, r)(x))


@pytest.mark.parametrize(("law", "worst"), [(log_ohms, 9.02497), (divided(110.0), 9.02291)])
def test_that_430_ohm_across_is_the_best_for_450_to_15_on_291_to_22(law: Law, worst: float) -> None:
    sender = through(AIR_CORE, 1.8 * HEAT + 32.0, log=True)
    dial = SmoothDial(tuple(zip(TEMPERATURES.tolist(), CLASS_291, strict=True)), law)
    answer = answered(asked(HEAT, sender, dial))
    assert_best(answer, 1, {"across sender": 430.0}, worst, 5e-6)
    assert answer.best is answer.by_count[1]
    if law is log_ohms:
        assert_best(answer, 0, {}, 11.5501, 5e-5)


def test_that_0_to_190_on_10_to_180_takes_7_5_ohm_and_1800() -> None:
    sender = through(
        tuple(zip(np.linspace(0, 1, 5), (0.0, 48.0, 95.0, 143.0, 190.0), strict=True)), LEVEL
    )
    question = asked(LEVEL, sender, SmoothDial(((0.0, 10.0), (1.0, 180.0))))
    answer = answered(question)
    assert_best(answer, 2, {"series at sender": 7.5, "signal to earth": 1800.0}, 0.0148889, 5e-8)
    assert_best(answer, 0, {}, 0.05882, 5e-6)
    kept = best_trims(question, E24, on_scale((0.0, 190.0), (10.0, 180.0)))
    held, worst = resistors(kept, 2)
    assert held == {"across sender": 1300.0, "series at sender": 10.0}
    assert worst == pytest.approx(0.02487, abs=5e-6)


@pytest.mark.parametrize(
    ("series", "percent"), [("E6", 1.89), ("E12", 1.56), ("E24", 1.49), ("E96", 1.36)]
)
def test_that_finer_series_buy_less_than_the_senders_tolerance(series: Any, percent: float) -> None:
    # These figures take straight lines between the points of the sender.
    sender = np.interp(LEVEL, np.linspace(0.0, 1.0, 5), (0.0, 48.0, 95.0, 143.0, 190.0))
    question = asked(LEVEL, sender, SmoothDial(((0.0, 10.0), (1.0, 180.0))))
    found = best_trims(question, values(series, 1.0, 10_000.0)).best
    assert found is not None
    assert 100.0 * found.worst == pytest.approx(percent, abs=0.005)
    off = [
        best_worst(replace(question, ohms=sender * share), found.trim.arrays())
        for share in (0.95, 1.05)
    ]
    assert 4.4 <= 100.0 * max(off) <= 5.8


def best_worst(question: Question, trim: tuple[Array, Array, Array, Array, Array]) -> float:
    return float(objective(question, *trim))


def test_that_the_hotter_thermistor_class_is_never_mended_on_the_cooler_ones_dial() -> None:
    # The ratio of the two curves is 1.60 to 1.65 all along: a shift, which has no cure.
    ratio = np.array(CLASS_482) / np.array(CLASS_291)
    assert (ratio.min(), ratio.max()) == (
        pytest.approx(1.596, abs=3e-3),
        pytest.approx(1.652, abs=5e-4),
    )
    points = tuple(zip(TEMPERATURES.tolist(), CLASS_482, strict=True))
    dial = SmoothDial(tuple(zip(TEMPERATURES.tolist(), CLASS_291, strict=True)), log_ohms)
    answer = answered(asked(HEAT, through(points, HEAT, log=True), dial))
    assert_best(answer, 0, {}, 18.1483, 5e-5)
    assert_best(answer, 1, {"across sender": 270.0}, 13.6278, 5e-5)
    assert answer.best is answer.by_count[1]


# --- pull-ups -----------------------------------------------------------------------------------


def test_that_a_pull_up_on_a_ratio_gauge_passes_open_and_shifts_as_the_simulator_says() -> None:
    # 12 V, 90 Ω and 110 Ω coils, 49.5 Ω to the supply (circuit simulator).
    node = SignalNode.plain_source(12.0 * 110.0 / 200.0, 90.0 * 110.0 / 200.0, 12.0)
    seen = node.apparent(np.array([10.0, 70.0]), np.array(1.0 / 49.5))
    assert seen[0] == pytest.approx(33.76, abs=5e-3)
    assert math.isinf(seen[1])


def test_that_a_pull_up_on_a_heater_multiplies_the_senders_ohms() -> None:
    # 60 Ω heater at 10 V, 120 Ω pull-up, 41 Ω: like 61.5 Ω (circuit simulator).
    node = SignalNode.winding(60.0, 10.0, 10.0)
    assert float(node.apparent(np.array(41.0), np.array(1.0 / 120.0))) == pytest.approx(61.5)


def test_that_a_pull_up_of_the_right_ohms_mends_70_to_10_on_240_to_33_for_a_heater() -> None:
    # Open voltage and pull-up share the supply: R·(1 + Rth/Rpu), 3.4 times with 0.4167·Rth.
    dial = Interpolated(((0.0, 240.0), (1.0, 33.0)), straight=True, known=True)
    sender = 70.0 - 60.0 * LEVEL
    question = Question(
        LEVEL, sender, np.full(21, 0.05), dial, SignalNode.winding(100.0, 12.0, 12.0)
    )
    answer = best_trims(question, E24, Wishes(most=1))
    assert answer.best is not None
    assert answer.best.trim.places == ("pull-up",)
    assert answer.best.trim.ohms[4] in (39.0, 43.0)
    assert answer.best.worst < 1.0
    bare = best_trims(replace(question, node=SignalNode.path_only()), E24, Wishes(most=2))
    assert all("pull-up" not in f.trim.places for f in bare.by_count if f is not None)
