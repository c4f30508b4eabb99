"""Chains of stock pieces: the shortest, what they add, what hangs on the port."""

from __future__ import annotations

import itertools
from functools import cache

import pytest

from catalog.errors import UserError
from catalog.fittings.adapters import adapters
from catalog.provenance import BasisKind
from catalog.threads.standards import thread, threads
from retrofit.fit.adapters import (
    LEAST_WALL,
    Chain,
    bush_wall,
    chain_check,
    lag_check,
    remote_check,
    shortest_chain,
)
from retrofit.fit.thread_fit import ThreadFit, thread_fit
from tests.retrofit.fit.sentences import told

PORTS = [each for each in threads() if each.female is not None]
SENDERS = [thread(key) for key in ("npt-1-8", "m10x1", "g-1-8", "npt-3-8")]


def chain(port: str, sender: str, through: str | None = None) -> Chain:
    found = shortest_chain(thread(port), thread(sender), through=through)
    assert found is not None
    return found


@cache
def tried(male: str, female: str) -> ThreadFit:
    return thread_fit(thread(male), thread(female))


def by_trial(port: str, sender: str) -> tuple[int, int, float] | None:
    """Fewest pieces, fewest doubtful joints, shortest: by trying every chain of up to two."""
    stock = [piece for piece in adapters() if piece.kind not in ("tee", "hose")]
    found = []
    for count in range(3):
        for pieces in itertools.permutations(stock, count):
            females = [thread(port), *(piece.female for piece in pieces)]
            males = [*(piece.male for piece in pieces), thread(sender)]
            joints = [
                tried(male.key, female.key) for male, female in zip(males, females, strict=True)
            ]
            if all(joint.goes for joint in joints):
                doubts = sum(joint.check.verdict != "good" for joint in joints)
                found.append((count, doubts, sum(piece.added for piece in pieces)))
        if found:
            return min(found)
    return None


@pytest.mark.parametrize("sender", [each.key for each in SENDERS])
def test_that_the_chain_is_the_shortest_of_all_that_can_be_tried(sender: str) -> None:
    for port in PORTS:
        found = shortest_chain(port, thread(sender), most=2)
        wanted = by_trial(port.key, sender)
        assert (found is None) == (wanted is None), port.key
        if found is not None and wanted is not None:
            doubts = sum(joint.check.verdict != "good" for joint in found.joints)
            assert (len(found.pieces), doubts) == wanted[:2]
            assert found.added == pytest.approx(wanted[2])


def test_that_a_sender_goes_straight_into_its_own_port() -> None:
    found = chain("npt-1-8", "npt-1-8")
    assert (found.pieces, found.added, found.leaks) == ((), 0, 1)
    check = chain_check(found, found.port, found.sender)
    assert check.verdict == "good"
    assert told(check)


def test_that_a_taper_sender_in_a_g_port_is_the_caution_that_its_joint_is() -> None:
    found = chain("g-1-8", "r-1-8")
    assert found.pieces == ()
    assert chain_check(found, found.port, found.sender).verdict == "caution"


def test_that_of_two_adapters_the_one_with_sound_joints_is_taken() -> None:
    # R 1/8 would go into the G port with doubt, G 1/8 goes without.
    assert [piece.key for piece in chain("g-1-8", "npt-1-8").pieces] == ["adapter-g-1-8-npt-1-8"]


def test_that_an_american_sender_reaches_a_taper_british_port_by_one_adapter() -> None:
    found = chain("rc-1-8", "npt-1-8")
    assert [piece.key for piece in found.pieces] == ["adapter-r-1-8-npt-1-8"]
    assert found.leaks == 2
    assert found.added == pytest.approx(14e-3)
    assert chain_check(found, found.port, found.sender).verdict == "good"


def test_that_no_way_is_said_to_be_none() -> None:
    port, sender = thread("npt-1-8"), thread("m22x1.5")
    assert shortest_chain(port, sender) is None
    check = chain_check(None, port, sender)
    assert check.verdict == "stop"
    assert "no way" in told(check)
    assert "A bush is impossible" in told(check)


def test_that_tees_and_hoses_are_used_only_when_asked_for() -> None:
    for port in PORTS:
        for sender in SENDERS:
            found = shortest_chain(port, sender)
            kinds = {piece.kind for piece in found.pieces} if found else set()
            assert not kinds & {"tee", "hose"}
    assert [piece.kind for piece in chain("npt-1-8", "npt-1-8", "tee").pieces] == ["tee"]


def test_that_a_hose_breaks_the_earth_of_a_body_return() -> None:
    found = chain("npt-1-8", "npt-1-8", "hose")
    assert found.remote
    assert found.earth_lead_required()
    without = remote_check(found, "body", lead=False)
    with_lead = remote_check(found, "body", lead=True)
    unknown = remote_check(found, "unknown", lead=False)
    assert without is not None
    assert with_lead is not None
    assert unknown is not None
    verdicts = (without.verdict, with_lead.verdict, unknown.verdict)
    assert verdicts == ("stop", "caution", "unknown")
    assert all(told(each) for each in (without, with_lead, unknown))
    assert remote_check(chain("npt-1-8", "npt-1-8"), "body", lead=False) is None


def test_that_adapters_make_a_temperature_sender_late() -> None:
    found = chain("rc-1-8", "npt-1-8")
    late = lag_check(found, "temperature")
    assert late is not None
    assert late.verdict == "caution"
    assert told(late)
    assert lag_check(found, "pressure") is None
    far = lag_check(chain("npt-1-8", "npt-1-8", "hose"), "temperature")
    assert far is not None
    assert far.verdict == "stop"


def test_that_a_port_without_a_female_is_refused() -> None:
    with pytest.raises(UserError, match="no_female"):
        shortest_chain(thread("r-1-8"), thread("m10x1"))


def test_that_the_stock_is_common_practice_and_its_keys_are_unique() -> None:
    assert len({piece.key for piece in adapters()}) == len(adapters())
    assert all(piece.basis.kind is BasisKind.COMMON_PRACTICE for piece in adapters())
    assert all(piece.male.male and piece.female.female for piece in adapters())


@pytest.mark.parametrize("sender", ["r-1-8", "r-1-4"])
def test_that_an_r_sender_behind_an_adapter_ends_in_an_rc_female(sender: str) -> None:
    for port in PORTS:
        found = shortest_chain(port, thread(sender))
        if found is not None and found.pieces:
            assert found.joints[-1].female.key == sender.replace("r-", "rc-"), port.key
            assert found.joints[-1].check.verdict == "good"


def test_that_a_parallel_port_gets_a_parallel_male_though_it_stands_out_further() -> None:
    # R 1/4 would go in too and is 2 mm shorter; it wedges a port that seals at its face.
    found = chain("g-1-4", "npt-1-8")
    assert [piece.key for piece in found.pieces] == ["bush-g-1-4-npt-1-8"]
    assert found.joints[0].check.verdict == "good"


def test_that_everyday_bushes_are_in_the_stock() -> None:
    # Common practice, no source.
    ways = {
        ("g-1-2", "m14x1.5"): "bush-g-1-2-m14",
        ("npt-1-2", "npt-1-4"): "bush-npt-1-2-npt-1-4",
        ("g-1-2", "g-1-4"): "bush-g-1-2-g-1-4",
        ("rc-1-2", "r-1-4"): "bush-r-1-2-rc-1-4",
    }
    for (port, sender), key in ways.items():
        assert [piece.key for piece in chain(port, sender).pieces] == [key]


def test_that_a_bush_leaves_a_wall_between_its_threads() -> None:
    # ISO 228-1: root of G 1/2 18.631 mm, 0.142 thinner halfway (class B); ISO 724: M14 is 14 mm,
    # its female's root half of 0.190 and of the tap's deeper crest wider.
    wall = bush_wall(thread("g-1-2"), thread("m14x1.5"))
    assert wall == pytest.approx((18.631 - 14.0) / 2.0 * 1e-3, abs=0.2e-3)
    # 5/8-18: root 14.196 mm (ASME B1.1) against 14 mm leaves 0.1 mm at basic size: no bush.
    assert bush_wall(thread("unf-5-8-18"), thread("m14x1.5")) < 0.1e-3
    for piece in adapters():
        wall = bush_wall(piece.male, piece.female)
        assert (wall >= LEAST_WALL) or piece.kind != "bush", piece.key


def test_that_where_no_bush_can_be_it_says_why_and_what_can() -> None:
    port, sender = thread("unf-5-8-18"), thread("m14x1.5")
    assert shortest_chain(port, sender) is None
    text = told(chain_check(None, port, sender))
    assert "A bush is impossible" in text
    assert "longer adapter" in text
    thin = told(chain_check(None, thread("npt-3-8"), sender))
    assert "of wall, too little" in thin
    turned = told(chain_check(None, thread("g-1-2"), thread("unc-5-16-18")))
    assert "have one turned" in turned
