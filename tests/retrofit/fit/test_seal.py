"""Seals, the earth through them, and the return that a sender needs."""

from __future__ import annotations

import pytest

from catalog.errors import UserError
from catalog.fittings.seals import JointKind, joint_earths
from catalog.provenance import BasisKind
from catalog.threads.standards import thread
from retrofit.fit.seal import (
    BodyEarth,
    SenderReturn,
    System,
    contact_check,
    earth_check,
    joint_ohms,
    return_check,
    right_seals,
    seal_check,
)
from retrofit.fit.thread_fit import thread_fit
from tests.retrofit.fit.sentences import told


@pytest.mark.parametrize(
    ("male", "female", "seal", "verdict"),
    [
        ("npt-1-8", "npt-1-8", "compound", "good"),
        ("npt-1-8", "npt-1-8", "tape", "good"),
        ("npt-1-8", "npt-1-8", "crush washer", "stop"),
        ("r-1-8", "rc-1-8", "bonded washer", "stop"),
        ("m10x1", "m10x1", "crush washer", "good"),
        ("g-1-8", "g-1-8", "bonded washer", "good"),
        ("unf-7-16-20", "unf-7-16-20", "O-ring face", "good"),
        ("g-1-8", "g-1-8", "tape", "stop"),
        ("m10x1", "m10x1", None, "unknown"),
        ("m10x1", "g-1-8", "bonded washer", "stop"),
    ],
)
def test_that_taper_seals_in_its_thread_and_parallel_at_its_face(
    male: str, female: str, seal: JointKind | None, verdict: str
) -> None:
    check = seal_check(thread_fit(thread(male), thread(female)), seal)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("terminals", "returns", "system", "verdict"),
    [
        (1, "body", "isolated", "stop"),
        (1, "unknown", "isolated", "stop"),
        (2, "body", "isolated", "stop"),
        (2, "insulated", "isolated", "good"),
        (2, "either", "isolated", "good"),
        (2, "insulated", "earth return", "good"),
        (1, "body", "earth return", "good"),
        (1, "insulated", "earth return", "unknown"),
        (2, "unknown", "isolated", "unknown"),
        (None, "unknown", "isolated", "unknown"),
        (1, "body", "unknown", "unknown"),
    ],
)
def test_that_a_body_return_is_refused_on_an_isolated_system(
    terminals: int | None, returns: SenderReturn, system: System, verdict: str
) -> None:
    check = return_check(terminals, returns, system)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("returns", "seals", "lead", "verdict"),
    [
        ("body", ("crush washer",), False, "good"),
        ("body", ("tape",), False, "caution"),
        ("body", ("tape",), True, "good"),
        ("body", ("crush washer", "hose"), False, "stop"),
        ("insulated", ("tape",), False, "good"),
        ("unknown", ("tape",), False, "unknown"),
    ],
)
def test_that_a_body_return_needs_metal_through_its_seals(
    returns: SenderReturn, seals: tuple[JointKind, ...], lead: bool, verdict: str
) -> None:
    check = contact_check(returns, seals, lead)
    assert check.verdict == verdict
    assert told(check)


def test_that_a_measured_drop_is_judged_in_ohms() -> None:
    # 0.05 V at 0.1 A is 0.5 Ω.
    good = earth_check(BodyEarth(("tape",), 0.1, 0.7, measured_drop=0.05))
    assert good.number is not None
    assert good.verdict == "good"
    assert good.number.value == pytest.approx(0.5)
    assert good.basis.kind is BasisKind.MEASURED
    assert earth_check(BodyEarth(("tape",), 0.1, 0.4, measured_drop=0.05)).verdict == "stop"
    assert told(good)


def test_that_an_unmeasured_washer_is_good_only_where_the_needle_allows_its_whole_range() -> None:
    low, high = joint_ohms(("bonded washer",))
    verdicts = {
        allowed: earth_check(BodyEarth(("bonded washer",), 0.1, allowed)).verdict
        for allowed in (None, high, high / 2.0)
    }
    assert verdicts == {None: "unknown", high: "good", high / 2.0: "unknown"}
    assert low == 0.0
    assert told(earth_check(BodyEarth(("bonded washer",), 0.1, 0.02)))
    assert earth_check(BodyEarth(("hose",), 0.1, 100.0)).verdict == "stop"


@pytest.mark.parametrize("seal", ["compound", "tape"])
def test_that_unmeasured_paste_or_tape_is_never_good_for_it_may_insulate(seal: JointKind) -> None:
    # However much the needle allows; measured, the ohms are judged.
    check = earth_check(BodyEarth((seal,), 0.1, 1000.0))
    assert check.verdict == "unknown"
    assert "may insulate in full" in told(check)
    assert "at 100.0 mA, the most that flows, more than 100.00 V is too much" in told(check)
    assert "Measure the volts" in told(earth_check(BodyEarth((seal,), None, 5.0)))
    assert earth_check(BodyEarth((seal,), 0.1, 1.0, measured_drop=0.05)).verdict == "good"
    assert earth_check(BodyEarth((seal,), 0.1, 1.0, measured_drop=0.2)).verdict == "stop"


@pytest.mark.parametrize("joints", [("hose",), ("hose", "tape"), ("crush washer",), ("tape",)])
@pytest.mark.parametrize("current", [None, 0.1])
@pytest.mark.parametrize("allowed", [None, 0.001, 5.0])
def test_that_no_sentence_of_the_earth_says_infinity_or_unknown_volts(
    joints: tuple[JointKind, ...], current: float | None, allowed: float | None
) -> None:
    for lead in (False, True):
        text = told(earth_check(BodyEarth(joints, current, allowed, lead=lead)))
        text += told(contact_check("body", joints, lead=lead))
        assert "∞" not in text
        assert "infinit" not in text
        assert "up to unknown" not in text


@pytest.mark.parametrize("pair", [("npt-1-8", "npt-1-8"), ("r-1-8", "rc-1-8"), ("r-1-8", "g-1-8")])
def test_that_only_what_lies_in_the_flanks_belongs_into_a_taper_joint(
    pair: tuple[str, str],
) -> None:
    taper = thread_fit(thread(pair[0]), thread(pair[1]))
    parallel = thread_fit(thread("m10x1"), thread("m10x1"))
    assert set(right_seals(taper)) == {"compound", "tape"}
    assert set(right_seals(parallel)) == {"bonded washer", "crush washer", "O-ring face"}
    assert right_seals(thread_fit(thread("m10x1"), thread("npt-1-8"))) == ()
    for seal in joint_earths():
        good = seal_check(taper, seal).verdict, seal_check(parallel, seal).verdict
        assert good.count("good") <= 1


def test_that_a_lead_is_to_be_proved_under_load() -> None:
    check = earth_check(BodyEarth(("hose",), 0.1, 0.5, lead=True))
    assert check.verdict == "unknown"
    assert "under load" in told(check)


@pytest.mark.parametrize(("current", "drop"), [(None, 0.1), (0.0, 0.1), (0.1, -0.1)])
def test_that_a_drop_without_its_current_is_refused(current: float | None, drop: float) -> None:
    with pytest.raises(UserError, match="no_current"):
        earth_check(BodyEarth((), current, 0.5, measured_drop=drop))


def test_that_the_ohms_of_joints_are_marked_assumed() -> None:
    for kind, joint in joint_earths().items():
        assert joint.low <= joint.high
        if kind != "hose":
            assert joint.basis.kind is BasisKind.ASSUMED
