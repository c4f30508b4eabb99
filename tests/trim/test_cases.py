"""Worked cases of the trade, as questions to the search; figures in ``cases.json``."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from catalog.curves.characteristic import Characteristic
from catalog.curves.interpolated import Interpolated
from retrofit.trim.answer import Trim, Wishes, best_trims, described
from retrofit.trim.bound import continuous_bound
from retrofit.trim.potentiometer import potentiometers
from retrofit.trim.preferred import values
from retrofit.trim.question import Flattery, Question
from retrofit.trim.signal_node import SignalNode
from retrofit.trim.topologies import Topology, topologies
from tests.trim.smooth_dial import SmoothDial

CASES: dict[str, Any] = json.loads(
    Path(__file__).with_name("cases.json").read_text(encoding="utf-8")
)["cases"]
E24 = values("E24", 1.0, 10_000.0)
SPAN = (1.0, 10_000.0)
OPEN = float("inf")
X = np.linspace(0.0, 1.0, 21)


def asked(
    case: str, node: SignalNode | None = None, dial: Characteristic | None = None
) -> Question:
    """The case with a straight track; errors count in shares of the scale."""
    one = CASES[case]
    (empty, full), (low, high) = one["sender"], one["gauge"]
    made = dial or Interpolated(((0.0, low), (1.0, high)), straight=True, known=True)
    ohms = empty + (full - empty) * X
    return Question(X, ohms, np.ones_like(X), made, node or SignalNode.path_only())


def expected(case: str) -> Any:
    return CASES[case]["expected"]


def shows(question: Question, *ohms: float) -> list[float]:
    """Shown at empty, half and full with resistors across, in series, to earth."""
    p, s1, q = ohms
    found = described(question, Trim((p, s1, q, 0.0, OPEN)), 0.05)
    return [float(found.shown[n]) for n in (0, 10, 20)]


def test_that_both_two_point_trims_of_c04_meet_the_ends_and_spoil_the_middle() -> None:
    want, tol = expected("C04"), expected("C04")["tol"]
    lines = Interpolated(((0.0, 73.0), (0.5, 23.0), (1.0, 10.0)), straight=True, known=True)
    across, series = want["across_then_series"]
    for ohms in (
        (across, series, OPEN),
        (OPEN, want["series_then_across"][0], want["series_then_across"][1]),
    ):
        straight = shows(asked("C04"), *ohms)
        assert straight == pytest.approx([0.0, want["mid_linear"], 1.0], abs=tol)
        assert shows(asked("C04", dial=lines), *ohms)[1] == pytest.approx(
            want["mid_dial23"], abs=tol
        )
    middle = across * 48.0 / (across + 48.0) + series
    assert middle == pytest.approx(want["trimmed_mid_ohm"], abs=0.1)


def test_that_meeting_both_ends_of_c04_is_worse_than_one_82_ohm_across() -> None:
    want = expected("C04")
    question = asked("C04", dial=SmoothDial(((0.0, 73.0), (0.5, 23.0), (1.0, 10.0))))
    across, series = want["across_then_series"]
    ends = described(question, Trim((across, series, OPEN, 0.0, OPEN)), 0.05)
    assert ends.worst == pytest.approx(want["both_ends_worst"], abs=want["tol"])
    lead = best_trims(question, E24).lead
    assert lead is not None
    assert lead.trim.resistors == (("across sender", float(want["best_across"])),)
    assert lead.worst == pytest.approx(want["best_worst"], abs=want["tol"])


def test_that_nothing_in_the_senders_path_mends_c05() -> None:
    want, question = expected("C05"), asked("C05")
    across = continuous_bound(question, SPAN, (Topology(("across sender",)),))
    assert across.reached == pytest.approx(want["minimax_err"], abs=0.005)
    found = best_trims(question, E24, Wishes(most=1)).best
    assert found is not None
    (adjusted,) = potentiometers(question, E24, found)
    assert adjusted.setting == pytest.approx(want["minimax_Rp"], abs=0.5)
    every = continuous_bound(question, SPAN, topologies(3, pull_up=False))
    assert every.lower > 0.99 * across.reached


def test_that_c07_is_balanced_by_20_ohms_and_mended_by_a_pull_up_of_twice_the_source() -> None:
    want = expected("C07")
    assert shows(asked("C07"), OPEN, 3.5, OPEN)[0] == pytest.approx(
        want["series_only_empty"], abs=0.005
    )
    series = best_trims(asked("C07"), E24, Wishes(most=1)).best
    assert series is not None
    (adjusted,) = potentiometers(asked("C07"), E24, series)
    assert adjusted.place == "series at sender"
    assert adjusted.setting == pytest.approx(want["balanced_series"], abs=0.05)
    assert adjusted.worst == pytest.approx(want["balanced_err"], abs=5e-4)
    heater = asked("C07", SignalNode.winding(60.0, 10.0, 10.0))
    pull = 60.0 * want["pullup_over_Rth"]
    trim = Trim((OPEN, want["series_with_pullup"], OPEN, 0.0, pull))
    assert described(heater, trim, 0.05).worst < 0.01
    assert 1.0 + 60.0 / pull == want["pullup_k"]
    found = best_trims(heater, E24).best
    assert found is not None
    assert found.trim.places == ("series at sender", "pull-up")
    assert found.trim.ohms[1] == pytest.approx(want["series_with_pullup"], abs=0.4)
    assert found.trim.ohms[4] == pytest.approx(pull, rel=0.09)
    # On a plain ratio gauge the same pull-up bends the scale instead.
    ratio = asked("C07", SignalNode.plain_source(6.6, 49.5, 12.0))
    assert described(ratio, Trim((OPEN, 2.0, OPEN, 0.0, 99.0)), 0.05).worst > 0.1


def test_that_no_resistors_turn_c09_round() -> None:
    assert expected("C09")["passive_trim"] is False
    bound = continuous_bound(asked("C09"), SPAN, topologies(3, pull_up=False))
    # With the order kept the two ends can't both be nearer than half the scale.
    assert bound.lower > 0.49
    assert bound.reached >= 0.5 - 1e-9


def test_that_5_ohms_in_series_only_move_the_error_of_c13_to_empty() -> None:
    want, question = expected("C13"), asked("C13")
    assert shows(question, OPEN, 0.0, OPEN)[2] == pytest.approx(want["linear_reading"], abs=0.005)
    padded = shows(question, OPEN, 5.0, OPEN)
    assert padded == pytest.approx([want["series5_empty_linear"], 7 / 12, 1.0], abs=0.005)
    plain, trimmed = (
        described(question, Trim((OPEN, ohm, OPEN, 0.0, OPEN)), 0.05).worst for ohm in (0.0, 5.0)
    )
    assert trimmed == pytest.approx(plain)


def test_that_where_reading_high_at_empty_flatters_no_series_resistor_is_proposed_for_c13() -> None:
    question = asked("C13")
    side = np.zeros_like(X)
    side[0] = 1.0
    limited = Question(
        *(question.x, question.ohms, question.allowed, question.dial, question.node),
        flattery=Flattery(side, np.zeros_like(X)),
    )
    found = best_trims(limited, E24, Wishes(most=3))
    assert all("series at sender" not in f.trim.places for f in found.by_count if f is not None)
    assert found.lead is not None
    assert found.lead.trim.resistors == ()


def test_that_one_resistor_in_series_meets_one_point_of_c16() -> None:
    question = asked("C16")
    found = described(question, Trim((OPEN, 2.0, OPEN, 0.0, OPEN)), 0.05)
    met = np.abs(found.shown - X) < 1e-9
    assert np.count_nonzero(met) == expected("C16")["single_series_matches_points"]
    assert bool(met[-1])


def test_that_an_open_wiper_is_safe_only_where_it_does_not_flatter() -> None:
    question = asked("C07")
    found = best_trims(question, E24, Wishes(most=1)).best
    assert found is not None
    assert potentiometers(question, E24, found)[0].open_safe is None
    for side, safe in ((1.0, True), (-1.0, False)):
        limits = Flattery(np.full_like(X, side), np.ones_like(X))
        limited = Question(
            *(question.x, question.ohms, question.allowed, question.dial, question.node),
            flattery=limits,
        )
        # An open lead sends this falling gauge below empty: that never flatters fuel.
        assert potentiometers(limited, E24, found)[0].open_safe is safe
