"""A male in a female: a pair of the standards' tables for each verdict, and one at its limits."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from catalog.threads.standards import thread, threads
from catalog.threads.thread import Diameters, Span, Thread
from retrofit.fit.engagement import engagement
from retrofit.fit.thread_fit import ThreadFit, angle_allowance, needed_turns, thread_fit
from tests.retrofit.fit.sentences import told

MALES = [each for each in threads() if each.male is not None]
FEMALES = [each for each in threads() if each.female is not None]
PARALLEL = [each for each in threads() if each.series in ("G", "M", "UNF", "UNC")]


def fit(male: str, female: str) -> ThreadFit:
    return thread_fit(thread(male), thread(female))


@pytest.mark.parametrize("key", [each.key for each in PARALLEL])
def test_that_a_parallel_thread_goes_into_its_own_partner_and_needs_a_seal_at_the_face(
    key: str,
) -> None:
    found = fit(key, key)
    assert (found.outcome, found.check.verdict) == ("goes", "good")
    assert math.isinf(found.basic.turns)
    assert math.isinf(found.tight.turns)
    assert "compound" not in found.seals


def test_that_an_npt_pair_goes_its_l1_by_hand_and_within_a_turn_either_way_of_each() -> None:
    # ASME B1.20.1: hand-tight engagement L1 = 0.1615 in; gauge tolerance one turn (from memory).
    found = fit("npt-1-8", "npt-1-8")
    assert (found.outcome, found.seals) == ("goes with seal", ("compound",))
    assert found.basic.depth == pytest.approx(0.1615 * 25.4e-3, abs=1e-5)
    assert found.basic.turns == pytest.approx(0.1615 * 27, abs=0.01)
    assert found.tight.turns == pytest.approx(0.1615 * 27 - 2.0, abs=0.01)
    assert found.loose.turns == pytest.approx(0.1615 * 27 + 2.0, abs=0.01)
    assert not found.loose.runs_out


@pytest.mark.parametrize("size", ["1-8", "1-4", "3-8", "1-2"])
def test_that_r_goes_its_gauge_length_into_rc_and_rp(size: str) -> None:
    # ISO 7-1: gauge lengths 4.0, 6.0, 6.4 and 8.2 mm.
    length = {"1-8": 4.0, "1-4": 6.0, "3-8": 6.4, "1-2": 8.2}[size] * 1e-3
    for partner in ("rc", "rp"):
        found = fit(f"r-{size}", f"{partner}-{size}")
        assert (found.outcome, found.check.verdict) == ("goes with seal", "good")
        assert found.basic.depth == pytest.approx(length, rel=1e-9)


def test_that_r_in_g_may_use_up_its_thread_at_the_loosest_and_is_a_caution() -> None:
    # R 1/8: useful length 6.5 mm (from memory); the G female may be 0.107 mm wide (from memory).
    found = fit("r-1-8", "g-1-8")
    assert (found.outcome, found.check.verdict) == ("goes with seal", "caution")
    assert not found.basic.runs_out
    assert found.loose.runs_out
    assert found.loose.depth == pytest.approx((0.25 + 0.9071 / 16.0 + 0.107) * 16.0 * 1e-3, 1e-4)


def test_that_a_g_male_binds_at_once_in_a_taper_hole_and_at_the_limits_does_not_start() -> None:
    found = fit("g-1-8", "rc-1-8")
    assert found.outcome == "binds"
    assert found.basic.turns == pytest.approx(0.0, abs=1e-6)
    assert found.tight.outcome == "does not start"


def test_that_a_g_male_in_rp_goes_at_basic_size_and_is_a_caution_at_its_limits() -> None:
    found = fit("g-1-8", "rp-1-8")
    assert (found.basic.outcome, found.tight.outcome) == ("goes", "does not start")
    assert (found.outcome, found.check.verdict) == ("binds", "caution")
    assert "may bind at their limits" in told(found.check)


def test_that_m10_does_not_start_in_an_eighth_g_and_a_fifth_of_a_millimetre_is_in_the_way() -> None:
    # Pitch diameters 9.350 (ISO 724) and 9.147 mm (ISO 228-1).
    found = fit("m10x1", "g-1-8")
    assert (found.outcome, found.check.verdict) == ("does not start", "stop")
    simple = found.basic.clearance + angle_allowance(
        thread("m10x1"), thread("g-1-8"), ("basic", "basic")
    )
    assert simple == pytest.approx(-0.203e-3, abs=1e-6)


def test_that_an_eighth_g_in_m10_is_loose_binds_by_its_pitch_and_strips_at_the_limits() -> None:
    found = fit("g-1-8", "m10x1")
    assert (found.outcome, found.check.verdict) == ("strips", "stop")
    assert found.basic.outcome == "binds"
    assert found.loose.overlap < 0.5 < found.basic.overlap


def test_that_3_8_24_in_m10_feels_right_for_five_turns_and_strips_at_the_limits() -> None:
    found = fit("unf-3-8-24", "m10x1")
    # c = 9.350 − 8.837 mm of clearance against 0.0583 mm of pitch a turn, cot 30° = √3.
    by_hand = (9.350 - 8.837) / (math.sqrt(3.0) * (25.4 / 24.0 - 1.0))
    assert found.basic.turns == pytest.approx(by_hand, rel=1e-3)
    assert (found.outcome, found.basic.outcome, found.loose.outcome) == (
        "strips",
        "binds",
        "strips",
    )


def test_that_m12_drops_into_m14_without_touching_it() -> None:
    found = fit("m12x1.5", "m14x1.5")
    assert (found.outcome, found.basic.overlap, found.basic.limited_by) == (
        "strips",
        0.0,
        "nothing",
    )
    assert fit("m14x1.5", "m12x1.5").outcome == "does not start"


def test_that_an_eighth_npt_starts_in_m10_and_jams_within_a_turn() -> None:
    # E0 9.233 lies 0.117 mm below the M10x1 female's 9.350, E1 9.490 lies 0.140 above.
    found = fit("npt-1-8", "m10x1")
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert 0.0 < found.basic.turns < 1.0
    assert found.tight.outcome == "does not start"
    assert found.loose.outcome == "binds"


def test_that_half_inch_npt_and_g_share_their_pitch_and_still_do_not_go() -> None:
    # 14 turns per inch both; 60° against 55°: whole flanks never bear.
    found = fit("npt-1-2", "g-1-2")
    assert found.pitch_difference == pytest.approx(0.0, abs=1e-9)
    assert found.outcome == "binds"
    assert "edge only" in told(found.check)


def test_that_the_pitch_drifts_over_five_turns_are_those_of_the_tables() -> None:
    # 27 and 28 turns per inch, and 1 mm: 0.17, 0.30 and 0.46 mm over five turns.
    assert fit("npt-1-8", "rc-1-8").drift == pytest.approx(0.17e-3, abs=0.005e-3)
    assert fit("npt-1-8", "m10x1").drift == pytest.approx(0.30e-3, abs=0.005e-3)
    assert fit("g-1-8", "m10x1").drift == pytest.approx(0.46e-3, abs=0.005e-3)


def test_that_only_threads_of_one_pitch_and_flank_ever_go() -> None:
    goes = {(m.key, f.key) for m in MALES for f in FEMALES if thread_fit(m, f).goes}
    own = {(each.key, each.key) for each in MALES if each.female is not None}
    sizes = ("1-8", "1-4", "3-8", "1-2")
    iso_7 = {(f"r-{size}", f"{hole}-{size}") for size in sizes for hole in ("g", "rc", "rp")}
    assert goes == own | iso_7


def test_that_every_pair_has_its_sentences() -> None:
    for male in MALES:
        for female in FEMALES:
            found = thread_fit(male, female)
            text = told(found.check)
            assert male.designation in text
            assert found.goes or "force" in text or "adapter" in text
            assert found.check.verdict in ("good", "caution", "stop")


def test_that_a_part_that_the_standard_does_not_know_is_refused() -> None:
    with pytest.raises(UserError, match="no_male"):
        fit("rc-1-8", "rc-1-8")
    with pytest.raises(UserError, match="no_female"):
        fit("r-1-8", "r-1-8")


def stretched(of: Thread, pitch: float) -> Thread:
    """The thread with another pitch, its diameters kept."""
    return replace(of, pitch=pitch)


def thinner(of: Thread, by: float) -> Thread:
    """The thread with all diameters of its male smaller."""
    part = of.male
    assert part is not None
    spans = [
        Span(span.low - by, span.basic - by, span.high - by, span.basis)
        for span in (part.major, part.pitch, part.minor)
    ]
    return replace(of, male=Diameters(*spans))


@given(st.floats(0.0, 0.08), st.floats(0.0, 0.08))
def test_that_a_larger_pitch_error_never_lets_it_in_deeper(one: float, two: float) -> None:
    base = thinner(thread("m14x1.5"), 0.2e-3)
    small, large = sorted((one, two))
    nearer = thread_fit(stretched(base, 1.5e-3 * (1.0 + small)), thread("m14x1.5"))
    farther = thread_fit(stretched(base, 1.5e-3 * (1.0 + large)), thread("m14x1.5"))
    assert farther.basic.depth <= nearer.basic.depth


@given(
    st.floats(0.0, 0.4e-3), st.floats(0.0, 0.4e-3), st.sampled_from(["m10x1", "rc-1-8", "g-1-8"])
)
def test_that_a_thinner_male_never_stops_earlier(one: float, two: float, hole: str) -> None:
    thick, thin = sorted((one, two))
    male = thread("npt-1-8")
    stops = [thread_fit(thinner(male, by), thread(hole)).basic.depth for by in (thick, thin)]
    assert stops[0] <= stops[1] + 1e-12


def test_that_limits_only_ever_widen_what_may_happen() -> None:
    for male in MALES:
        for female in FEMALES:
            found = thread_fit(male, female)
            # A metric or unified male's basic size lies above its largest: tight may be easier.
            if male.series in ("R", "NPT", "G"):
                assert found.tight.depth <= found.basic.depth + 1e-12
            assert found.loose.clearance >= found.tight.clearance


def test_that_a_taper_pair_needs_its_gauge_length_less_both_tolerances() -> None:
    npt = thread("npt-1-8")
    assert needed_turns(npt, npt) == pytest.approx(0.1615 * 27.0 - 2.0)
    assert needed_turns(thread("m10x1"), thread("m10x1")) == 5.0


@pytest.mark.parametrize(("depth", "verdict"), [(8e-3, "good"), (4e-3, "caution"), (2e-3, "stop")])
def test_that_engaged_turns_are_judged_by_the_rule(depth: float, verdict: str) -> None:
    found = engagement(fit("m10x1", "m10x1"), 8e-3, depth)
    assert found.check.verdict == verdict
    assert found.turns == pytest.approx(depth / 1e-3)
    assert told(found.check)


def test_that_unmeasured_lengths_leave_the_engagement_unknown() -> None:
    found = engagement(fit("m10x1", "m10x1"), None, 8e-3)
    assert (found.check.verdict, math.isnan(found.turns)) == ("unknown", True)
    assert "male" in told(found.check)
    taper = engagement(fit("npt-1-8", "npt-1-8"), None, 10e-3)
    assert taper.length == pytest.approx(0.2639 * 25.4e-3)
    assert taper.check.verdict == "good"


def test_that_engagement_refuses_impossible_lengths_and_pairs_that_do_not_go() -> None:
    with pytest.raises(UserError, match="engagement"):
        engagement(fit("m10x1", "m10x1"), 0.0, 8e-3)
    with pytest.raises(BugError):
        engagement(fit("m10x1", "g-1-8"), 8e-3, 8e-3)
