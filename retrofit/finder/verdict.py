"""From likelihoods to an answer: who leads, what looks wrong, whether it may be said at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.parts.fields import SIGNAL_KINDS
from catalog.quantities.kinds import Kind
from retrofit.finder.evidence import Evidence
from retrofit.finder.identification import (
    Expected,
    Found,
    Identification,
    NextMeasurement,
    RankedClass,
    SeenBeside,
)
from retrofit.finder.slips import Slip
from retrofit.finder.telling import ALIKE, Outlook, apart, information

IDENTIFIED = 0.9
"""Share from which the leading class counts as the one."""

UNLISTED_FROM = 0.5
"""Share of 'none of these' from which that is the answer."""

MOST_SHOWN = 8
LEAST_SHARE = 1e-3
"""Classes less likely than this are not looked at when they are told apart."""

_LIKELY = 0.01
_LEAST_BITS = 0.05
_FEWEST_AFTER_SLIP = 3
_TWO_SIGMA = 1.96


@dataclass(frozen=True)
class Units:
    """How a compared number is told: SI value = low + number × span.

    Attributes
    ----------
    kind : Kind
        What is told.
    low, span : float
        [SI].
    """

    kind: Kind
    low: float = 0.0
    span: float = 1.0

    def told(self, number: float) -> SiValue:
        """Return a compared number as it is told."""
        return SiValue(self.low + number * self.span, self.kind)


@dataclass(frozen=True, eq=False)
class Case:
    """All that an answer is made of, senders and gauges alike.

    Attributes
    ----------
    keys, names : sequence of str
        The K classes.
    evidence : Evidence
        What the readings say of them.
    order : array of int, shape (L,)
        Classes that are shown, likeliest first.
    seen : array, shape (L, n)
        The n readings, as each class is compared with them.
    at : sequence of sequence of SiValue
        Where they were taken, for each of the L classes.
    beside : Outlook
        What the L classes give there.
    units : sequence of Units
        How a reading of each of the L classes is told.
    comparable : array of int
        Which of the L can be compared with the leader at the same places.
    places : sequence of SiValue
        T places where something could be measured next.
    ahead : Outlook
        What the comparable ones give there.
    assumed, cautions : tuple of Message
        For the answer.
    left_out : tuple of str
        For the answer.
    hints : tuple of Message
        What looks odd whichever class is right.
    """

    keys: Sequence[str]
    names: Sequence[str]
    evidence: Evidence
    order: np.ndarray
    seen: Array
    at: Sequence[Sequence[SiValue]]
    beside: Outlook
    units: Sequence[Units]
    comparable: np.ndarray
    places: Sequence[SiValue]
    ahead: Outlook
    assumed: tuple[Message, ...]
    cautions: tuple[Message, ...]
    left_out: tuple[str, ...]
    hints: tuple[Message, ...] = ()


def shown_order(share: Array) -> np.ndarray:
    """Return which classes are shown, likeliest first, shape (K,) [1] → (L,) [1]."""
    return np.argsort(-share, kind="stable")[:MOST_SHOWN]


def answer(case: Case) -> Identification:
    """Return the answer to what was seen."""
    share = case.evidence.share
    unlisted = float(1.0 - share.sum())
    lead, leaders = _leaders(case, share)
    ranked = [
        _ranked(case, n, float(share[k]), leads=n in leaders) for n, k in enumerate(case.order)
    ]
    # The one whose numbers are asked about below stands first, then those like it.
    rest = [one for n, one in enumerate(ranked) if n != lead]
    order = (ranked[lead], *sorted(rest, key=lambda one: (not one.leads, -one.share)))
    slip = _slip(case.evidence, int(case.order[lead]))
    counted = int(np.sum(case.beside.known[lead])) - len(slip.wrong)
    found = _found(order, unlisted, slip, counted)
    mixed = _mixed(case, share)
    telling = None if found == "none" or mixed else _telling(case, share, leaders)
    says = [_answer(found, order, unlisted)]
    if order[0].share > LEAST_SHARE:
        says += _doubts(order[0], slip)
    says += [*case.hints, *_advice(found, telling, mixed=mixed)]
    return Identification(
        found, order, max(unlisted, 0.0), telling, tuple(says), case.assumed, case.cautions,
        case.left_out,
    )  # fmt: skip


def _leaders(case: Case, share: Array) -> tuple[int, set[int]]:
    """Return who leads, of the L, and who leads with it: no measurement tells them apart.

    A class that stands twice in a catalogue halves its own share: likeliest are those that
    together have the largest one.
    """
    shown = share[case.order]
    together = {n: {n} for n in range(len(case.order))}
    for i, n in enumerate(case.comparable if case.places else ()):
        far = apart(case.ahead, i)
        together[int(n)] |= {
            int(m)
            for m, distance in zip(case.comparable, far, strict=True)
            if distance < ALIKE and shown[m] > LEAST_SHARE
        }
    lead = max(together, key=lambda n: (float(shown[list(together[n])].sum()), shown[n]))
    # One that is hopeless itself does not lead by its neighbours.
    if shown[lead] <= LEAST_SHARE:
        lead = 0
    return lead, together[lead]


def _mixed(case: Case, share: Array) -> bool:
    """Return whether likely classes cannot be compared: they are of several quantities."""
    alone = set(range(len(case.order))) - {int(n) for n in case.comparable}
    return any(share[case.order[n]] >= _LIKELY for n in alone)


def _slip(evidence: Evidence, k: int) -> Slip:
    """Return what most likely went wrong, if class k is right."""
    return evidence.ways[int(np.argmax(evidence.by_slip[k]))]


def _found(ranked: Sequence[RankedClass], unlisted: float, slip: Slip, counted: int) -> Found:
    if unlisted >= UNLISTED_FROM:
        return "none"
    together = sum(one.share for one in ranked if one.leads)
    fewest = 2 if slip.clean else _FEWEST_AFTER_SLIP
    return "identified" if together >= IDENTIFIED and counted >= fewest else "several"


def _ranked(case: Case, n: int, share: float, *, leads: bool) -> RankedClass:
    k = int(case.order[n])
    ways, by_slip = case.evidence.ways, case.evidence.by_slip[k]
    slip = _slip(case.evidence, k)
    rows = []
    for row in range(case.seen.shape[1]):
        doubt = sum(float(by_slip[p]) for p, way in enumerate(ways) if row in way.wrong)
        rows.append(_beside(case, n, row, doubt))
    swapped = None if slip.swapped is None else (slip.swapped[0] + 1, slip.swapped[1] + 1)
    return RankedClass(case.keys[k], case.names[k], share, tuple(rows), swapped, leads)


def _beside(case: Case, n: int, row: int, doubt: float) -> SeenBeside:
    expected = _expected(case, n, case.beside, n, row)
    seen, off = float(case.seen[n, row]), float("nan")
    if case.beside.known[n, row] and np.isfinite(seen):
        off = (seen - float(case.beside.mean[n, row])) / float(case.beside.deviation[n, row])
    return SeenBeside(case.at[n][row], case.units[n].told(seen), expected, off, doubt)


def _expected(case: Case, n: int, outlook: Outlook, row: int, t: int) -> Expected:
    """Return what the n-th class shown gives at place t of an outlook, its row there given."""
    key, units = case.keys[int(case.order[n])], case.units[n]
    if not outlook.known[row, t]:
        nothing = float("nan")
        return Expected(key, SiValue(nothing, units.kind), nothing, nothing)
    mean, wide = float(outlook.mean[row, t]), _TWO_SIGMA * float(outlook.deviation[row, t])
    low, high = units.told(mean - wide).value, units.told(mean + wide).value
    if units.kind in SIGNAL_KINDS:
        low = max(low, 0.0)
    return Expected(key, units.told(mean), low, high)


def _telling(case: Case, share: Array, leaders: set[int]) -> NextMeasurement | None:
    """Return the measurement that tells most about the classes that are likely."""
    likely = [i for i, n in enumerate(case.comparable) if share[case.order[n]] > LEAST_SHARE]
    if len(likely) < 2 or not case.places or {int(case.comparable[i]) for i in likely} <= leaders:
        return None
    ahead = case.ahead.taken(likely)
    shares = np.array([share[case.order[case.comparable[i]]] for i in likely])
    bits = information(ahead, shares)
    best = int(np.argmax(bits))
    if bits[best] < _LEAST_BITS:
        return None
    expected = tuple(_expected(case, int(case.comparable[i]), case.ahead, i, best) for i in likely)
    return NextMeasurement(case.places[best], float(bits[best]), expected)


# --- in sentences -------------------------------------------------------------------------------


def _advice(found: Found, telling: NextMeasurement | None, *, mixed: bool) -> list[Message]:
    """Return what to do next."""
    if found == "none":
        return [message("identify.next_none")]
    if mixed:
        return [message("identify.say_quantity")]
    if telling is not None:
        ohms = telling.at.kind is Kind.RESISTANCE
        return [message("identify.next_resistor" if ohms else "identify.next", at=telling.at)]
    return [message("identify.next_any")] if found == "several" else []


def _answer(found: Found, ranked: Sequence[RankedClass], unlisted: float) -> Message:
    first = ranked[0]
    if found == "none":
        return message("identify.none", share=SiValue(unlisted, Kind.FRACTION), nearest=first.name)
    leaders = [one for one in ranked if one.leads]
    together = SiValue(sum(one.share for one in leaders), Kind.FRACTION)
    if found == "several":
        likely = sum(one.share >= _LIKELY for one in ranked)
        return message("identify.several", count=likely, name=first.name, share=together)
    if len(leaders) == 1:
        return message("identify.one", name=first.name, share=together)
    others = "; ".join(one.name for one in leaders[1:])
    return message("identify.alike", name=first.name, others=others, share=together)


def _doubts(first: RankedClass, slip: Slip) -> list[Message]:
    """Return which readings look wrong if the likeliest class is right."""
    found = []
    for row in slip.wrong:
        beside = first.beside[row]
        found.append(
            message(
                "identify.wrong",
                row=row + 1,
                reading=beside.seen,
                at=beside.at,
                expected=beside.expected.value,
            )
        )
    if first.swapped is not None:
        found.append(message("identify.swapped", first=first.swapped[0], second=first.swapped[1]))
    return found
