"""Worked cases of the trade about what goes into what. Figures: common practice, no source."""

from __future__ import annotations

import pytest

from catalog.curves.interpolated import Interpolated
from catalog.fittings.panel import panel_sizes
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.threads.standards import thread
from retrofit.fit.adapters import shortest_chain
from retrofit.fit.lamp import excitation
from retrofit.fit.overhang import overhang, overhang_check
from retrofit.fit.panel import panel_depth, panel_hole
from retrofit.fit.place import wires_check
from retrofit.fit.seal import return_check
from retrofit.fit.switch import bench_check, two_ways, two_ways_check
from retrofit.fit.thread_fit import thread_fit
from retrofit.fit.thread_identity import identify
from retrofit.fit.thread_readings import Measured, Reading, turns_per_inch
from retrofit.plan.checks.check import Verdict
from tests.retrofit.fit.sentences import sentence, told
from tests.retrofit.plan.plans import LEVEL_240_33, assessed, check_of, gauge, plan, sender

INCH = 0.0254


def psi(number: float) -> float:
    return Amount(number, "psi").si(Kind.PRESSURE)


def test_that_c40_states_one_lamp_point_two_ways_that_are_not_the_same() -> None:
    # A lamp set for "9.6 Ω or 5 psi" on a 0 to 88 Ω sender of 80 psi.
    curve = Interpolated(((0.0, 0.0), (psi(80.0), 88.0)))
    found = two_ways(curve, 9.6, psi(5.0))
    assert found.at_ohms == pytest.approx(psi(8.7), abs=psi(0.05))
    assert found.at_value == pytest.approx(5.5)
    assert found.offset == pytest.approx(4.1)
    check = two_ways_check(found, psi(5.0), psi(1.0), Kind.PRESSURE)
    assert check.verdict == "caution"
    assert "do not mean the same" in told(check)


def test_that_c41_refuses_4_psi_unless_the_reading_is_unsure_and_takes_6() -> None:
    limits = (0.3e5, 0.55e5)
    assert [limit / psi(1.0) for limit in limits] == pytest.approx([4.35, 7.98], abs=0.005)

    def tried(reading: float, error: float) -> str:
        return bench_check(psi(reading), psi(error), limits, Kind.PRESSURE).verdict

    # 0.3 bar is 4.351 psi: 4 psi lies 0.351 below.
    assert [tried(4.0, error) for error in (0.0, 0.34, 0.352)] == ["stop", "stop", "caution"]
    assert [tried(6.0, error) for error in (0.0, 0.35)] == ["good", "good"]


def test_that_c43_keeps_an_american_eighth_out_of_a_british_one() -> None:
    found = thread_fit(thread("npt-1-8"), thread("rc-1-8"))
    assert not found.goes
    assert found.check.verdict == "stop"
    assert found.drift == pytest.approx(0.17e-3, abs=0.005e-3)
    # At the gauge plane 10.242 mm against 9.728.
    assert found.major_difference == pytest.approx(0.51e-3, abs=0.005e-3)
    metric = thread_fit(thread("npt-1-8"), thread("m10x1"))
    assert metric.drift == pytest.approx(0.30e-3, abs=0.005e-3)
    assert not metric.goes


def test_that_c44_asks_for_pitch_and_outside_diameter_again() -> None:
    # "14 per inch, about 9/16 in": a rule reads to 1/64 in.
    read = Measured("male", Reading(0.5625 * INCH, INCH / 64.0), pitch=turns_per_inch(14.0))
    found = identify(read)
    assert found.fitting == ()
    assert [each.key for each in found.problems] == ["identity.measure_both"]
    said = dict(found.problems[0].values)
    assert said["by_diameter"] == "9/16-18 UNF, M14x1.5"
    assert "pitch and the outside diameter again" in sentence(found.problems[0])
    # The nearest reported size, 5/8 in, is 1.59 mm larger.
    assert pytest.approx(1.59e-3, abs=0.005e-3) == (0.625 - 0.5625) * INCH


def test_that_c46_hangs_too_much_on_a_stub_and_needs_an_earth_lead() -> None:
    port = thread("npt-1-8")
    tee = shortest_chain(port, port, through="tee")
    assert tee is not None
    assert tee.earth_lead_required()
    # A heavy sender of 0.25 kg, 60 mm long, and a switch of 60 g beside it.
    hangs = overhang(tee, 0.25, 60e-3, extra=0.06)
    check = overhang_check(hangs, supported=False)
    assert check.verdict != "good"
    assert "earth lead" in told(check)


def test_that_c47_refuses_one_terminal_on_a_floating_system_and_takes_two_anywhere() -> None:
    assert return_check(1, "body", "isolated").verdict == "stop"
    assert return_check(2, "insulated", "earth return").verdict == "good"
    assert return_check(2, "insulated", "isolated").verdict == "good"
    assert return_check(1, "body", "earth return").verdict == "good"


def test_that_c49_knows_the_usual_holes_and_an_old_one_may_be_too_small() -> None:
    sizes = panel_sizes()
    assert [size.hole * 1e3 for size in sizes] == pytest.approx([50.8, 52.4, 66.7, 85.7], abs=0.05)
    assert all(size.depth == pytest.approx(3.0 * INCH) for size in sizes)
    assert panel_hole(sizes[1].hole, sizes[0].hole).verdict == "stop"
    assert panel_hole(sizes[1].hole, sizes[1].hole).verdict == "good"
    assert panel_depth(sizes[0].depth, 70e-3).verdict == "stop"


def test_that_c50_excites_with_82_ohms_and_not_with_470() -> None:
    found = excitation(2.0, 12.0, 82.0, 14.4, rated_watts=6.0)
    assert found.bulb == pytest.approx(0.167, abs=0.0005)
    assert found.current == pytest.approx(0.146, abs=0.0005)
    # 14.4²/82: what it stands where the alternator fails.
    assert found.power == pytest.approx(2.5, abs=0.05)
    assert found.check.verdict == "good"
    folk = excitation(2.0, 12.0, 470.0, 14.4, rated_watts=6.0)
    assert folk.current == pytest.approx(0.026, abs=0.0005)
    assert folk.check.verdict == "stop"


def test_that_c51_takes_a_sensor_with_four_wires_for_no_sender() -> None:
    check = wires_check(4)
    assert check.verdict == "stop"
    assert "no ohm curve" in told(check)
    found = assessed(plan(gauge(LEVEL_240_33), sender(law={"kind": "active"})))
    assert check_of(found, "signal").verdict is Verdict.STOP
