"""Identifying a sender: what it says, what it asks for, what it refuses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.fields import QuantityName
from catalog.quantities.kinds import Kind
from retrofit.finder.identification import Identification
from retrofit.finder.identify import identify_sender
from retrofit.finder.seen import DigitalMeter, SeenPoint, SenderSeen

SENDERS = load_generic().senders


def found(
    quantity: QuantityName, *points: tuple[float, float], rising: bool | None = None
) -> Identification:
    seen = tuple(SeenPoint(at, ohm) for at, ohm in points)
    return identify_sender(SenderSeen(quantity, seen, rising=rising), SENDERS)


def keys(answer: Identification) -> list[str]:
    return [message.key for message in answer.says]


def test_that_shares_and_none_of_these_make_a_whole() -> None:
    answer = found("level", (0.0, 150.0), (1.0, 20.0))
    shown = sum(one.share for one in answer.ranked)
    assert 0.99 <= shown + answer.unlisted <= 1.0 + 1e-9


def test_that_the_ends_alone_leave_the_shape_open_and_half_tells() -> None:
    answer = found("level", (0.0, 240.0), (1.0, 33.0))
    assert answer.found == "several"
    assert answer.telling is not None
    assert answer.telling.at.value == pytest.approx(0.5)
    expected = {one.key: one.value.value for one in answer.telling.expected}
    # The two classes' own figures at half (common practice, no source).
    assert expected["level-240-33-mid-103"] == pytest.approx(103.0, rel=0.02)
    assert expected["level-240-33-straight"] == pytest.approx(136.0, rel=0.02)


def test_that_the_telling_measurement_settles_it() -> None:
    answer = found("level", (0.0, 240.0), (1.0, 33.0), (0.5, 103.0))
    assert (answer.found, answer.leading) == ("identified", ("level-240-33-mid-103",))


def test_that_the_reading_that_looks_wrong_is_named() -> None:
    answer = found("level", (0.0, 0.2), (0.25, 48.0), (0.5, 48.0), (0.75, 143.0), (1.0, 190.0))
    assert answer.ranked[0].key == "level-0-190"
    assert "identify.wrong" in keys(answer)
    assert [row.doubt > 0.9 for row in answer.ranked[0].beside] == [
        False,
        False,
        True,
        False,
        False,
    ]
    assert "identify.same" in keys(answer)


def test_that_swapped_rows_are_named() -> None:
    answer = found("level", (0.0, 0.2), (0.25, 95.0), (0.5, 48.0), (0.75, 143.0), (1.0, 190.0))
    assert answer.ranked[0].key == "level-0-190"
    assert answer.ranked[0].swapped == (2, 3)
    assert "identify.swapped" in keys(answer)


def test_that_two_good_readings_beside_a_bad_one_are_not_enough() -> None:
    answer = found("level", (0.0, 240.0), (0.5, 240.0), (1.0, 33.0))
    assert answer.found != "identified"


def test_that_one_reading_never_identifies() -> None:
    for sender in SENDERS:
        if sender.curve is None or sender.signal is not Kind.RESISTANCE:
            continue
        at = sender.curve.high
        ohm = max(float(sender.curve.output(np.array([at]))[0]), 0.0)
        assert found(sender.quantity, (at, ohm)).found != "identified"


def test_that_a_curve_of_no_class_is_none_of_these() -> None:
    answer = found("level", (0.0, 1500.0), (0.5, 900.0), (1.0, 400.0))
    assert answer.found == "none"
    assert answer.telling is None
    assert keys(answer)[0] == "identify.none"


def test_that_unrelated_readings_are_none_of_these() -> None:
    answer = found("pressure", (0.0, 8.0), (1e5, 900.0), (2e5, 3.0), (3e5, 410.0), (4e5, 77.0))
    assert answer.found == "none"


def test_that_the_direction_seen_rules_classes_out() -> None:
    both = found("level", (0.5, 95.0))
    falling = found("level", (0.5, 95.0), rising=False)
    share = {one.key: one.share for one in both.ranked}
    less = {one.key: one.share for one in falling.ranked}
    assert less.get("level-0-190", 0.0) < 0.2 * share["level-0-190"]


def test_that_a_transmitter_is_found_by_its_volts() -> None:
    # 0.5 to 4.5 V over 5 bar: 2.5 V is half (common practice, no source).
    points = tuple(SeenPoint(bar * 1e5, 0.5 + 0.8 * bar) for bar in (0.0, 2.5, 5.0))
    answer = identify_sender(SenderSeen("pressure", points, signal=Kind.VOLTAGE), SENDERS)
    assert (answer.found, answer.leading) == ("identified", ("pressure-5bar-0v5-4v5",))
    assert "pressure-5bar-10-184" in answer.left_out


def test_that_a_class_that_stands_twice_is_told_as_one() -> None:
    # Pressure and level of 240–33 Ω are two quantities; the same class twice is one.
    twin = next(one for one in SENDERS if one.key == "level-303-35")
    doubled = [*SENDERS, type(twin)("own-303-35", "Own", "level", twin.law)]
    points = tuple(SeenPoint(at, ohm) for at, ohm in ((0.0, 303.0), (0.3636, 209.0), (1.0, 35.0)))
    answer = identify_sender(SenderSeen("level", points), doubled)
    assert answer.found == "identified"
    assert set(answer.leading) == {"level-303-35", "own-303-35"}
    assert keys(answer)[0] == "identify.alike"


def test_that_a_reading_beyond_the_end_of_a_class_must_go_on_the_same_way() -> None:
    # 184 Ω at 5 bar and 107 Ω at 10 bar: a rising 5 bar sender cannot fall again.
    answer = found("pressure", (0.0, 10.0), (5e5, 184.0), (1e6, 107.0))
    first = answer.ranked[0]
    assert first.key != "pressure-5bar-10-184" or answer.found != "identified"


@given(
    key=st.sampled_from(["level-303-35", "level-900-80", "pressure-2bar-10-184"]),
    scale=st.floats(0.97, 1.03),
)
def test_that_a_part_within_its_tolerance_leads_its_class(key: str, scale: float) -> None:
    sender = next(one for one in SENDERS if one.key == key)
    curve = sender.curve
    assert curve is not None
    at = np.linspace(curve.low, curve.high, 4)
    points = tuple(
        SeenPoint(float(x), float(r) * scale) for x, r in zip(at, curve.output(at), strict=True)
    )
    answer = identify_sender(SenderSeen(sender.quantity, points), SENDERS)
    assert key in answer.leading


@given(order=st.permutations([(0.0, 222.0), (0.25, 105.0), (0.5, 65.0), (1.0, 20.0)]))
def test_that_the_order_of_the_readings_does_not_matter(order: list[tuple[float, float]]) -> None:
    answer = found("level", *order)
    straight = found("level", *sorted(order))
    assert answer.leading == straight.leading
    assert answer.unlisted == pytest.approx(straight.unlisted, rel=1e-6)


def test_that_all_that_is_wrong_with_readings_is_told_together() -> None:
    with pytest.raises(UserError) as caught:
        SenderSeen(
            "level",
            (SeenPoint(0.0, -1.0), SeenPoint(0.5, float("inf")), SeenPoint(float("nan"), 3.0)),
            meter=DigitalMeter(share=2.0),
        )
    assert [one.key for one in caught.value.messages] == [
        "identify.reading", "identify.reading", "identify.value", "identify.meter"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("seen", "key"),
    [
        (lambda: SenderSeen(), "identify.no_reading"),
        (lambda: SenderSeen(None, (SeenPoint(0.0, 5.0),)), "identify.no_quantity"),
        (lambda: SenderSeen("level", (SeenPoint(0.0, 5.0),) * 99), "identify.many"),
        (lambda: SenderSeen("level", rest=3.0, signal=Kind.VOLTAGE), "identify.rest_ohms"),
    ],
)
def test_that_readings_that_say_nothing_are_refused(seen: object, key: str) -> None:
    assert callable(seen)
    with pytest.raises(UserError) as caught:
        seen()
    assert key in [one.key for one in caught.value.messages]


def test_that_a_catalogue_without_a_class_to_compare_is_refused() -> None:
    with pytest.raises(UserError, match=r"identify\.no_class"):
        identify_sender(SenderSeen("level", rest=5.0), [])


@pytest.mark.parametrize(
    ("reading", "digit"), [(33.0, 0.1), (199.9, 0.1), (240.0, 1.0), (1999.0, 1.0), (2500.0, 10.0)]
)
def test_that_a_cheap_meter_shows_four_digits_up_to_its_counts(
    reading: float, digit: float
) -> None:
    # A display to 2000 shows 199.9 Ω, 1999 Ω, 19.99 kΩ (common practice, no source).
    shown = DigitalMeter().resolution(np.array([reading]), Kind.RESISTANCE)
    assert shown == pytest.approx([digit])
