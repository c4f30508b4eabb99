"""The stage of the fit: what becomes of a sender in its port, with chain, seals, earth and place.

Only questions that apply are asked. While nobody named a thread, one check says what to measure;
of the rest only what somebody began to say is judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from catalog.fittings.seals import JointKind, joint_earths
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Thread
from retrofit.fit.adapters import (
    Chain,
    chain_check,
    chain_of,
    lag_check,
    remote_check,
    shortest_chain,
)
from retrofit.fit.engagement import Engagement, engagement
from retrofit.fit.overhang import Overhang, overhang, overhang_check, unweighed_check
from retrofit.fit.panel import panel_depth, panel_hole
from retrofit.fit.seal import (
    BodyEarth,
    System,
    contact_check,
    earth_check,
    return_check,
    right_seals,
    seal_check,
)
from retrofit.fit.thread_fit import ThreadFit, thread_fit
from retrofit.fit.verdict import ASSUMED, COMMON, SEVERITY, FitCheck
from retrofit.plan.allowed_ohms import allowed_ohms
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.fit_document import Fit
from retrofit.plan.fit_places import place_checks
from retrofit.plan.fit_said import Said, said_of, si
from retrofit.plan.fit_switch import switch_checks
from retrofit.plan.loads import loads_of
from retrofit.plan.memo import staged


@dataclass(frozen=True)
class Fitted:
    """What the program found of a sender in its port.

    Attributes
    ----------
    port, sender : Thread or None
        Their threads; None where nobody named them.
    direct : ThreadFit or None
        The sender straight in the port.
    chain : Chain or None
        Pieces chosen, or the shortest; None where a thread is unknown or the stock has no way.
    seals : tuple of (JointKind or None)
        Of each joint from the port outwards; None where nobody said.
    engaged : Engagement or None
        Of the joint in the port; None where it does not go.
    hangs : Overhang or None
        What hangs on the port; None where nobody weighed the sender.
    allowed_earth : float or None
        Ohms in the sender's earth that take all of the allowed error [Ω]; None where nobody can
        tell.
    checks : tuple of FitCheck
        The questions that apply, worst first.
    """

    port: Thread | None
    sender: Thread | None
    direct: ThreadFit | None
    chain: Chain | None
    seals: tuple[JointKind | None, ...]
    engaged: Engagement | None
    hangs: Overhang | None
    allowed_earth: float | None
    checks: tuple[FitCheck, ...]


@staged
def fit_of(pairing: Pairing, duty: Duty) -> Fitted:
    """Return what becomes of a sender in its port.

    Parameters
    ----------
    pairing : Pairing
        Its sender's fitting, its fit and its installation count.
    duty : Duty
        Medium, limits, warning and point.

    Returns
    -------
    Fitted
        Threads and chain None where nobody named a thread; lengths [m], ohms [Ω].
    """
    said = said_of(pairing, duty)
    fit, (port, sender) = said.fit, said.threads
    direct = chain = None
    if port is not None and sender is not None:
        direct = thread_fit(sender, port)
        chain = _chain(fit, port, sender)
    seals = _seals(said, chain)
    first = None if chain is None else chain.joints[0]
    engaged = None if first is None or not first.goes or chain is None else _engaged(said, chain)
    hangs = _hangs(said, chain)
    allowed = allowed_ohms(pairing, duty) if said.begun else None
    found = [*_thread_checks(said, direct, chain, engaged)]
    if chain is not None:
        found += [*_chain_checks(said, chain, hangs), *_seal_checks(said, chain, seals)]
    if said.begun:
        found += _earth_checks(said, chain, seals, allowed)
    found += [*place_checks(said, chain), *switch_checks(said), *_panel_checks(said)]
    found.sort(key=lambda check: SEVERITY.index(check.verdict))
    return Fitted(port, sender, direct, chain, seals, engaged, hangs, allowed, tuple(found))


def _chain(fit: Fit, port: Thread, sender: Thread) -> Chain | None:
    if fit.adapters is not None:
        return chain_of(port, sender, fit.adapters)
    return shortest_chain(port, sender, through=None if fit.through == "none" else fit.through)


def _seals(said: Said, chain: Chain | None) -> tuple[JointKind | None, ...]:
    """Return the seal of each joint: chosen, at the sender its own, else unknown."""
    if chain is None:
        return ()
    chosen: list[JointKind | None] = [None] * len(chain.joints)
    if not _left_over(said, chain):
        for number, seal in enumerate(said.fit.seals[: len(chosen)]):
            chosen[number] = None if seal == "unknown" else seal
    own = said.fitting.seal
    if chosen[-1] is None and own != "unknown":
        chosen[-1] = own
    return tuple(chosen)


def _left_over(said: Said, chain: Chain) -> bool:
    """Return whether seals are said of joints that are not there: another chain was meant."""
    return any(seal != "unknown" for seal in said.fit.seals[len(chain.joints) :])


# --- thread and chain -----------------------------------------------------------------------------


def _thread_checks(
    said: Said, direct: ThreadFit | None, chain: Chain | None, engaged: Engagement | None
) -> Iterator[FitCheck]:
    port, sender = said.threads
    if direct is None or port is None or sender is None:
        missing = "both" if not said.begun else "port" if port is None else "sender"
        field = "port_thread" if missing == "port" else "thread"
        says, why = message(f"fit.thread.{missing}"), message("fit.thread.measure")
        yield FitCheck("thread", "unknown", says, why, basis=COMMON, field=field)
        return
    if chain is None:
        yield direct.check
    else:
        doubtful = [one.check for one in chain.joints if one.check.verdict != "good"]
        yield from doubtful if chain.pieces else (one.check for one in chain.joints)
    yield chain_check(chain, port, sender)
    if engaged is not None:
        yield engaged.check


def _engaged(said: Said, chain: Chain) -> Engagement:
    """Return how many turns hold in the port: of the sender, or of the first adapter."""
    goes_in = said.fit.adapter_thread if chain.pieces else said.fitting.thread_length
    depth = None if said.wall_contradicts else si(said.port.depth, Kind.LENGTH)
    found = engagement(chain.joints[0], si(goes_in, Kind.LENGTH), depth)
    if said.wall_contradicts:
        says, why = message("fit.wall.contradicts"), message("fit.wall.measure")
        return replace(found, check=replace(found.check, says=says, why=why, field="depth"))
    if said.port.depth is None:
        field = "depth"
    else:
        field = "adapter_thread" if chain.pieces else "thread_length"
    return replace(found, check=replace(found.check, field=field))


def _hangs(said: Said, chain: Chain | None) -> Overhang | None:
    grams, length = said.fitting.body_mass_grams, said.fitting.body_length
    if chain is None or grams is None or length is None:
        return None
    beside = said.fit.beside_grams
    if beside is None and any(piece.kind == "tee" for piece in chain.pieces):
        return None
    extra = 0.0 if beside is None else beside * 1e-3
    return overhang(chain, grams * 1e-3, length.si(Kind.LENGTH), extra)


def _chain_checks(said: Said, chain: Chain, hangs: Overhang | None) -> Iterator[FitCheck]:
    lag = lag_check(chain, said.duty.quantity)
    if lag is not None:
        yield lag
    supported = said.fit.supported == "yes"
    if hangs is not None and hangs.mass:
        yield overhang_check(hangs, supported)
    elif hangs is None:
        length = si(said.fitting.body_length, Kind.LENGTH)
        unweighed = unweighed_check(chain, length, said.duty.quantity, supported)
        if unweighed is not None:
            yield unweighed
    remote = remote_check(chain, said.earth_return, said.fit.earth_lead == "yes")
    if remote is not None:
        yield remote


# --- seal and earth -------------------------------------------------------------------------------


def _seal_checks(
    said: Said, chain: Chain, seals: tuple[JointKind | None, ...]
) -> Iterator[FitCheck]:
    """Give the worst of all joints: the others are as good or better."""
    if _left_over(said, chain):
        says, why = message("seal.left_over"), message("seal.left_over_how")
        yield FitCheck("seal", "unknown", says, why, basis=COMMON, field="seal0")
        return
    found = [
        (seal_check(joint, seal), number)
        for number, (joint, seal) in enumerate(zip(chain.joints, seals, strict=True))
        if joint.goes
    ]
    if not found:
        return
    check, number = min(found, key=lambda each: SEVERITY.index(each[0].verdict))
    yield FitCheck(
        check.name, check.verdict, check.says, check.why, basis=check.basis, field=f"seal{number}"
    )


def _believed(chain: Chain, seals: tuple[JointKind | None, ...]) -> tuple[JointKind | None, ...]:
    """Return the seals that can be in their joints: of the others nobody knows what is there."""
    pairs = zip(chain.joints, seals, strict=True)
    return tuple(seal if seal in right_seals(joint) else None for joint, seal in pairs)


def _as_they_may_be(chain: Chain, seals: tuple[JointKind | None, ...]) -> tuple[JointKind, ...]:
    """Return the joints as the earth meets them; an unsaid seal is the worst that fits there."""
    ohms = joint_earths()
    found: list[JointKind] = []
    for joint, seal in zip(chain.joints, seals, strict=True):
        if seal is not None:
            found.append(seal)
            continue
        face: tuple[JointKind, ...] = ("bonded washer", "crush washer", "O-ring face")
        taper: tuple[JointKind, ...] = ("compound", "tape")
        may = taper if joint.outcome == "goes with seal" else face
        found.append(max(may, key=lambda kind: ohms[kind].high))
    found += ["hose" for piece in chain.pieces if piece.kind == "hose"]
    return tuple(found)


def _system(said: Said) -> System:
    if said.fit.isolated == "yes":
        return "isolated"
    known = said.fit.isolated == "no" or said.pairing.installation.supply.earthed != "unknown"
    return "earth return" if known else "unknown"


def _earth_checks(
    said: Said,
    chain: Chain | None,
    seals: tuple[JointKind | None, ...],
    allowed: float | None,
) -> Iterator[FitCheck]:
    sender = said.pairing.sender
    if sender.signal is not Kind.RESISTANCE and said.fitting.switch is None:
        return
    yield return_check(said.fitting.terminals, sender.earth_return, _system(said))
    if chain is None or said.earth_return == "insulated":
        return
    seals = _believed(chain, seals)
    joints, lead = _as_they_may_be(chain, seals), said.fit.earth_lead == "yes"
    measured = said.fit.earth_drop is not None
    unsaid = None in seals and not lead and not measured and "hose" not in joints
    if not unsaid:
        yield contact_check(said.earth_return, joints, lead)
    if said.pairing.installation.sender_earth is None and sender.signal is Kind.RESISTANCE:
        found = _body_earth(said, joints, allowed)
        if unsaid and found.verdict == "good":
            # It would be good with the worst seal that fits there, if that is what will be used.
            says, why = message("fit.earth.unsaid"), message("fit.earth.say_seals")
            field = f"seal{seals.index(None)}"
            found = FitCheck("fit earth", "unknown", says, why, None, found.limit, ASSUMED, field)
        yield found


def _body_earth(said: Said, joints: tuple[JointKind, ...], allowed: float | None) -> FitCheck:
    """Return the check of the body's earth; what was measured in ohms has a check of its own."""
    drop, current = said.fit.earth_drop, said.fit.earth_current
    lead = said.fit.earth_lead == "yes"
    if drop is not None and current is None:
        says, why = message("fit.earth.volts_alone"), message("fit_earth.no_current")
        return FitCheck("fit earth", "unknown", says, why, basis=COMMON, field="earth_current")
    if drop is not None and current is not None:
        amps, volts = current.si(Kind.CURRENT), drop.si(Kind.VOLTAGE)
        return earth_check(BodyEarth(joints, amps, allowed, volts, lead))
    loads = loads_of(said.pairing, said.duty)
    most = None if isinstance(loads, Message) else loads.terminals.amps
    known = most if most is not None and np.isfinite(most) else None
    return earth_check(BodyEarth(joints, known, allowed, None, lead))


# --- panel ----------------------------------------------------------------------------------------


def _panel_checks(said: Said) -> Iterator[FitCheck]:
    panel = said.fit.panel
    if panel.hole is not None or panel.body is not None:
        yield panel_hole(si(panel.body, Kind.LENGTH), si(panel.hole, Kind.LENGTH))
    if panel.room is not None or panel.depth is not None:
        yield panel_depth(si(panel.depth, Kind.LENGTH), si(panel.room, Kind.LENGTH))
