"""Five ports and five senders that a workshop has, each sender taken to each port.

Ports: an oil gallery in M10x1, a block in Rc 1/8, one in 1/8-27 NPT, a thermostat housing in
M14x1.5, a gearbox in 1/4-18 NPT. What goes into what is the trade's (common practice, no source):
only a thread of its own standard goes in; R in Rc seals in the thread, a parallel one at its face;
1/8 NPT and the British 1/8 are kept apart (case C43 of the trade); a small sender drops into a
large port. The chains are those that the generic stock has.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.codec import decode
from catalog.parts.fitting import Port, SenderFitting
from retrofit.plan.document import Plan
from retrofit.plan.fit_document import Fit
from retrofit.plan.fits import Fitted, fit_of
from tests.retrofit.plan.plans import PRESSURE_10_184, gauge, plan, sender

PORTS = ("M10x1", "Rc 1/8", "1/8-27 NPT", "M14x1.5", "1/4-18 NPT")
SENDERS = ("1/8-27 NPT", "R 1/8", "G 1/8", "M10x1", "M14x1.5")

THROUGH = "drops through"
OUTCOMES: dict[str, tuple[str, str, str, str, str]] = {
    "M10x1": ("binds", "binds", "binds", "goes", "does not start"),
    "Rc 1/8": ("does not start", "goes with seal", "binds", "does not start", "does not start"),
    "1/8-27 NPT": ("goes with seal", "binds", "binds", "binds", "does not start"),
    "M14x1.5": (THROUGH, THROUGH, THROUGH, THROUGH, "goes"),
    "1/4-18 NPT": (THROUGH, THROUGH, THROUGH, THROUGH, "does not start"),
}
"""Straight in, sender by sender."""

PIECES: dict[str, tuple[int | None, ...]] = {
    "M10x1": (1, 1, 1, 0, None),
    "Rc 1/8": (1, 0, 1, 1, None),
    "1/8-27 NPT": (0, 1, 1, 1, None),
    "M14x1.5": (1, 1, 1, 1, 0),
    "1/4-18 NPT": (1, 1, 2, 2, None),
}
"""Pieces of the shortest chain; None: no bush can take an M14 sender into one of these ports."""

BASE = decode(
    plan(gauge(PRESSURE_10_184, "pressure"), sender(PRESSURE_10_184, "pressure")), Plan, "workshop"
)


def taken(port: str, thread: str) -> Fitted:
    pairing = BASE.pairings[0]
    fitted = replace(pairing.sender, fitting=SenderFitting(thread=thread))
    return fit_of(replace(pairing, sender=fitted, fit=Fit(port=Port(thread=port))), BASE.duty)


@pytest.mark.parametrize("port", PORTS)
@pytest.mark.parametrize("number", range(5), ids=SENDERS)
def test_that_a_sender_at_a_port_has_its_outcome_and_its_way(port: str, number: int) -> None:
    found = taken(port, SENDERS[number])
    assert found.direct is not None
    assert found.direct.outcome == OUTCOMES[port][number]
    pieces = PIECES[port][number]
    assert (None if found.chain is None else len(found.chain.pieces)) == pieces
    verdicts = {check.name: check.verdict for check in found.checks}
    if found.chain is None:
        assert (verdicts["thread"], verdicts["chain"]) == ("stop", "stop")
        return
    assert all(joint.goes for joint in found.chain.joints)
    # A second piece is a caution; an R sender always ends in an Rc female.
    assert verdicts["chain"] == ("caution" if pieces == 2 else "good")
    # With an adapter the sender's own thread is no question any more.
    assert ("thread" in verdicts) == (pieces == 0)


def test_that_only_a_thread_of_its_own_standard_goes_straight_in() -> None:
    going = [
        (port, sender)
        for port in PORTS
        for sender, outcome in zip(SENDERS, OUTCOMES[port], strict=True)
        if outcome.startswith("goes")
    ]
    assert going == [
        ("M10x1", "M10x1"),
        ("Rc 1/8", "R 1/8"),
        ("1/8-27 NPT", "1/8-27 NPT"),
        ("M14x1.5", "M14x1.5"),
    ]
