"""The likely band is worked out aside, for the newest plan only."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_resistor
from retrofit.desk.jobs import CancelledError, InlineExecutor
from retrofit.desk.likely_bands import LikelyBands
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.stock import Stock
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.workplace import Workplace
from retrofit.installation import TrimResistor
from retrofit.plan.spread import likely_of
from tests.bands.pairings import decoded, uncertain
from tests.desk.executors import HeldExecutor


def ten_ohms(place: Workplace, ohms: float = 10.0) -> None:
    resistor = TrimResistor("series at sender", Amount(ohms, "Ω"))
    assert place.attempt(set_resistor("A", resistor)) == ""


def test_that_the_band_arrives_without_a_change_of_the_plan(reader: Reader) -> None:
    place = Workplace(Session(decoded(uncertain(1))), reader, Stock(), InlineExecutor())
    bands = LikelyBands(place)
    arrived: list[bool] = []
    place.settled.connect(lambda: arrived.append(True))
    assert place.assessment().likely is None
    bands.start()
    assert arrived == [True]
    likely = place.assessment().likely
    assert likely is not None
    assert likely.convergence.reached
    ten_ohms(place)
    newer = place.assessment().likely
    assert newer is not None
    assert newer is not likely
    place.close()
    bands.deleteLater()


def test_that_a_newer_plan_stops_the_work_on_an_older_one(reader: Reader) -> None:
    executor = HeldExecutor()
    place = Workplace(Session(decoded(uncertain(1))), reader, Stock(), executor)
    bands = LikelyBands(place)
    bands.start()
    (first,) = executor.jobs
    found = place.assessment()
    ten_ohms(place)
    assert first.progress.cancelled
    with pytest.raises(CancelledError):
        first.work(first.progress)
    assert likely_of.peek(found.pairing, found.plan.duty) is None
    place.close()
    bands.deleteLater()


def test_that_beside_the_window_the_work_waits_for_the_plan_to_rest(
    qtbot: QtBot, reader: Reader
) -> None:
    executor = ThreadExecutor()
    place = Workplace(Session(decoded(uncertain(1))), reader, Stock(), executor)
    bands = LikelyBands(place)
    with qtbot.waitSignal(place.settled, timeout=20_000):
        for ohms in (10.0, 11.0, 12.0):
            ten_ohms(place, ohms)
            assert place.assessment().likely is None
    assert place.assessment().likely is not None
    place.close()
    bands.deleteLater()
