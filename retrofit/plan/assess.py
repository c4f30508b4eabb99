"""Everything that the program works out of a plan; window, sheet and prompt only show it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.message import Message
from retrofit.plan.cautions import cautions_for
from retrofit.plan.checks.check import SEVERITY, Check, Facts, Verdict
from retrofit.plan.checks.coils import check_coils
from retrofit.plan.checks.curve import check_curve
from retrofit.plan.checks.earth import check_earth
from retrofit.plan.checks.knowledge import check_dial
from retrofit.plan.checks.marks import check_flatters, check_mark, unread_mark
from retrofit.plan.checks.mending import check_tests
from retrofit.plan.checks.parts import (
    check_controller,
    check_direction,
    check_range,
    check_signal,
    check_stations,
)
from retrofit.plan.checks.power import check_current, check_power
from retrofit.plan.checks.supply import check_supply
from retrofit.plan.checks.wiper import check_wiper
from retrofit.plan.document import Pairing, Plan
from retrofit.plan.loads import loads_of
from retrofit.plan.proof import proof_of
from retrofit.plan.stages import (
    LeadState,
    MarkReading,
    band_of,
    lead_state,
    marks_of,
    needle_of,
    reading_of,
)
from retrofit.reading import Band, Needle, Reading
from retrofit.trim.power import Loads
from retrofit.trim.proof import ProofOfNo


@dataclass(frozen=True)
class Assessment:
    """All that the program computed of one pairing of a plan.

    Attributes
    ----------
    plan, pairing : Plan, Pairing
        What was assessed.
    needle : Needle or None
        Sender, network and dial; None where nobody can tell what is shown.
    reason : Message or None
        Why nobody can tell, and what to measure.
    reading : Reading or None
        The reading curve over the range.
    band : Band or None
        The band 'shape unknown' of that curve.
    marks : tuple of MarkReading
        Readings at the marks that matter.
    lead_open, lead_earthed : LeadState or None
        Where the needle goes when the sender's lead is open, or lies on earth.
    checks : tuple of Check
        All checks, worst first.
    cautions : tuple of Message
        What can hurt someone at this work.
    """

    plan: Plan
    pairing: Pairing
    needle: Needle | None
    reason: Message | None
    reading: Reading | None
    band: Band | None
    marks: tuple[MarkReading, ...]
    lead_open: LeadState | None
    lead_earthed: LeadState | None
    checks: tuple[Check, ...]
    cautions: tuple[Message, ...]

    @property
    def loads(self) -> Loads | Message:
        """What each element takes at worst, or why nobody can tell."""
        return loads_of(self.pairing, self.plan.duty)

    @property
    def proof_of_no(self) -> ProofOfNo | Message | None:
        """That no resistors can do it, or why nobody can tell; None where nothing forbids it."""
        return proof_of(self.pairing, self.plan.duty)

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all checks."""
        return self.checks[0].verdict


def assess(plan: Plan, label: str | None = None) -> Assessment:
    """Assess one pairing of a plan.

    Parameters
    ----------
    plan : Plan
        The plan; it holds whole parts, so no catalogue is opened.
    label : str, optional
        Which pairing; the first when left out.

    Returns
    -------
    Assessment
        The same numbers on every machine, to 1e-9 relative.

    Raises
    ------
    UserError
        When no pairing has that label.
    """
    pairing = plan.pairing(label)
    found = needle_of(pairing)
    if isinstance(found, Message):
        facts = Facts(plan.duty, pairing, found, None, None, ())
        checks = _checks(plan, facts)
        cautions = cautions_for(plan.duty, pairing)
        return Assessment(plan, pairing, None, found, None, None, (), None, None, checks, cautions)
    reading, band = reading_of(found, plan.duty), band_of(found, plan.duty)
    marks = marks_of(found, plan.duty)
    facts = Facts(plan.duty, pairing, found, reading, band, marks)
    ohms = pairing.sender.signal is not None and pairing.sender.signal.value == "resistance"
    return Assessment(
        plan,
        pairing,
        found,
        None,
        reading,
        band,
        marks,
        lead_state(found, math.inf) if ohms else None,
        lead_state(found, 0.0) if ohms else None,
        _checks(plan, facts),
        cautions_for(plan.duty, pairing),
    )


def _checks(plan: Plan, facts: Facts) -> tuple[Check, ...]:
    found = [
        check_signal(facts),
        check_direction(facts),
        check_range(facts),
        *_mark_checks(facts),
        check_flatters(facts),
        check_curve(facts),
        check_dial(facts),
        check_supply(facts),
        check_stations(facts),
        check_controller(facts),
    ]
    asked = [check_coils, check_earth, check_power, check_current, check_wiper]
    found += [check for one in asked if (check := one(facts)) is not None]
    tests = check_tests(plan, facts.pairing)
    found += [] if tests is None else [tests]
    return tuple(sorted(found, key=lambda check: SEVERITY[check.verdict]))


def _mark_checks(facts: Facts) -> list[Check]:
    if isinstance(facts.needle, Message):
        return [unread_mark(facts, mark, facts.needle) for mark in facts.duty.marks]
    return [check_mark(facts, mark) for mark in facts.marks]
