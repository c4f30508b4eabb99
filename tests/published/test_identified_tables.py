"""Published thermistor and platinum tables as readings of an unknown sender.

Platinum: ``platinum.csv`` (public reference table that cites IEC 751, coefficients of IEC
60751:2008). Thermistors: the beta table (computed apart from this program from the formula), and
the figures of the coefficient set in wide use, R at −40 and 0 °C seen in an independent table.
Each is read on a meter of 1 % + 2 digits that shows 2000.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from catalog.library import load_generic
from catalog.quantities.kinds import Kind
from retrofit.finder.identification import Identification
from retrofit.finder.identify import identify_sender
from retrofit.finder.seen import DigitalMeter, SeenPoint, SenderSeen

SENDERS = load_generic().senders
METER = DigitalMeter()

BETA_3950 = {-40.0: 401859.7, 0.0: 33620.60, 25.0: 10000.0, 50.0: 3588.18, 85.0: 1086.67,
             100.0: 697.52, 120.0: 407.09}  # fmt: skip
WIDE_USE = {-40.0: 336103.2, 0.0: 32650.9, 25.0: 10000.0, 50.0: 3602.0, 70.0: 1751.0}
# TM 5-3805-262-20: 3000–3600 Ω at 100 °F, 640–780 Ω at 200 °F, the middles of both.
ARMY = {37.7778: 3300.0, 93.3333: 710.0}


def platinum(ohms_at_zero: float, step: int) -> dict[float, float]:
    path = Path(__file__).with_name("platinum.csv")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    times = ohms_at_zero / 100.0
    return {
        float(row["t [°C]"]): float(row["R of 100 Ω [Ω] 4 decimals"]) * times
        for row in rows[::step]
    }


def identified(table: dict[float, float], within: float | None = None) -> Identification:
    ohm = np.array(list(table.values()))
    step = METER.resolution(ohm, Kind.RESISTANCE)
    shown = np.round(ohm / step) * step
    points = tuple(SeenPoint(at, float(one), within) for at, one in zip(table, shown, strict=True))
    return identify_sender(SenderSeen("temperature", points, meter=METER), SENDERS)


@pytest.mark.parametrize("step", [3, 15])
@pytest.mark.parametrize(("ohms", "key"), [(100.0, "100"), (1000.0, "1000")])
def test_that_a_platinum_table_is_platinum(ohms: float, key: str, step: int) -> None:
    answer = identified(platinum(ohms, step))
    assert (answer.found, answer.leading) == ("identified", (f"temperature-platinum-{key}",))


def test_that_a_platinum_table_is_not_one_of_500_ohms() -> None:
    # 500 Ω at 0 °C: no class of the catalogue.
    assert identified(platinum(500.0, 8)).found == "none"


@pytest.mark.parametrize(
    ("table", "key"),
    [(BETA_3950, "temperature-10k-beta-3950"), (WIDE_USE, "temperature-10k-steinhart-hart")],
    ids=["beta 3950", "wide use"],
)
def test_that_a_thermistor_table_finds_its_formula(table: dict[float, float], key: str) -> None:
    # 20 % apart at −40 °C and 3 % at 0 °C: half a kelvin at the bath is needed.
    answer = identified(table, within=0.5)
    assert answer.ranked[0].key == key
    assert answer.found == "identified"
    assert key in answer.leading


def test_that_near_25_degrees_the_two_ten_kiloohm_formulas_are_both_left() -> None:
    # Both are 10 kΩ at 25 °C; at 50 °C 3588 and 3603 Ω, 0.4 % apart: no such meter tells them.
    near = {at: ohm for at, ohm in BETA_3950.items() if 20.0 <= at <= 60.0}
    share = {one.key: one.share for one in identified(near).ranked}
    beta, wide = share["temperature-10k-beta-3950"], share["temperature-10k-steinhart-hart"]
    assert 0.5 < beta / wide < 2.0
    assert beta + wide > 0.2


def test_that_two_temperatures_of_the_army_class_are_not_called_certain() -> None:
    answer = identified(ARMY)
    assert answer.ranked[0].key == "temperature-3300-beta-3151"
    assert answer.ranked[0].share > answer.unlisted
