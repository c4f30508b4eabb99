"""The worst case against every corner, worked out one by one, and against points in the box."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.arrays import Array
from retrofit.bands.causes import Cause, limits
from retrofit.bands.corners import worst_case
from retrofit.bands.reading_model import ReadingModel
from retrofit.circuit.bilinear import Bilinear
from tests.bands.networks import (
    DIAL,
    ELEMENTS,
    STOPS,
    Gauge,
    causes_of,
    every_corner,
    of_function,
    plain,
)

NEAR = 1e-6
"""Of the scale: which corner wins is found by a table that is good to that."""

NAMES = tuple(ELEMENTS)


@st.composite
def circuits(draw: st.DrawFn, fewest: int, most: int) -> tuple[ReadingModel, tuple[Cause, ...]]:
    """A gauge in its wiring with some of what may be off, each by some width of its own."""
    count = draw(st.integers(fewest, most))
    names = tuple(draw(st.permutations(NAMES))[:count])
    widths = tuple(draw(st.floats(0.05, 1.0)) for _ in names)
    causes = causes_of(*names, widths=widths)
    return Gauge(names, logger=draw(st.booleans())).model(13), causes


def by_hand(values: Array, x: float) -> float:
    """The needle of the two-coil gauge at one corner, by its own nodal equations.

    Node voltages of supply, signal, gauge earth, sender end; battery minus is the reference.
    """
    of = dict(zip(NAMES, values, strict=True))
    y = {name: 1.0 / of[name] for name in ("feed", "upper coil", "lower coil", "gauge earth")}
    sender = float(DIAL.output(np.array([x]))[0]) * of["sender"] + of["sender wire"] + of["strap"]
    path, logger = 1.0 / sender, 1.0 / of["logger pull-up"]
    up, low = y["upper coil"], y["lower coil"]
    matrix = np.array(
        [
            [y["feed"] + up, -up, 0.0],
            [-up, up + low + path + logger, -low - logger],
            [0.0, -low - logger, low + y["gauge earth"] + logger],
        ]
    )
    rail = of["logger reference"] * logger
    right = np.array([of["battery"] * y["feed"], rail, of["lamps"] - rail])
    supply, signal, earth = np.linalg.solve(matrix, right)
    ratio = (signal - earth) * low / ((supply - signal) * up)
    seen = np.inf if ratio >= 1.0 else ELEMENTS["lower coil"][0] * ratio / (1.0 - ratio)
    shown = float(DIAL.value(np.array([seen]))[0]) + of["dial"]
    return float(np.clip(shown, STOPS.low, STOPS.high))


@given(st.integers(0, 2**12 - 1), st.integers(0, 12))
def test_that_a_corner_is_read_as_its_nodal_equations_have_it(corner: int, point: int) -> None:
    causes = causes_of(*NAMES)
    share = np.array([(corner >> n) & 1 for n in range(len(causes))], dtype=np.float64)
    low, high = limits(causes)
    values = low + share * (high - low) + 1e-3  # no conductance is without end
    shown = Gauge(NAMES, logger=True).model(13).shown(values[None, :])[0, point]
    assert shown == pytest.approx(by_hand(values, point / 12.0), abs=1e-9)


@given(circuits(1, 9))
def test_that_up_to_nine_causes_the_worst_case_is_that_of_every_corner(
    found: tuple[ReadingModel, tuple[Cause, ...]],
) -> None:
    model, causes = found
    worst, shown = worst_case(model, causes), model.shown(every_corner(causes))
    np.testing.assert_allclose(worst.low, shown.min(axis=0), rtol=0.0, atol=NEAR)
    np.testing.assert_allclose(worst.high, shown.max(axis=0), rtol=0.0, atol=NEAR)
    assert worst.every_corner
    assert worst.searched == ()


@given(circuits(10, 12))
def test_that_with_more_causes_the_directions_lead_to_the_same_corners(
    found: tuple[ReadingModel, tuple[Cause, ...]],
) -> None:
    model, causes = found
    worst, shown = worst_case(model, causes), model.shown(every_corner(causes))
    np.testing.assert_allclose(worst.low, shown.min(axis=0), rtol=0.0, atol=NEAR)
    np.testing.assert_allclose(worst.high, shown.max(axis=0), rtol=0.0, atol=NEAR)
    assert not worst.every_corner


@given(circuits(1, 12), st.integers(0, 2**32 - 1))
def test_that_no_point_of_the_box_lies_outside_the_worst_case(
    found: tuple[ReadingModel, tuple[Cause, ...]], seed: int
) -> None:
    model, causes = found
    worst = worst_case(model, causes)
    low, high = limits(causes)
    inside = low + np.random.default_rng(seed).random((300, len(causes))) * (high - low)
    shown = model.shown(inside)
    assert np.all(shown >= worst.low - NEAR)
    assert np.all(shown <= worst.high + NEAR)


@given(circuits(2, 8), st.floats(0.1, 0.9))
def test_that_a_cause_held_narrower_never_widens_the_worst_case(
    found: tuple[ReadingModel, tuple[Cause, ...]], factor: float
) -> None:
    model, causes = found
    first = causes[0]
    half = factor * (first.high - first.low) / 2.0
    narrow = Cause(first.name, first.nominal, first.nominal - half, first.nominal + half)
    wide, tight = worst_case(model, causes), worst_case(model, (narrow, *causes[1:]))
    assert np.all(tight.low >= wide.low - NEAR)
    assert np.all(tight.high <= wide.high + NEAR)


def test_that_causes_without_a_direction_are_searched_and_named() -> None:
    # Products by twos: which way one counts hangs on the other.
    causes = tuple(Cause(f"cause {k}", 0.0, -0.1, 0.1 + 0.001 * k) for k in range(12))

    def products(values: Array) -> Array:
        return np.asarray((values[:, ::2] * values[:, 1::2]).sum(axis=1))

    model = of_function(products, -1.0, 1.0)
    worst = worst_case(model, causes)
    low, high = (
        sum(
            side(a * b for a, b in product(*((c.low, c.high) for c in causes[k : k + 2])))
            for k in range(0, 12, 2)
        )
        for side in (min, max)
    )
    assert worst.low[0] == pytest.approx(low, abs=1e-12)
    assert worst.high[0] == pytest.approx(high, abs=1e-12)
    assert worst.searched == tuple(cause.name for cause in causes)
    assert not worst.every_corner


@pytest.mark.parametrize("others", [0, 11])
def test_that_what_turns_inside_its_limits_is_searched_there_and_named(others: int) -> None:
    # A load by its own value: highest where it matches, R = 10, whatever the others do.
    heated = Cause("heated", 8.0, 2.0, 40.0, bilinear=False)
    rest = tuple(Cause(f"rest {k}", 1.0, 0.9, 1.1) for k in range(others))

    def power(values: Array) -> Array:
        watts = values[:, 0] / (values[:, 0] + 10.0) ** 2
        return np.asarray(10.0 * watts + 0.01 * (values[:, 1:] - 1.0).sum(axis=1))

    worst = worst_case(of_function(power, -1.0, 1.0), (heated, *rest))
    assert worst.high[0] == pytest.approx(0.25 + 0.001 * others, abs=1e-5)
    assert worst.low[0] == pytest.approx(min(20.0 / 144.0, 400.0 / 2500.0) - 0.001 * others)
    assert worst.searched == ("heated",)


def test_that_limits_need_not_lie_evenly_about_the_nominal_value() -> None:
    model = plain(lambda v: Bilinear.in_series(v[:, 0]), np.array([103.0]))
    worst = worst_case(model, (Cause("wire", 0.1, 0.1, 5.0),))
    exact = DIAL.value(np.array([108.0, 103.1]))
    assert [worst.low[0], worst.high[0]] == pytest.approx(exact.tolist(), abs=1e-12)


def test_that_the_needle_is_held_by_its_stops() -> None:
    worst = worst_case(Gauge(("dial",)).model(), (Cause("dial", 0.0, -0.5, 0.5),))
    assert worst.low.min() == STOPS.low
    assert worst.high.max() == STOPS.high


def test_that_where_the_sender_is_not_known_the_worst_case_is_not_either() -> None:
    model = plain(lambda v: Bilinear.in_series(v[:, 0]), np.array([np.nan, 103.0]))
    worst = worst_case(model, (Cause("wire", 1.0, 0.0, 2.0),))
    assert np.isnan(worst.low[0])
    assert np.isnan(worst.high[0])
    assert worst.low[1] < 0.5 < worst.high[1] + 0.01


@pytest.mark.parametrize("others", [0, 11])
def test_that_one_corner_of_which_nobody_knows_the_reading_makes_the_band_unknown(
    others: int,
) -> None:
    def laws(values: Array) -> Bilinear:
        return Bilinear.in_series(np.where(values[:, 0] > 0.19, np.nan, values[:, 0]))

    causes = (
        Cause("contact", 0.1, 0.0, 0.2),
        *(Cause(f"rest {k}", 1.0, 0.9, 1.1) for k in range(others)),
    )
    worst = worst_case(plain(laws, np.array([103.0])), causes)
    assert np.isnan(worst.low[0])
    assert np.isnan(worst.high[0])
