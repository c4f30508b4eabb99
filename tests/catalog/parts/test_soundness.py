"""Whether a measured sender is still one of its class."""

from __future__ import annotations

import math

import pytest

from catalog.codec import decode
from catalog.library import load_generic
from catalog.parts.sender import Sender
from catalog.parts.soundness import soundness

OIL = {
    "key": "oil",
    "name": "Oil pressure, 10–180 Ω",
    "quantity": "pressure",
    "law": {
        "kind": "table",
        "points": [{"at": "0 bar", "gives": "10 Ω"}, {"at": "10 bar", "gives": "180 Ω"}],
        "tolerance": "5 Ω",
    },
}


def oil(**law: object) -> Sender:
    return decode({**OIL, "law": {**OIL["law"], **law}}, Sender, "test")  # type: ignore[dict-item]


def test_that_a_10_to_180_ohm_10_bar_sender_that_reads_11_8_ohms_at_rest_is_sound() -> None:
    # Common practice, no source.
    found = soundness(oil(), 0.0, 11.8)
    assert (found.verdict, found.expected, found.allowed) == ("sound", 10.0, 5.0)
    assert found.stands_for == pytest.approx(1e6 * 1.8 / 170.0)
    shipped = load_generic().part("pressure-10bar-10-184")
    assert isinstance(shipped, Sender)
    assert soundness(shipped, 0.0, 11.8).verdict == "sound"


def test_that_a_reading_beyond_tolerance_is_off_unless_the_meter_may_be_to_blame() -> None:
    assert soundness(oil(), 0.0, 15.5).verdict == "off"
    assert soundness(oil(), 0.0, 15.5, meter=0.05).verdict == "sound"
    assert soundness(oil(), 0.0, math.inf).verdict == "off"


def test_that_nothing_is_called_sound_without_tolerance_curve_or_knowledge_there() -> None:
    bare = decode(
        {**OIL, "law": {"kind": "table", "points": OIL["law"]["points"]}},  # type: ignore[index]
        Sender,
        "test",
    )
    assert soundness(bare, 0.0, 10.0).verdict == "unknown"
    assert soundness(oil(), 1.2e6, 200.0).verdict == "unknown"
    pulsed = decode({**OIL, "law": {"kind": "pulsed"}}, Sender, "test")
    assert soundness(pulsed, 0.0, 10.0).verdict == "unknown"
    volts = load_generic().part("pressure-10bar-0v5-4v5")
    assert isinstance(volts, Sender)
    assert soundness(volts, 0.0, 0.5).verdict == "unknown"


def test_that_a_tolerance_in_kelvin_or_per_cent_becomes_ohms_at_that_value() -> None:
    platinum = load_generic().part("temperature-platinum-100")
    assert isinstance(platinum, Sender)
    # 1.05 K at 0 °C; IEC 60751: 0.39083 Ω/K there.
    assert soundness(platinum, 0.0, 100.0).allowed == pytest.approx(1.05 * 0.39083, rel=1e-3)
    assert soundness(oil(tolerance="5 %"), 5e5, 95.0).allowed == pytest.approx(0.05 * 95.0)
