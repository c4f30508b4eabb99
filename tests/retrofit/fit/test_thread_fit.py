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
from retrofit.fit.engagement import engagement, rest
from retrofit.fit.thread_fit import ThreadFit, thread_fit
from retrofit.fit.thread_states import angle_allowance, needed_turns
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
    assert math.isinf(found.middle.turns)
    assert math.isinf(found.tight.turns)
    assert "compound" not in found.seals


def test_that_an_npt_pair_goes_its_l1_by_hand_and_within_a_turn_either_way_of_each() -> None:
    # ASME B1.20.1: hand-tight engagement L1 = 0.1615 in; gauge tolerance one turn (from memory).
    found = fit("npt-1-8", "npt-1-8")
    assert (found.outcome, found.seals) == ("goes with seal", ("compound",))
    assert found.middle.depth == pytest.approx(0.1615 * 25.4e-3, abs=1e-5)
    assert found.middle.turns == pytest.approx(0.1615 * 27, abs=0.01)
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
        assert found.middle.depth == pytest.approx(length, rel=1e-9)


@pytest.mark.parametrize("size", ["1-8", "1-4", "3-8", "1-2"])
def test_that_r_in_g_is_a_caution_for_g_is_parallel_and_seals_at_its_face(size: str) -> None:
    # ISO 228-1: parallel, for joints that do not seal in the thread.
    found = fit(f"r-{size}", f"g-{size}")
    assert (found.outcome, found.check.verdict) == ("goes with seal", "caution")
    assert "taper" not in told(found.check).split("G is parallel")[0]
    assert "parallel male with a washer" in told(found.check)
    assert not found.middle.runs_out


def test_that_an_eighth_r_in_g_uses_up_its_thread_at_the_loosest() -> None:
    # R 1/8 (from memory): useful length 6.5 mm, a turn more where the gauge plane lies a turn
    # further; the G female may be 0.107 mm wide. (0.25 + 0.0567 + 0.107) · 16 = 6.62 mm by hand.
    found = fit("r-1-8", "g-1-8")
    by_hand = (0.25 + 0.9071 / 16.0 + 0.107) * 16.0
    assert found.loose.depth == pytest.approx(by_hand * 1e-3, 1e-4)
    assert by_hand + 1.5 * 0.9071 > 6.5 + 0.9071
    assert found.loose.runs_out
    assert "used up" in told(found.check)


@pytest.mark.parametrize("size", ["1-8", "1-4", "3-8", "1-2"])
@pytest.mark.parametrize("hole", ["rc", "rp"])
def test_that_no_proper_taper_pair_runs_out_of_thread(size: str, hole: str) -> None:
    # ISO 7-1 (from memory): useful length = gauge length + the female's 1.25 turns + 1.5 turns of
    # wrenching, within the rounding of its table.
    male = thread(f"r-{size}")
    assert male.useful_length is not None
    assert male.gauge_length is not None
    allowance = (male.useful_length - male.gauge_length) / male.pitch
    assert allowance == pytest.approx(1.25 + 1.5, abs=0.05)
    assert not fit(f"r-{size}", f"{hole}-{size}").loose.runs_out
    assert not fit(f"npt-{size}", f"npt-{size}").loose.runs_out


def test_that_a_g_male_starts_in_a_taper_hole_and_binds_at_the_latest_after_five_turns() -> None:
    # Rc 1/8 narrows by 1/16 from the G pitch diameter; the G male is at most 0.214 mm thinner (B).
    found = fit("g-1-8", "rc-1-8")
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert found.tight.outcome == "does not start"
    assert found.middle.turns == pytest.approx(0.107 * 16.0 / 0.9071, abs=0.01)


def test_that_a_g_male_in_rp_goes_halfway_and_is_a_caution_at_its_limits() -> None:
    found = fit("g-1-8", "rp-1-8")
    assert (found.middle.outcome, found.tight.outcome) == ("goes", "does not start")
    assert (found.outcome, found.check.verdict) == ("binds", "caution")
    assert "may bind at" in told(found.check)
    assert "stuck after 0" not in told(found.check)


def test_that_m10_does_not_start_in_an_eighth_g() -> None:
    # Pitch diameters 9.350 − 0.082 (6g halfway, ISO 965-2) and 9.147 + 0.0535 mm (ISO 228-1).
    found = fit("m10x1", "g-1-8")
    assert (found.outcome, found.check.verdict) == ("does not start", "stop")
    simple = found.middle.clearance + angle_allowance(
        thread("m10x1"), thread("g-1-8"), ("middle", "middle")
    )
    assert simple == pytest.approx((9.147 + 0.0535 - 9.350 + 0.082) * 1e-3, abs=1e-6)


def test_that_m10_fools_people_in_an_eighth_npt_port_for_it_does_start() -> None:
    # ISO 724, ISO 965-2 (6g: 26 and 138 µm below): root halfway 8.773 − 0.082 = 8.691 mm; the
    # port's crests, ASME B1.20.1: E1 − 0.8 P and half of the blunter crest (from memory): 8.796.
    found = fit("m10x1", "npt-1-8")
    inner, outer = thread("m10x1").male, thread("npt-1-8").female
    assert inner is not None
    assert outer is not None
    assert inner.minor.middle == pytest.approx(8.691e-3, abs=1e-6)
    assert outer.minor.middle == pytest.approx(8.796e-3, abs=1e-6)
    # Flanks: 0.3736 · 25.4 − 9.268 = 0.221 mm; the pitches drift 0.0593 mm a turn.
    clearance = 0.3736 * 25.4 - (9.350 - 0.082)
    pitch = 25.4 / 27.0
    by_hand = clearance / ((1.0 / 32.0 + (1.0 - pitch) / (pitch * math.tan(math.pi / 6.0))) * pitch)
    assert found.middle.clearance == pytest.approx(clearance * 1e-3, abs=1e-6)
    assert found.middle.turns == pytest.approx(by_hand, abs=0.01)
    assert found.middle.turns == pytest.approx(1.7, abs=0.03)
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert found.tight.outcome == "does not start"
    assert found.loose.turns == pytest.approx(2.55, abs=0.01)
    assert "starts in 1/8-27 NPT and binds after 0 to 2.5 turns" in told(found.check)
    assert "fools" in told(found.check)


def test_that_an_eighth_g_in_m10_binds_by_its_pitch_and_is_shallow_at_its_loosest() -> None:
    found = fit("g-1-8", "m10x1")
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert found.loose.outcome == "binds"
    assert found.loose.overlap < 0.5 < found.middle.overlap
    assert "of the flanks' depth overlap" in told(found.check)


def test_that_an_eighth_r_wedges_in_m10_and_cannot_drop_in() -> None:
    # Its crests at the tip, 9.728 − 0.25 = 9.478 mm, stand above the female's, 9.153 at the widest.
    found = fit("r-1-8", "m10x1")
    assert {found.tight.outcome, found.middle.outcome, found.loose.outcome} == {"binds"}
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert (found.tight.turns, found.loose.turns) == pytest.approx((1.8, 3.1), abs=0.05)
    assert found.loose.passes < 0.0
    text = told(found.check)
    assert "drops" not in text
    assert "strips" not in text


def test_that_3_8_24_in_m10_feels_right_for_five_turns_and_strips() -> None:
    found = fit("unf-3-8-24", "m10x1")
    inner = thread("unf-3-8-24").male
    assert inner is not None
    # c = 9.350 + 0.075 mm less the male halfway, against 0.0583 mm of pitch a turn, cot 30° = √3.
    by_hand = (9.425 - inner.pitch.middle * 1e3) / (math.sqrt(3.0) * (25.4 / 24.0 - 1.0))
    assert found.middle.turns == pytest.approx(by_hand, rel=1e-3)
    assert found.middle.turns > 5.0
    assert (found.outcome, found.middle.outcome, found.loose.outcome) == (
        "strips",
        "strips",
        "strips",
    )
    assert "feels as if it fitted" in told(found.check)


def test_that_m12_drops_through_m14_with_its_clearance_told() -> None:
    # ISO 724 and 965-2: the female's crests 12.376 to 12.676 mm, the male's 11.968 at most.
    found = fit("m12x1.5", "m14x1.5")
    assert (found.outcome, found.middle.overlap, found.middle.limited_by) == (
        "drops through",
        0.0,
        "nothing",
    )
    assert found.tight.passes == pytest.approx(0.408e-3, abs=1e-6)
    assert "feels" not in told(found.check)
    assert "0.41 mm to 0.94 mm of clearance" in told(found.check)
    assert fit("m14x1.5", "m12x1.5").outcome == "does not start"


def test_that_a_plug_far_too_small_never_feels_as_if_it_fitted() -> None:
    for small, large in (("npt-1-8", "npt-1-2"), ("m10x1", "g-1-2"), ("r-1-8", "m20x1.5")):
        found = fit(small, large)
        assert found.outcome == "drops through"
        assert found.tight.passes > 5e-3
        assert "feels" not in told(found.check)


def test_that_an_eighth_npt_starts_in_m10_and_binds_within_three_turns() -> None:
    # E0 9.233 lies 0.117 mm below the M10x1 female's 9.350, 0.192 below it halfway.
    found = fit("npt-1-8", "m10x1")
    assert (found.outcome, found.check.verdict) == ("binds", "stop")
    assert found.middle.clearance == pytest.approx((9.350 + 0.075 - 9.233) * 1e-3, abs=1e-6)
    assert found.middle.turns == pytest.approx(1.4, abs=0.05)
    assert found.tight.outcome == "does not start"
    assert found.loose.outcome == "binds"


@pytest.mark.parametrize("male", ["r-1-8", "g-1-8"])
def test_that_feel_tells_nothing_of_a_british_eighth_in_an_american_one(male: str) -> None:
    # The proper male goes L1 = 4.36 turns by hand, two turns either way within the limits.
    found = fit(male, "npt-1-8")
    assert found.middle.turns == pytest.approx(0.1615 * 27.0, abs=0.3)
    assert "2.4 to 6.4 turns: feel tells nothing" in told(found.check)
    assert "feel" not in told(fit("m10x1", "npt-1-8").check)


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
    assert farther.middle.depth <= nearer.middle.depth


@given(
    st.floats(0.0, 0.4e-3), st.floats(0.0, 0.4e-3), st.sampled_from(["m10x1", "rc-1-8", "g-1-8"])
)
def test_that_a_thinner_male_never_stops_earlier(one: float, two: float, hole: str) -> None:
    thick, thin = sorted((one, two))
    male = thread("npt-1-8")
    stops = [thread_fit(thinner(male, by), thread(hole)).middle.depth for by in (thick, thin)]
    assert stops[0] <= stops[1] + 1e-12


def test_that_limits_only_ever_widen_what_may_happen() -> None:
    for male in MALES:
        for female in FEMALES:
            found = thread_fit(male, female)
            # A metric or unified male's basic size lies above its largest: tight may be easier.
            if male.series in ("R", "NPT", "G"):
                assert found.tight.depth <= found.middle.depth + 1e-12
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
    # A table's useful length is no measured one.
    taper = engagement(fit("npt-1-8", "npt-1-8"), None, 10e-3)
    assert taper.check.verdict == "unknown"


@pytest.mark.parametrize(
    ("depth", "verdict"), [(10e-3, "good"), (7.4e-3, "good"), (6e-3, "caution"), (3.5e-3, "stop")]
)
def test_that_a_taper_joint_needs_its_wrench_turns_at_the_loosest(
    depth: float, verdict: str
) -> None:
    # ASME B1.20.1: L1 = 0.1615 in; the gauge plane of either part a turn away (from memory), and
    # 1.5 turns with a wrench: (0.1615 · 27 + 2 + 1.5) / 27 in = 7.40 mm; the tightest 3.63 mm.
    found = engagement(fit("npt-1-8", "npt-1-8"), 10e-3, depth)
    assert found.needed == pytest.approx(0.1615 * 27.0 + 3.5, abs=0.02)
    assert found.check.verdict == verdict
    assert "stands" in told(found.check)


def test_that_the_hexagon_of_a_taper_male_stands_proud_by_what_is_left_of_its_thread() -> None:
    # 10 mm less 4.36 − 2 + 1.5 to 4.36 + 2 + 3 turns of 0.9407 mm.
    low, high = rest(fit("npt-1-8", "npt-1-8"), 10e-3).proud
    turns = 0.1615 * 27.0
    pitch = 25.4e-3 / 27.0
    assert low == pytest.approx(10e-3 - (turns + 5.0) * pitch, abs=2e-5)
    assert high == pytest.approx(10e-3 - (turns - 0.5) * pitch, abs=2e-5)
    assert rest(fit("npt-1-8", "npt-1-8"), None).proud == (0.0, math.inf)
    assert rest(fit("g-1-8", "g-1-8"), None).proud == (0.0, 0.0)


def test_that_engagement_refuses_impossible_lengths_and_pairs_that_do_not_go() -> None:
    with pytest.raises(UserError, match="engagement"):
        engagement(fit("m10x1", "m10x1"), 0.0, 8e-3)
    with pytest.raises(BugError):
        engagement(fit("m10x1", "g-1-8"), 8e-3, 8e-3)
    with pytest.raises(BugError):
        rest(fit("m10x1", "g-1-8"), 8e-3)
