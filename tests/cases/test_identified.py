"""Worked cases of the trade in which somebody has to find out what lies on the bench.

Figures of common practice, no source; what each case expects stands beside it.
"""

from __future__ import annotations

import math

import pytest

from catalog.library import load_generic
from catalog.parts.fields import QuantityName
from catalog.parts.sender import Sender
from retrofit.finder.identification import Identification
from retrofit.finder.identify import identify_gauge, identify_sender
from retrofit.finder.seen import GaugeSeen, SeenNeedle, SeenPoint, SenderSeen

LIBRARY = load_generic()
SENDERS = {sender.key: sender for sender in LIBRARY.senders}


def measured(quantity: QuantityName, points: dict[float, float]) -> Identification:
    seen = tuple(SeenPoint(at, ohm) for at, ohm in points.items())
    return identify_sender(SenderSeen(quantity, seen), LIBRARY.senders)


def at_rest(ohm: float) -> list[Sender]:
    """Classes that carry nine tenths of what is known from the ohms at rest alone."""
    answer = identify_sender(SenderSeen(rest=ohm), LIBRARY.senders)
    assert answer.found == "several"
    known = sum(one.share for one in answer.ranked)
    kept, total = [], 0.0
    for one in sorted(answer.ranked, key=lambda each: -each.share):
        if total < 0.9 * known:
            kept.append(SENDERS[one.key])
        total += one.share
    return kept


def fahrenheit(degrees: float) -> float:
    return (degrees - 32.0) / 1.8


# --- C03: half of the 240–33 Ω class is 103 Ω, not the arithmetic mean 136 Ω --------------------


@pytest.mark.parametrize(
    ("points", "key"),
    [
        ({0.0: 240.0, 0.5: 103.0, 1.0: 33.0}, "level-240-33-mid-103"),
        ({0.0: 240.0, 0.25: 188.0, 0.5: 136.0, 0.75: 84.0, 1.0: 33.0}, "level-240-33-straight"),
    ],
)
def test_that_c03_tells_both_tables_of_one_standard_apart(
    points: dict[float, float], key: str
) -> None:
    answer = measured("level", points)
    assert answer.ranked[0].key == key
    other = {"level-240-33-mid-103", "level-240-33-straight"} - {key}
    shares = {one.key: one.share for one in answer.ranked}
    assert shares.get(other.pop(), 0.0) < 0.01


def test_that_c03_asks_for_half_where_only_the_ends_are_known() -> None:
    answer = measured("level", {0.0: 240.0, 1.0: 33.0})
    assert answer.found == "several"
    assert answer.telling is not None
    assert answer.telling.at.value == 0.5
    half = {one.key: one.value.value for one in answer.telling.expected}
    assert half["level-240-33-mid-103"] == pytest.approx(103.0, abs=2.0)
    assert half["level-240-33-straight"] == pytest.approx(136.0, abs=2.0)


# --- C15: 144 Ω at a brim-full tank, open = empty, lowest = full --------------------------------


def test_that_c15_finds_the_gauge_and_not_a_sender_of_144_ohms_full() -> None:
    needles = (
        SeenNeedle(math.inf, -math.inf),
        SeenNeedle(33.0, math.inf),
        # The needle with 144 Ω: 0.35 by straight lines, 0.30–0.31 by a smooth law.
        SeenNeedle(144.0, 0.33),
    )
    gauge = identify_gauge(GaugeSeen("level", needles), LIBRARY.gauges)
    assert gauge.found == "identified"
    assert all("240-33" in key for key in gauge.leading)
    shown = gauge.ranked[0].beside[2].expected.value.value
    assert 0.28 <= shown <= 0.37
    seen = SenderSeen("level", (SeenPoint(1.0, 144.0),), rising=False)
    sender = identify_sender(seen, LIBRARY.senders)
    assert sender.found == "none"


# --- C32: a Fahrenheit dial replaced by a Celsius one -------------------------------------------


def test_that_c32_tells_the_senders_of_both_sides_of_the_atlantic_apart() -> None:
    american = measured("temperature", {fahrenheit(75.0): 650.0, fahrenheit(212.0): 55.0})
    assert american.ranked[0].key == "temperature-650-55-212f"
    european = measured(
        "temperature",
        {40.0: 291.5, 60.0: 134.0, 80.0: 70.1, 90.0: 51.2, 100.0: 38.5, 120.0: 22.4},
    )
    assert (european.found, european.leading) == ("identified", ("temperature-291-22-120c",))


def test_that_c32_expects_175_ohms_of_the_american_sender_at_60_degrees() -> None:
    answer = measured(
        "temperature", {fahrenheit(75.0): 650.0, 60.0: 175.0, fahrenheit(212.0): 55.0}
    )
    first = answer.ranked[0]
    assert first.key == "temperature-650-55-212f"
    at_60 = first.beside[1].expected
    assert at_60.low <= 175.0 <= at_60.high
    shares = {one.key: one.share for one in answer.ranked}
    assert shares.get("temperature-291-22-120c", 0.0) < 0.01


# --- C44: what the calliper says of the thread --------------------------------------------------


def test_that_c44_a_thread_that_fits_nothing_changes_no_rank() -> None:
    # 14 per inch at 9/16 in fits no thread: pitch and diameter have to be measured again.
    points = (SeenPoint(40.0, 291.5), SeenPoint(80.0, 70.1))
    plain = identify_sender(SenderSeen("temperature", points), LIBRARY.senders)
    nothing = dict.fromkeys(SENDERS, 1.0)
    same = identify_sender(SenderSeen("temperature", points, thread=nothing), LIBRARY.senders)
    assert [one.key for one in same.ranked] == [one.key for one in plain.ranked]


def test_that_c44_a_thread_that_fits_one_class_speaks_for_it() -> None:
    points = (SeenPoint(60.0, 148.0),)
    plain = identify_sender(SenderSeen("temperature", points), LIBRARY.senders)
    second = plain.ranked[1]
    assert second.share > 0.01
    thread = {**dict.fromkeys(SENDERS, 0.02), second.key: 0.9}
    answer = identify_sender(SenderSeen("temperature", points, thread=thread), LIBRARY.senders)
    shares = {one.key: one.share for one in answer.ranked}
    others = [one for one in plain.ranked if one.key != second.key]
    assert shares[second.key] > second.share
    # Bayes: 0.9/0.02 times as likely against each of the others as before.
    assert shares[second.key] / shares[others[0].key] == pytest.approx(
        45.0 * second.share / others[0].share
    )


# --- C47: stations × resistance family × earth --------------------------------------------------


def test_that_c47_240_ohms_at_rest_is_a_falling_single_station() -> None:
    found = at_rest(240.0)
    assert {sender.stations for sender in found} == {1}
    assert not any(sender.curve.rising for sender in found if sender.curve is not None)


def test_that_c47_120_ohms_at_rest_is_a_falling_dual_station() -> None:
    found = at_rest(120.0)
    assert {sender.stations for sender in found} == {2}
    assert not any(sender.curve.rising for sender in found if sender.curve is not None)


def test_that_c47_10_ohms_at_rest_is_a_rising_single_station() -> None:
    found = at_rest(10.0)
    assert {sender.stations for sender in found} == {1}
    assert all(sender.curve.rising for sender in found if sender.curve is not None)
