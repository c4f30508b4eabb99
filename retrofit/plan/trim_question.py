"""What a plan asks of a trim: points and allowed errors, limits of the sender, what comes first."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.installation import SenderLimits
from retrofit.movements import path_extra
from retrofit.plan.bench_tests import TEST_KINDS, BenchTest
from retrofit.plan.checks.check import ROUNDING, Verdict
from retrofit.plan.checks.mending import check_tests
from retrofit.plan.document import Duty, DutyMark, Pairing, Plan
from retrofit.plan.loads import compared_loads_of
from retrofit.plan.stages import at_terminal, highest_supply, needle_of, supplies_of
from retrofit.trim.question import Flattery, Question
from retrofit.trim.signal_node import SignalNode, signal_node
from retrofit.trim.ties import Filter

POINTS = 21
"""Equal steps of the range at which a trim is sought, besides the marks."""


@dataclass(frozen=True)
class Beyond:
    """Where a trim must not flatter at all: at some marks, and beyond them on their side.

    Attributes
    ----------
    mark : str or None
        Name of one mark; None: every mark that says which side hides danger.
    """

    mark: str | None = None


def question_of(
    pairing: Pairing, duty: Duty, beyond: Beyond | None = None, points: int = POINTS
) -> Question | Message:
    """Return what a trim of a pairing has to achieve.

    Parameters
    ----------
    pairing : Pairing
        Gauge, sender and what they hang on; its own trim does not count.
    duty : Duty
        The range, at `points` equal steps, and the marks, with the error allowed at each. With
        no allowed error over the range the marks alone count.
    beyond : Beyond, optional
        Where no flattering is wanted; None: an error to either side counts alike.
    points : int
        Equal steps of the range [1], 2 or more.

    Returns
    -------
    Question or Message
        The question; or what is missing, and what to do.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_trims.py``.
    """
    if pairing.gauge.signal is not Kind.RESISTANCE:
        return message("movement.trim_on_signal")
    if pairing.installation.second is not None:
        return message("trims.second_gauge")
    needle = needle_of(replace(pairing, trim=()))
    if isinstance(needle, Message):
        return needle
    volts = float(supplies_of(pairing.gauge, pairing.installation).volts[0])
    node = signal_node(pairing.gauge, volts)
    if isinstance(node, Message):
        return node
    asked = _points(duty, points)
    if isinstance(asked, Message):
        return asked
    x, allowed = asked
    flattery = None if beyond is None else _flattery(duty, beyond, x)
    if isinstance(flattery, Message):
        return flattery
    known = (x >= needle.sender.low) & (x <= needle.sender.high)
    ohms = needle.sender.output(np.where(known, x, np.nan))
    earth = path_extra(pairing.installation)
    try:
        return Question(x, ohms, allowed, needle.dial, node, earth, flattery)
    except UserError as error:
        return error.messages[0]


def _points(duty: Duty, points: int) -> tuple[Array, Array] | Message:
    general = duty.allowed_at(None)
    marks = [(mark.at.si(duty.kind), duty.allowed_at(mark)) for mark in duty.marks]
    pairs = [(at, allowed) for at, allowed in marks if allowed is not None]
    if general is not None:
        pairs = [(float(x), general) for x in np.linspace(*duty.span, points)] + pairs
    if len({at for at, _ in pairs}) < 2:
        return message("trims.nothing_allowed", marks=len(pairs))
    return np.array([at for at, _ in pairs]), np.array([allowed for _, allowed in pairs])


def _flattery(duty: Duty, beyond: Beyond, x: Array) -> Flattery | Message:
    """Return no error at all to the hiding side at the wanted marks and beyond them.

    Reading too low hides what is high, so beyond is above there; too high, below.
    """
    wanted = [mark for mark in duty.marks if beyond.mark in (None, mark.name)]
    if not wanted:
        known = ", ".join(mark.name for mark in duty.marks) or "—"
        if beyond.mark is None:
            return message("trims.no_marks")
        return message("trims.no_such_mark", mark=beyond.mark, known=known)
    told = [mark for mark in wanted if mark.flatters != "unknown"]
    if not told:
        return message("trims.no_side", mark=wanted[0].name)
    side = np.zeros_like(x)
    for mark in told:
        sign, there = _beyond(mark, duty, x)
        if np.any(side[there] == -sign):
            return message("trims.both_sides", mark=mark.name)
        side = np.where(there, sign, side)
    return Flattery(side, np.zeros_like(x))


def _beyond(mark: DutyMark, duty: Duty, x: Array) -> tuple[float, NDArray[np.bool_]]:
    at = mark.at.si(duty.kind)
    slack = 1e-9 * (duty.span[1] - duty.span[0])
    if mark.flatters == "low":
        return -1.0, x >= at - slack
    return 1.0, x <= at + slack


def refusal_of(plan: Plan, label: str) -> Message | None:
    """Return why no trim may be proposed at all, None where one may.

    A sender that an engine controller reads is never loaded, and where the plan mends an
    installation that reads wrong, supply, earth and gauge are tested first.
    """
    if plan.duty.controller_shares == "yes":
        return message("trims.controller")
    found = check_tests(plan, plan.pairing(label))
    if plan.mends != "yes" or found is None or found.verdict is not Verdict.UNKNOWN:
        return None
    return message("trims.tests_first", says=found.says, why=found.why)


def leave_tests_out(plan: Plan, reason: str) -> Plan:
    """Return the plan with every test that is still missing left out, and why.

    Parameters
    ----------
    plan : Plan
        The plan; tests that were done, or left out before, stay as they are.
    reason : str
        Why they are left out; kept with the plan.

    Raises
    ------
    UserError
        ``trims.no_reason`` for no reason at all.
    """
    if not reason.strip():
        raise user_error("trims.no_reason")
    there = {test.kind for test in plan.tests}
    missing = [kind for kind in TEST_KINDS if kind not in there]
    added = tuple(BenchTest(kind, overridden=reason.strip()) for kind in missing)
    return replace(plan, tests=(*plan.tests, *added))


def sender_filter(pairing: Pairing, duty: Duty) -> Filter | None:
    """Return which trims give the sender no more than its original gauge gave it.

    Parameters
    ----------
    pairing : Pairing
        Gauge, sender and supply.
    duty : Duty
        Its original limits; each that is known counts.

    Returns
    -------
    callable or None
        From ohms at the five places, each shape (M,) [Ω], to whether they are allowed (M,);
        None where no limit is known, or nobody knows the gauge's source.
    """
    limits, curve = duty.original, pairing.sender.curve
    if limits is None or curve is None:
        return None
    supply = pairing.installation.supply
    volts = highest_supply(supply) or supply.nominal.si(Kind.VOLTAGE)
    if limits.supply is not None:
        volts = limits.supply.si(Kind.VOLTAGE)
    fed = float(at_terminal(pairing.gauge, pairing.installation, np.array([volts])).volts[0])
    node = signal_node(pairing.gauge, fed)
    if isinstance(node, Message) or not node.pull_up:
        return None
    if isinstance(compared_loads_of(replace(pairing, trim=()), duty), Message):
        return None
    x = np.clip(np.linspace(*duty.span, 201), curve.low, curve.high)
    least = float(np.min(curve.output(x)))
    return _filter(node, path_extra(pairing.installation), least, limits)


def _filter(node: SignalNode, earth: float, least: float, limits: SenderLimits) -> Filter:
    figures = (limits.current, limits.open_volts, limits.short_current)
    kinds = (Kind.CURRENT, Kind.VOLTAGE, Kind.CURRENT)
    most = [
        np.inf if figure is None else figure.si(kind) * ROUNDING
        for figure, kind in zip(figures, kinds, strict=True)
    ]

    def allowed(p: Array, s1: Array, q: Array, s2: Array, u: Array) -> NDArray[np.bool_]:
        volts, ohm = at_sender(node, earth, (p, s1, q, s2, u))
        with np.errstate(divide="ignore", invalid="ignore"):
            short = volts / ohm
            amps = volts / (ohm + least)
        within = (amps <= most[0]) & (volts <= most[1]) & (short <= most[2])
        return np.asarray(within, dtype=np.bool_)

    return allowed


def at_sender(node: SignalNode, earth: float, places: tuple[Array, ...]) -> tuple[Array, Array]:
    """Return the source that the sender's terminals see of gauge and trim.

    Thevenin's theorem, one resistor after the other from the gauge to the sender.

    Parameters
    ----------
    node : SignalNode
        The gauge at the supply in question.
    earth : float
        Ohms in the sender's earth path [Ω].
    places : tuple of five arrays, shape (M,)
        Ohms at the five places [Ω].

    Returns
    -------
    tuple of two arrays, shape (M,)
        Open-circuit volts [V] and source resistance [Ω].
    """
    across, at_end, to_earth, at_gauge, pull = places
    own, up = 1.0 / node.ohm, 1.0 / pull
    volts = (node.open_volts * own + node.supply * up) / (own + up)
    ohm = 1.0 / (own + up) + at_gauge
    volts = volts / (1.0 + ohm / to_earth)
    ohm = 1.0 / (1.0 / ohm + 1.0 / to_earth) + at_end + earth
    return volts / (1.0 + ohm / across), 1.0 / (1.0 / ohm + 1.0 / across)
