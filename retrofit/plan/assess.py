"""Everything that the program works out of a plan; window, sheet and prompt only show it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from catalog.message import Message, message
from catalog.quantities.amounts import Amount
from retrofit.installation import Supply
from retrofit.plan.cautions import cautions_for
from retrofit.plan.checks.check import SEVERITY, Check, Facts, Verdict
from retrofit.plan.checks.coils import check_coils
from retrofit.plan.checks.curve import check_curve
from retrofit.plan.checks.earth import check_earth
from retrofit.plan.checks.fit import check_fit
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
from retrofit.plan.checks.second import check_alone, check_second
from retrofit.plan.checks.sharers import check_copper, check_lamp, check_polarity
from retrofit.plan.checks.spread import check_spread
from retrofit.plan.checks.supply import check_supply
from retrofit.plan.checks.wiper import check_wiper
from retrofit.plan.checks.wires import check_cranking, check_offset, check_wires
from retrofit.plan.document import Pairing, Plan
from retrofit.plan.fits import Fitted, fit_of
from retrofit.plan.loads import loads_of
from retrofit.plan.mark_readings import MarkReading, marks_of
from retrofit.plan.proof import proof_of
from retrofit.plan.second_gauge import SecondReading, second_of
from retrofit.plan.spread import Likely, Spread, likely_of, second_spread_of, spread_of
from retrofit.plan.stages import (
    LeadState,
    band_of,
    feed_assumed,
    lead_state,
    loaded_at,
    marked_at,
    needle_of,
    reading_of,
    supplies_of,
)
from retrofit.plan.wiring_advice import WiringAdvice, advice_of
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
    spread : Spread or None
        The worst-case band of the curve, and what contributes; None where nobody can tell.
    likely : Likely or None
        The likely band; None while it is pending, and where nobody can tell.
    second : SecondReading or None
        What the second gauge shows; None without one, and where nobody can tell.
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
    spread: Spread | None
    likely: Likely | None
    second: SecondReading | None
    lead_open: LeadState | None
    lead_earthed: LeadState | None
    checks: tuple[Check, ...]
    cautions: tuple[Message, ...]

    @property
    def fit(self) -> Fitted:
        """What becomes of the sender in its port: threads, chain, seals, earth."""
        return fit_of(self.pairing, self.plan.duty)

    @property
    def loads(self) -> Loads | Message:
        """What each element takes at worst, or why nobody can tell."""
        return loads_of(self.pairing, self.plan.duty)

    @property
    def advice(self) -> WiringAdvice:
        """Wire sizes and the fuse that are proposed, each with its reason."""
        return advice_of(self.pairing, self.plan.duty)

    @property
    def proof_of_no(self) -> ProofOfNo | Message | None:
        """That no resistors can do it, or why nobody can tell; None where nothing forbids it."""
        return proof_of(self.pairing, self.plan.duty)

    @cached_property
    def of_second(self) -> Assessment | None:
        """The same for the second gauge, for whoever draws its dial; None where there is none."""
        second, other = self.second, self.pairing.installation.second
        if second is None or other is None:
            return None
        band = second.needle.band(second.reading.x)
        return replace(
            self,
            pairing=replace(self.pairing, gauge=other.gauge),
            needle=second.needle,
            reading=second.reading,
            band=band,
            marks=(),
            spread=None,
            likely=None,
            second=None,
        )

    @property
    def second_spread(self) -> Spread | None:
        """The worst case of what the second gauge shows; None where there is none."""
        return second_spread_of(self.pairing, self.plan.duty)

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all checks."""
        return self.checks[0].verdict


def assess(plan: Plan, label: str | None = None, *, likely: bool = False) -> Assessment:
    """Assess one pairing of a plan.

    Parameters
    ----------
    plan : Plan
        The plan; it holds whole parts, so no catalogue is opened.
    label : str, optional
        Which pairing; the first when left out.
    likely : bool, optional
        Whether to work out the likely band, which takes a while; else it is taken where it is
        known already (`retrofit.plan.spread.likely_of` was asked) and pending where not.

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
    found, duty = needle_of(pairing), plan.duty
    if isinstance(found, Message):
        facts = Facts(duty, pairing, found, None, None, ())
        return Assessment(
            plan,
            pairing,
            needle=None,
            reason=found,
            reading=None,
            band=None,
            marks=(),
            spread=None,
            likely=None,
            second=None,
            lead_open=None,
            lead_earthed=None,
            checks=_checks(plan, facts),
            cautions=cautions_for(duty, pairing),
        )
    reading, band, spread = reading_of(found, duty), band_of(found, duty), spread_of(pairing, duty)
    assert spread is not None
    probable = likely_of(pairing, duty) if likely else likely_of.peek(pairing, duty)
    marks = marks_of(found, duty, spread, probable)
    second = second_of(pairing, duty)
    ohms = pairing.sender.signal is not None and pairing.sender.signal.value == "resistance"
    return Assessment(
        plan,
        pairing,
        needle=found,
        reason=None,
        reading=reading,
        band=band,
        marks=marks,
        spread=spread,
        likely=probable,
        second=None if isinstance(second, Message) else second,
        lead_open=lead_state(found, math.inf) if ohms else None,
        lead_earthed=lead_state(found, 0.0) if ohms else None,
        checks=_checks(plan, Facts(duty, pairing, found, reading, band, marks, spread)),
        cautions=cautions_for(duty, pairing, marks),
    )


def at_supply(found: Assessment, volts: float) -> Assessment:
    """Return what another supply would do: reading, bands and marks; its checks stay the plan's.

    Parameters
    ----------
    found : Assessment
        Of the plan at its own supply.
    volts : float
        The other one [V], > 0.

    Returns
    -------
    Assessment
        `found` itself where nobody can tell a reading there.
    """
    pairing, duty = found.pairing, found.plan.duty
    supply = Supply(Amount(volts, "V"), earthed=pairing.installation.supply.earthed)
    hung_on = loaded_at(pairing.installation, volts)
    gauge = marked_at(pairing.gauge, supplies_of(pairing.gauge, pairing.installation).nominal)
    installation = replace(hung_on, supply=supply)
    other = replace(pairing, gauge=gauge, installation=installation)
    needle, spread = needle_of(other), spread_of(other, duty)
    if isinstance(needle, Message) or spread is None:
        return found
    second = second_of(other, duty)
    return replace(
        found,
        pairing=other,
        needle=needle,
        reading=reading_of(needle, duty),
        band=band_of(needle, duty),
        marks=marks_of(needle, duty, spread, None),
        spread=spread,
        likely=None,
        second=None if isinstance(second, Message) else second,
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
        check_spread(facts),
    ]
    asked = [
        check_coils,
        check_earth,
        check_wires,
        check_offset,
        check_cranking,
        check_lamp,
        check_second,
        check_alone,
        check_polarity,
        check_copper,
        check_power,
        check_current,
        check_wiper,
    ]
    found += [check for one in asked if (check := one(facts)) is not None]
    found += check_fit(facts)
    tests = check_tests(plan, facts.pairing)
    found += [] if tests is None else [tests]
    assumed = feed_assumed(facts.pairing.gauge, facts.pairing.installation)
    if assumed is not None:
        found = [_as_assumed(check, assumed) for check in found]
    return tuple(sorted(found, key=lambda check: SEVERITY[check.verdict]))


_OF_NEEDLE = frozenset({"mark", "flatters", "curve", "second"})


def _as_assumed(check: Check, assumed: Message) -> Check:
    """Return a check of the needle as unknown where it is good by an assumed feed only."""
    if check.verdict is not Verdict.GOOD or check.name not in _OF_NEEDLE:
        return check
    why = message("check.assumed", why=assumed)
    return replace(check, verdict=Verdict.UNKNOWN, why=why, step="wiring", field="fitted")


def _mark_checks(facts: Facts) -> list[Check]:
    if isinstance(facts.needle, Message):
        return [unread_mark(facts, mark, facts.needle) for mark in facts.duty.marks]
    return [check_mark(facts, mark) for mark in facts.marks]
