"""Panel holes and the room behind."""

from __future__ import annotations

import pytest

from catalog.errors import UserError
from retrofit.fit.panel import panel_depth, panel_hole
from retrofit.fit.verdict import worst
from tests.retrofit.fit.sentences import told

MM = 1e-3


@pytest.mark.parametrize(
    ("body", "hole", "verdict"),
    [
        (52.4, 52.6, "good"),
        (52.4, 55.0, "caution"),
        (52.4, 50.8, "stop"),
        (52.4, 60.0, "stop"),
        (None, 52.6, "unknown"),
        (52.4, None, "unknown"),
    ],
)
def test_that_a_body_passes_and_its_rim_covers(
    body: float | None, hole: float | None, verdict: str
) -> None:
    check = panel_hole(None if body is None else body * MM, None if hole is None else hole * MM)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("room", "verdict"), [(100.0, "good"), (80.0, "caution"), (70.0, "stop"), (None, "unknown")]
)
def test_that_wiring_needs_room_behind_the_gauge(room: float | None, verdict: str) -> None:
    check = panel_depth(76.2 * MM, None if room is None else room * MM)
    assert check.verdict == verdict
    assert told(check)


def test_that_sizes_not_above_zero_are_refused() -> None:
    with pytest.raises(UserError, match="not_positive"):
        panel_hole(0.0, 50 * MM)
    with pytest.raises(UserError, match="not_positive"):
        panel_depth(70 * MM, -1.0)


def test_that_unknown_is_worse_than_good_and_milder_than_a_caution() -> None:
    assert worst(["good", "unknown"]) == "unknown"
    assert worst(["unknown", "caution", "good"]) == "caution"
    assert worst(["caution", "stop"]) == "stop"
