"""Seal and earth of a joint: what makes it tight, and what that does to a body return."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from catalog.errors import user_error
from catalog.fittings.seals import JointKind, joint_earths
from catalog.message import Message, SiValue, message
from catalog.provenance import Basis, BasisKind
from catalog.quantities.kinds import Kind
from retrofit.fit.thread_fit import ThreadFit
from retrofit.fit.verdict import ASSUMED, COMMON, FitCheck, Verdict

System = Literal["earth return", "isolated", "unknown"]
"""How the installation returns current: through the engine, or by a wire of its own."""

SenderReturn = Literal["body", "insulated", "either", "unknown"]

IN_THREAD: tuple[JointKind, ...] = ("compound", "tape")
"""Seals that lie between the flanks, where the earth should run."""


AT_FACE: tuple[JointKind, ...] = ("bonded washer", "crush washer", "O-ring face")
"""Seals of a parallel thread, at its face."""


def right_seals(fit: ThreadFit) -> tuple[JointKind, ...]:
    """Return the seals that can make a pair tight; empty where it does not go.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> from retrofit.fit.thread_fit import thread_fit
    >>> right_seals(thread_fit(thread("npt-1-8"), thread("npt-1-8")))
    ('compound', 'tape')
    """
    if not fit.goes:
        return ()
    return IN_THREAD if fit.outcome == "goes with seal" else AT_FACE


def seal_check(fit: ThreadFit, seal: JointKind | None) -> FitCheck:
    """Return whether a seal makes a pair of threads tight.

    A taper pair seals in its flanks with compound or tape; a parallel one at its face, by a
    bonded washer, a crush washer or an O-ring: its thread seals nothing (ISO 7-1 and ISO 228-1
    tell the two apart by this).

    Parameters
    ----------
    fit : ThreadFit
        The pair.
    seal : str or None
        What seals it; None where nobody said.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> from retrofit.fit.thread_fit import thread_fit
    >>> seal_check(thread_fit(thread("g-1-8"), thread("g-1-8")), "tape").verdict
    'stop'
    """
    pair = {"male": fit.male.designation, "female": fit.female.designation}
    if not fit.goes:
        says, why = message("seal.no_pair", **pair), message("seal.no_seal")
        return FitCheck("seal", "stop", says, why, field="thread")
    taper = fit.outcome == "goes with seal"
    basis = Basis(BasisKind.PUBLISHED, "scope of ISO 7-1 and ISO 228-1, public excerpts")
    why = message("seal.in_thread" if taper else "seal.at_face")
    if seal is None:
        return FitCheck("seal", "unknown", message("seal.unsaid", **pair), why, field="seal")
    says = message("seal.is", seal=message(f"seal.{_word(seal)}"), **pair)
    verdict: Verdict = "good" if seal in right_seals(fit) else "stop"
    return FitCheck("seal", verdict, says, why, basis=basis, field="seal")


def _word(seal: JointKind) -> str:
    return seal.replace(" ", "_").replace("-", "_").lower()


def joint_ohms(joints: Iterable[JointKind]) -> tuple[float, float]:
    """Return what joints in line add to the earth, least and most [Ω].

    Parameters
    ----------
    joints : iterable of str
        One for each joint between the sender's body and the engine.

    Returns
    -------
    pair of float
        [Ω], assumed ranges summed; inf where a hose breaks the earth.

    Examples
    --------
    >>> joint_ohms(["crush washer", "tape"])
    (0.0, 10.02)
    """
    found = [joint_earths()[joint] for joint in joints]
    return sum(each.low for each in found), sum(each.high for each in found)


@dataclass(frozen=True)
class BodyEarth:
    """The sender's way to earth through its body.

    Attributes
    ----------
    joints : tuple of str
        Joints between its body and the engine.
    current : float or None
        Through the sender at the value that is judged [A].
    allowed : float or None
        Ohms that the needle allows there [Ω]; None where nobody can tell.
    measured_drop : float or None
        Volts read between body and battery negative under that load [V].
    lead : bool
        Whether a lead of its own runs from the body to earth.
    """

    joints: tuple[JointKind, ...]
    current: float | None = None
    allowed: float | None = None
    measured_drop: float | None = None
    lead: bool = False


def earth_check(earth: BodyEarth) -> FitCheck:
    """Return whether the body's way to earth is good enough for this needle.

    Measured: volts under load over the current. Unmeasured: the assumed range of the joints. An
    ohmmeter without load shows a clean reading on a joint that fails under current.

    Parameters
    ----------
    earth : BodyEarth
        Joints, current, allowed ohms, and what was measured.

    Returns
    -------
    FitCheck
        `number` and `limit` [Ω]; "unknown" where nothing allowed is known, where the assumed range
        straddles it, or where a joint may insulate in full (paste, tape), and nobody measured.

    Raises
    ------
    UserError
        For a drop measured without a current above zero, or a drop below zero.
    """
    limit = None if earth.allowed is None else SiValue(earth.allowed, Kind.RESISTANCE)
    if earth.measured_drop is not None:
        return _measured(earth, limit)
    low, high = joint_ohms(earth.joints)
    if earth.lead:
        says, why = message("fit_earth.lead"), message("fit_earth.prove_lead")
        return FitCheck("fit earth", "unknown", says, why, None, limit, COMMON, "earth_lead")
    if math.isinf(low):
        says, why = message("fit_earth.hose"), message("fit_earth.broken")
        return FitCheck("fit earth", "stop", says, why, None, limit, COMMON, "earth_lead")
    verdict: Verdict
    if earth.allowed is None:
        verdict, why = "unknown", message("fit_earth.nothing_allowed")
    elif low > earth.allowed:
        verdict, why = "stop", message("fit_earth.add_lead", limit=_ohms(earth.allowed))
    elif high <= earth.allowed and not _may_insulate(earth.joints):
        verdict, why = "good", message("fit_earth.enough", limit=_ohms(earth.allowed))
    else:
        verdict, why = "unknown", _to_measure(earth, earth.allowed)
    says = _range(earth, low, high)
    return FitCheck("fit earth", verdict, says, why, _ohms(high), limit, ASSUMED, "earth_lead")


def _may_insulate(joints: Iterable[JointKind]) -> bool:
    return any(joint_earths()[joint].may_insulate for joint in joints)


def _range(earth: BodyEarth, low: float, high: float) -> Message:
    """Return what the joints add, with the volts that it costs where the current is known."""
    ends = {"low": _ohms(low), "high": _ohms(high)}
    if _may_insulate(earth.joints):
        return message("fit_earth.may_insulate", **ends)
    if earth.current is None:
        return message("fit_earth.range_alone", **ends)
    return message("fit_earth.range", drop=SiValue(earth.current * high, Kind.VOLTAGE), **ends)


def _to_measure(earth: BodyEarth, allowed: float) -> Message:
    """Return the measurement that settles it, and from how many volts the needle is off."""
    if earth.current is None:
        return message("fit_earth.measure", limit=_ohms(allowed))
    drop = SiValue(earth.current * allowed, Kind.VOLTAGE)
    current = SiValue(earth.current, Kind.CURRENT)
    return message("fit_earth.measure_drop", limit=_ohms(allowed), current=current, drop=drop)


def _measured(earth: BodyEarth, limit: SiValue | None) -> FitCheck:
    drop = earth.measured_drop
    current = earth.current
    if drop is None or current is None or not current > 0.0 or not drop >= 0.0:
        raise user_error("fit_earth.no_current")
    ohms = drop / current
    says = message(
        "fit_earth.measured",
        drop=SiValue(drop, Kind.VOLTAGE),
        current=SiValue(current, Kind.CURRENT),
        ohm=_ohms(ohms),
    )
    basis = Basis(BasisKind.MEASURED)
    verdict: Verdict
    if earth.allowed is None:
        verdict, why = "unknown", message("fit_earth.nothing_allowed")
    elif ohms <= earth.allowed:
        verdict, why = "good", message("fit_earth.enough", limit=_ohms(earth.allowed))
    else:
        verdict, why = "stop", message("fit_earth.add_lead", limit=_ohms(earth.allowed))
    return FitCheck("fit earth", verdict, says, why, _ohms(ohms), limit, basis, "earth_lead")


def _ohms(value: float) -> SiValue:
    return SiValue(value, Kind.RESISTANCE)


def return_check(terminals: int | None, earth_return: SenderReturn, system: System) -> FitCheck:
    """Return whether a sender's return suits the installation.

    On a system whose engine is isolated from the negative, a sender with one terminal has no
    return: it is refused. One with two terminals and an insulated body suits both systems.

    Parameters
    ----------
    terminals : int or None
        Terminals besides the body: 1, 2, or more; None where unknown.
    earth_return : str
        What the sender's maker made of its body: "body", "insulated", "either", "unknown".
    system : str
        "earth return", "isolated" or "unknown".

    Examples
    --------
    >>> return_check(1, "body", "isolated").verdict
    'stop'
    >>> return_check(2, "insulated", "isolated").verdict
    'good'
    """
    kind = earth_return
    if kind == "unknown" and terminals == 1:
        kind = "body"  # one terminal leaves no other way
    if system == "unknown" or kind == "unknown":
        key = "return.system" if system == "unknown" else "return.sender"
        return FitCheck(
            "return", "unknown", message(key), message(f"{key}_how"), basis=COMMON, field="return"
        )
    verdict: Verdict
    if terminals == 1 and kind != "body":
        verdict, key = "unknown", "return.contradiction"
    elif system == "isolated" and kind == "body":
        verdict, key = "stop", "return.earths_isolated"
    elif kind == "body":
        verdict, key = "good", "return.needs_metal"
    else:
        verdict, key = "good", "return.by_wire"
    why = message(f"{key}_how")
    return FitCheck("return", verdict, message(key), why, basis=COMMON, field="return")


def contact_check(earth_return: SenderReturn, seals: Iterable[JointKind], lead: bool) -> FitCheck:
    """Return whether a body return keeps metal contact through the seals of its joints.

    Parameters
    ----------
    earth_return : str
        The sender's return.
    seals : iterable of str
        Seal of each joint up to the engine.
    lead : bool
        Whether a lead of its own earths the body.

    Examples
    --------
    >>> contact_check("body", ["tape"], lead=False).verdict
    'caution'
    """
    found = tuple(seals)
    if earth_return == "unknown":
        return FitCheck(
            "seal contact",
            "unknown",
            message("return.sender"),
            message("return.sender_how"),
            basis=COMMON,
            field="return",
        )
    low, high = joint_ohms(found)
    span = {"low": _ohms(low), "high": _ohms(high)}
    verdict: Verdict
    if earth_return == "insulated" or (earth_return == "either" and lead):
        verdict, key = "good", "contact.not_needed"
    elif lead:
        verdict, key = "good", "contact.by_lead"
    elif "hose" in found:
        verdict, key = "stop", "contact.hose"
    elif any(seal in IN_THREAD for seal in found):
        verdict, key = "caution", "contact.in_thread"
    else:
        verdict, key = "good", "contact.metal"
    return FitCheck(
        "seal contact",
        verdict,
        message(key, **span),
        message(f"{key}_how", **span),
        None if math.isinf(high) else _ohms(high),
        None,
        ASSUMED,
        "earth_lead",
    )
