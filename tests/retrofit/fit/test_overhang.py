"""What hangs on each stub of a chain: the weakest decides, wherever it is."""

from __future__ import annotations

import math

import pytest

from catalog.errors import UserError
from catalog.threads.standards import thread
from retrofit.fit.adapters import Chain, chain_of, shortest_chain
from retrofit.fit.overhang import overhang, overhang_check, unweighed_check
from tests.retrofit.fit.sentences import told

CANISTER = 0.485, 80.14e-3
"""A pressure sender in a canister [kg], [m] (common practice, no source)."""

ORDER = ["good", "caution", "stop"]


def chain(port: str, sender: str, through: str | None = None) -> Chain:
    found = shortest_chain(thread(port), thread(sender), through=through)
    assert found is not None
    return found


def modulus(root: float, bore: float) -> float:
    """Section modulus of a tube, W = π (d⁴ − b⁴)/(32 d) (any handbook of strength)."""
    return math.pi * (root**4 - bore**4) / (32.0 * root)


def test_that_the_arm_allowed_is_that_of_a_hollow_round_bar() -> None:
    found = chain("npt-1-8", "npt-1-8", "tee")
    hangs = overhang(found, 0.2, 50e-3)
    # ASME B1.20.1: E0 − 0.8 P = 8.481 mm.
    assert hangs.joint == 0
    assert hangs.mass == pytest.approx(0.26)
    assert hangs.arm == pytest.approx((0.06 * 14e-3 + 0.2 * 53e-3) / 0.26)
    allowed = 20e6 * modulus(8.481e-3, 5e-3) / (100.0 * 0.26)
    assert hangs.allowed == pytest.approx(allowed, rel=1e-3)


def test_that_a_heavy_canister_overloads_the_eighth_stub_that_carries_it() -> None:
    # 485 g at 54.07 mm and ten times gravity: 0.485 · 100 · 0.05407 / W = 49.8 MPa against 20.
    found = chain_of(thread("npt-1-8"), thread("npt-1-8"), ["adapter-npt-1-8-g-1-8"])
    stress = 0.485 * 100.0 * 54.07e-3 / modulus(8.481e-3, 5e-3)
    assert stress == pytest.approx(49.8e6, rel=2e-3)
    hangs = overhang(found, 0.465, 2.0 * (54.07e-3 * 0.485 - 0.02 * 7e-3) / 0.465 - 28e-3)
    assert (hangs.mass, hangs.arm) == pytest.approx((0.485, 54.07e-3))
    assert hangs.arm / hangs.allowed == pytest.approx(49.8 / 20.0, rel=2e-3)
    assert overhang_check(hangs, supported=False).verdict == "stop"


def test_that_the_weakest_stub_decides_in_whatever_chain_it_stands() -> None:
    # A 1/8 NPT stub behind a wide bush, behind a narrow adapter, or straight in: it carries the
    # same canister each time.
    male, ports = "npt-1-8", ("npt-1-8", "npt-1-2", "m18x1.5", "g-1-2", "unf-5-8-18")
    seen = {}
    for port in ports:
        found = chain(port, male)
        hangs = overhang(found, *CANISTER)
        assert hangs.male is not None
        seen[port] = (hangs.male.key, overhang_check(hangs, supported=False).verdict)
    assert set(seen.values()) == {(male, "stop")}


def test_that_every_stub_is_asked_and_none_of_them_has_more_stress() -> None:
    keys = ["adapter-m10-npt-1-8", "extension-npt-1-8"]
    found = chain_of(thread("m10x1"), thread("npt-1-8"), keys)
    hangs = overhang(found, 0.15, 50e-3)
    # Moments by hand [kg m]: adapter 20 g, 14 mm; extension 45 g, 40 mm; sender 150 g, 50 mm.
    moments = [
        0.02 * 7e-3 + 0.045 * 34e-3 + 0.15 * 79e-3,
        0.045 * 20e-3 + 0.15 * 65e-3,
        0.15 * 25e-3,
    ]
    inner = thread("m10x1").male
    assert inner is not None
    # A sender's own bore is taken as half of its root.
    roots = [(inner.minor.middle, 5e-3), (8.481e-3, 5e-3), (8.481e-3, 8.481e-3 / 2.0)]
    stress = [moment / modulus(*root) for moment, root in zip(moments, roots, strict=True)]
    assert hangs.joint == stress.index(max(stress))
    assert hangs.mass * hangs.arm == pytest.approx(moments[hangs.joint])
    assert hangs.arm / hangs.allowed == pytest.approx(max(stress) * 100.0 / 20e6, rel=1e-3)


def test_that_a_heavy_sender_is_judged_straight_in_as_well() -> None:
    hangs = overhang(chain("npt-1-8", "npt-1-8"), *CANISTER)
    assert overhang_check(hangs, supported=False).verdict == "stop"
    light = overhang(chain("npt-1-8", "npt-1-8"), 0.06, 30e-3)
    assert overhang_check(light, supported=False).verdict == "good"


def test_that_what_hangs_on_a_tee_loads_the_tee_alone() -> None:
    found = chain_of(thread("npt-1-8"), thread("npt-1-8"), ["tee-npt-1-8", "extension-npt-1-8"])
    with_it, without = (overhang(found, 0.05, 40e-3, extra=extra) for extra in (0.3, 0.0))
    assert with_it.joint == 0
    assert with_it.mass == pytest.approx(without.mass + 0.3)
    straight = chain("npt-1-8", "npt-1-8")
    assert overhang(straight, 0.1, 40e-3, extra=0.3) == overhang(straight, 0.1, 40e-3)


def test_that_a_longer_or_heavier_overhang_is_never_judged_milder() -> None:
    found = chain("npt-1-8", "npt-1-8", "tee")
    seen = [
        ORDER.index(overhang_check(overhang(found, mass, 50e-3), supported=False).verdict)
        for mass in (0.02, 0.05, 0.1, 0.2, 0.5)
    ]
    assert seen == sorted(seen)
    held = overhang_check(overhang(found, 0.5, 50e-3), supported=True)
    assert held.verdict == "good"
    assert told(held)


def test_that_a_sender_beyond_a_hose_does_not_hang_on_the_port() -> None:
    assert overhang(chain("npt-1-8", "npt-1-8", "hose"), 0.5, 50e-3).mass == 0.0


def test_that_masses_and_lengths_that_cannot_be_are_refused() -> None:
    with pytest.raises(UserError, match="overhang"):
        overhang(chain("npt-1-8", "npt-1-8"), 0.0, 50e-3)


@pytest.mark.parametrize(
    ("port", "sender", "body", "quantity", "asked"),
    [
        ("npt-1-8", "npt-1-8", None, "temperature", False),  # a small one in one piece
        ("npt-1-8", "npt-1-8", 30e-3, "temperature", False),
        ("npt-1-8", "npt-1-8", 30e-3, "pressure", False),
        ("npt-1-8", "npt-1-8", None, "pressure", True),  # it may be a canister
        ("npt-1-8", "npt-1-8", 70e-3, "temperature", True),
        ("npt-1-2", "npt-1-2", None, "temperature", True),
        ("m10x1", "npt-1-8", 30e-3, "temperature", True),  # behind an adapter
    ],
)
def test_that_a_sender_is_to_be_weighed_where_it_may_be_heavy(
    port: str, sender: str, body: float | None, quantity: str, asked: bool
) -> None:
    found = unweighed_check(chain(port, sender), body, quantity, supported=False)
    assert (found is not None) == asked
    if found is not None:
        assert found.verdict == "unknown"
        assert "Weigh the sender" in told(found)
    assert unweighed_check(chain(port, sender), body, quantity, supported=True) is None


def test_that_a_small_body_would_have_to_be_thick_brass_to_take_half_of_what_an_eighth_stands() -> (
    None
):
    # Brass 8,500 kg/m³ (common practice, no source); 40 mm long, its middle 20 mm off.
    hangs = overhang(chain("npt-1-8", "npt-1-8"), 0.1, 40e-3)
    mass = hangs.allowed / 2.0 * hangs.mass / 20e-3
    thick = math.sqrt(mass / (8500.0 * 40e-3) * 4.0 / math.pi)
    assert thick > 30e-3
