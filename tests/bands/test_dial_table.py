"""The tabled dial against the dial itself, on the scale, past an open lead and below earth."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.curves.characteristic import Characteristic
from catalog.curves.family import EndsOnly
from catalog.curves.formulas import beta_through
from catalog.curves.interpolated import Interpolated
from retrofit.bands.reading_model import DialTable
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import HeaterEnds, MarkedDial, Stops
from tests.bands.networks import DIAL, STOPS, plain

DIALS: dict[str, Characteristic] = {
    "falling, four marks": DIAL,
    "from 0 Ω, three marks": MarkedDial(((0.0, 0.0), (0.5, 40.0), (1.0, 90.0))),
    "from 0 Ω, ends only": EndsOnly(0.0, 1.0, 0.0, 90.0),
    "rising": EndsOnly(0.0, 10.0, 10.0, 180.0, q=1.3),
    "strongly bent": EndsOnly(0.0, 1.0, 73.0, 10.0, q=0.26),
    "thermistor, four marks": MarkedDial(
        ((40.0, 700.0), (80.0, 150.0), (100.0, 70.0), (120.0, 22.0)), thermistor=True
    ),
    "thermistor law": beta_through((40.0, 700.0), (120.0, 22.0)),
    "heater": HeaterEnds(0.0, 1.0, 70.0, 10.0, 60.0),
    "volts": EndsOnly(0.0, 10.0, 0.5, 4.5),
    "amperes": EndsOnly(0.0, 10.0, 0.004, 0.020),
}
KINKED = Interpolated(((0.0, 0.5), (3.0, 1.0), (5.0, 3.5), (10.0, 4.5)), straight=True, known=True)
TABLE = 1e-6


def apart(dial: Characteristic) -> float:
    """Largest distance of table and dial, in parts of the scale, as the needle is held by stops."""
    span = dial.high - dial.low
    stops = Stops(dial.low - 0.05 * span, dial.high + 0.05 * span, assumed=True)
    most = float(np.max(np.abs(dial.output(np.array([dial.low, dial.high])))))
    seen = np.concatenate(
        [np.linspace(0.0, 2.0 * most, 20_011), np.geomspace(2.0, 1e6, 3_001) * most, [np.inf]]
    )
    if isinstance(dial, MarkedDial | EndsOnly | HeaterEnds):
        # A law that is known below nothing: an earth offset drives the needle there.
        seen = np.concatenate([-np.linspace(0.0, 0.2 * most, 3_001), seen])
    table = DialTable.of(dial, stops)
    out = np.empty(len(seen))
    # Laws that give what is seen at an open lead as well: a over c.
    finite = np.where(np.isinf(seen), 1.0, seen)
    laws = Bilinear.of(0.0, finite, 0.0, np.where(np.isinf(seen), 0.0, 1.0))
    table.look_up(table.place(laws), 1.0, out)
    with np.errstate(divide="ignore", invalid="ignore"):
        exact = dial.value(seen)
    known = ~np.isnan(exact)
    off = np.clip(out, stops.low, stops.high) - np.clip(exact, stops.low, stops.high)
    return float(np.max(np.abs(off[known]))) / span


@pytest.mark.parametrize("name", DIALS)
def test_that_the_table_is_the_dial_to_a_millionth_of_the_scale(name: str) -> None:
    assert apart(DIALS[name]) < TABLE


def test_that_a_dial_of_straight_lines_is_off_by_a_quarter_cell_at_its_corners_at_most() -> None:
    # A chord over a corner is off by at most a quarter of its length times the change of slope.
    table = DialTable.of(KINKED, Stops(-0.5, 10.5, assumed=True))
    cells = len(table.values) - 1
    value, volt = (np.array(found) for found in zip(*KINKED.points, strict=True))
    turn = np.abs(np.diff(np.diff(value) / np.diff(volt)))
    place = (volt[1:-1] + table.below) / (volt[1:-1] + table.below + table.middle)
    cell = table.middle / (1.0 - place) ** 2 / cells
    assert apart(KINKED) < 1.01 * np.max(turn * cell) / 4.0 / 10.0 < 2e-4


@pytest.mark.parametrize("under", [0.0, -0.1, -0.5, -2.0, -1e6])
def test_that_far_past_an_open_lead_the_table_shows_what_an_open_lead_does(under: float) -> None:
    # A pull-up can drive a needle past the place of an open lead at any strength.
    model = plain(lambda v: Bilinear.of(np.ones(len(v)), 0.0, 0.0, under), np.array([60.0]))
    values = np.zeros((1, 1))
    assert model.shown(values)[0, 0] == STOPS.low
    assert model.near(values)[0, 0] <= STOPS.low


@pytest.mark.parametrize("ohm", [-15.0, -60.0, -100.0, -150.0, -1e5])
def test_that_far_below_earth_the_table_keeps_to_the_side_of_earth(ohm: float) -> None:
    model = plain(lambda v: Bilinear.of(0.0, np.full(len(v), ohm), 0.0, 1.0), np.array([60.0]))
    values = np.zeros((1, 1))
    assert model.shown(values)[0, 0] == STOPS.high
    assert model.near(values)[0, 0] >= STOPS.high


def test_that_an_open_lead_is_looked_up_without_taking_a_limit() -> None:
    def laws(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Bilinear:
        across = Bilinear.across(np.full(len(values), 103.0))
        fixed = Bilinear.of(0.0, 165.0, 0.0, 1.0)  # does not hang on the sender at all
        return Bilinear(*(np.array([getattr(across, k)[0], getattr(fixed, k)[0]]) for k in "abcd"))

    model = plain(laws, np.array([50.0, np.inf]))
    values = np.zeros((2, 1))
    np.testing.assert_allclose(model.near(values)[:, 1], [0.5, 0.25], atol=1e-6)


def test_that_a_law_that_is_not_known_shows_nothing_and_spoils_no_other() -> None:
    def laws(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Bilinear:
        return Bilinear.of(np.array([np.nan, 1.0]), 0.0, 0.0, np.ones(len(values)))

    near = plain(laws, np.array([103.0])).near(np.zeros((2, 1)))
    assert np.isnan(near[0, 0])
    assert near[1, 0] == pytest.approx(0.5, abs=1e-6)
