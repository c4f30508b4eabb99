"""A row put into its plan and judged there: the numbers that are shown come from the assessment."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from catalog.message import SiValue
from catalog.quantities.kinds import difference
from retrofit.finder.rows import Fit, Row
from retrofit.finder.sought_again import sought_again
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import READABLE, Check, Verdict
from retrofit.plan.document import Origin, Plan
from retrofit.plan.trim_wishes import TrimWishes, rated
from retrofit.plan.trims import TrimCandidate, judged_trim, with_trim


@dataclass(frozen=True, eq=False)
class JudgedRow:
    """A row with what the assessment says of it.

    Attributes
    ----------
    row : Row
        What the finder found; sought again over the whole curve where that finds better.
    plan : Plan
        The plan with parts and trim put into the pairing: what applying it makes.
    judged : TrimCandidate
        Verdict of needle and trim alone, worst error, error curve and powers, from the
        assessment of that plan.
    flatters : Verdict
        Whether the needle hides danger at any mark, from the same.
    checks : tuple of Check
        All checks of that plan, worst first: the first is its verdict.
    open_at : SiValue or None
        Where its curves leave most open between their known points; None where nothing.
    wide : SiValue or None
        Half the likely band where it is widest over what is allowed there; None while nobody
        worked it out.
    """

    row: Row
    plan: Plan
    judged: TrimCandidate
    flatters: Verdict
    checks: tuple[Check, ...] = ()
    open_at: SiValue | None = None
    wide: SiValue | None = None

    @property
    def whole(self) -> Check:
        """The worst check of the plan with parts and trim in it: what `assess` leads with."""
        return self.checks[0]


def put_in(
    plan: Plan,
    label: str,
    row: Row,
    fit: Fit,
    wishes: TrimWishes,
    origins: Mapping[str, Origin] | None = None,
) -> Plan:
    """Return the plan with the parts of a row and a trim of it in one pairing.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        The pairing.
    row : Row
        Whose parts.
    fit : Fit
        Its `lead` or its `best`.
    wishes : TrimWishes
        From which resistors; they are rated for what they take.
    origins : mapping, optional
        Where the parts were taken from, by their keys.
    """
    there, pairing = origins or {}, plan.pairing(label)
    one = row.candidate
    changed = replace(pairing, trim=())
    if one.gauge is not pairing.gauge:
        changed = replace(changed, gauge=one.gauge, gauge_origin=there.get(one.gauge.key))
    if one.sender is not pairing.sender:
        changed = replace(changed, sender=one.sender, sender_origin=there.get(one.sender.key))
    pairings = tuple(changed if each.label == label else each for each in plan.pairings)
    put = replace(plan, pairings=pairings)
    return with_trim(put, label, rated(put, label, fit.trim, wishes))


def judged_row(
    plan: Plan,
    label: str,
    row: Row,
    wishes: TrimWishes,
    origins: Mapping[str, Origin] | None = None,
) -> JudgedRow:
    """Return a row with its fewest resistors that do as well (`lead`) put in and assessed.

    Parameters
    ----------
    plan, label, row, wishes, origins
        As for `put_in`. Where the trim errs more between the points at which it was sought, the
        best over the whole curve is sought first.

    Notes
    -----
    Some ten milliseconds each: for the rows on screen, not for thousands.
    """
    row = sought_again(plan, label, row, wishes)
    put = put_in(plan, label, row, row.lead, wishes, origins)
    judged = judged_trim(put, label, put.pairing(label).trim)
    found = assess(put, label)
    flatters = next(check.verdict for check in found.checks if check.name == "flatters")
    return JudgedRow(row, put, judged, flatters, found.checks, _open_at(found))


def judged_rows(plan: Plan, label: str, rows: Sequence[Row], wishes: TrimWishes) -> list[JudgedRow]:
    """Return rows judged, in the order of the errors that the assessment tells of them."""
    judged = [judged_row(plan, label, row, wishes) for row in rows]
    return sorted(judged, key=lambda one: one.judged.judged.by_number)


def _open_at(found: Assessment) -> SiValue | None:
    """Return the value at which the curves leave most open between their known points."""
    if found.reading is None or found.band is None:
        return None
    gaps = found.band.high - found.band.low
    low, high = found.plan.duty.span
    if not np.nanmax(gaps, initial=0.0) > READABLE * (high - low):
        return None
    return SiValue(float(found.reading.x[int(np.nanargmax(gaps))]), found.plan.duty.kind)


def banded(judged: JudgedRow, label: str) -> JudgedRow:
    """Return a judged row with its likely band: the widest half of it over the allowed error [1].

    The band stays None where nobody can tell one, or nobody said how much is allowed.

    Parameters
    ----------
    judged : JudgedRow
        What `judged_row` gave.
    label : str
        The pairing into which it was put.

    Notes
    -----
    Some sixty milliseconds each.
    """
    found, duty = assess(judged.plan, label, likely=True), judged.plan.duty
    if found.likely is None:
        return judged
    halves = list[tuple[float, float]]()
    if (allowed := duty.allowed_at(None)) is not None:
        half = float(np.nanmax(found.likely.high - found.likely.low)) / 2.0
        halves.append((half / allowed, half))
    for n, mark in enumerate(duty.marks):
        allowed, ends = duty.allowed_at(mark), found.likely.at_marks
        if allowed is not None:
            half = float(ends.high[n] - ends.low[n]) / 2.0
            halves.append((half / allowed, half))
    known = [each for each in halves if not math.isnan(each[0])]
    if not known:
        return judged
    share, half = max(known)
    wide = SiValue(half, difference(duty.kind))
    return replace(judged, row=replace(judged.row, band=share), wide=wide)
