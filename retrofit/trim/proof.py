"""The proof that no resistors can mend a pairing, in a sentence, and what would mend it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.reading import Needle
from retrofit.terminals import SourceOhms
from retrofit.trim.laws import Law, Refusal, Targets, refusal
from retrofit.trim.pull_up import PullUp, pull_up_for

ALIKE = 1.1
"""Ratio of the ratios of two curves up to which they count as equally steep (assumed)."""


@dataclass(frozen=True, eq=False)
class Right:
    """Which shown values count as right.

    Attributes
    ----------
    at : array, shape (N,)
        True values [SI].
    least, most : array, shape (N,)
        Least and largest value shown that counts as right there [SI].
    """

    at: Array
    least: Array
    most: Array


def targets(needle: Needle, earth: float, right: Right) -> Targets:
    """Return what the dial takes as right, as ohms between the gauge's signal and earth.

    Parameters
    ----------
    needle : Needle
        The two curves, in ohms, and what the dial sees of the sender with no trim, at the supply
        to judge at; its first supply counts.
    earth : float
        Ohms of the sender's earth path that are in it [Ω].
    right : Right
        Values and the shown values that count as right there, shape (N,) [SI].

    Returns
    -------
    Targets
        Each of shape (N,) [Ω]; values where the sender's curve is not known are left out. Where
        the dial's law ends before the allowed error does, its box is open to 0 or +inf: a proof
        must not refuse what somebody may yet allow. What either curve may be between its known
        points widens the sender's ohms and the dial's boxes.
    """
    sender, dial = needle.sender, needle.dial
    known = (right.at >= sender.low) & (right.at <= sender.high)
    at = right.at[known]
    kin = list(needle.kin())
    ohms = np.array([sender.output(at), *(one.output(at) for one, _ in kin)])
    boxes = [_box(each, needle, earth, right, known) for each in (dial, *(one for _, one in kin))]
    wants = boxes[0][0]
    low = np.min([one for _, one, _ in boxes], axis=0)
    high = np.max([one for _, _, one in boxes], axis=0)
    unsure = ohms.min(axis=0), ohms.max(axis=0)
    return Targets(at, ohms[0], wants, low, high, *unsure, guessed=bool(kin))


def _box(
    dial: Characteristic, needle: Needle, earth: float, right: Right, known: NDArray[np.bool_]
) -> tuple[Array, Array, Array]:
    """Return the wanted ohms and the box of allowed ones at each value, for one dial [Ω]."""
    back = needle.apparent.law.inverse()

    def path(value: Array) -> Array:
        return np.asarray(back(dial.output(value))[0] + earth)

    least, most = right.least[known], right.most[known]
    with np.errstate(invalid="ignore", divide="ignore"):
        wants = path(right.at[known])
        ends = (least, most) if dial.rising else (most, least)
        low, high = path(ends[0]), path(ends[1])
    # Past the pole of a law the ohms come back from the other side.
    low = np.where((low <= wants) & (low >= 0.0), low, 0.0)
    high = np.where(high >= wants, high, np.inf)
    gone = ~(wants >= 0.0)  # the dial is nowhere right here for any resistance
    return np.where(gone, np.nan, wants), low, high


class Turning(Enum):
    """How the sender of a pairing may be turned round, where direction forbids a trim."""

    CONTACT = "contact"
    INSULATED = "insulated"
    UNKNOWN = "unknown"
    EARTHED = "earthed"


@dataclass(frozen=True)
class Surroundings:
    """What decides which cures may be named.

    Attributes
    ----------
    kind : Kind
        Of the value that is read.
    fuel : bool
        Whether it is fuel, or may be: then no live feed to the sender is ever named.
    turning : Turning
        Whether the sender is insulated from earth, or a mere contact.
    source : SourceOhms or None
        The gauge at its signal terminal; None where it is not known.
    volts : float
        Highest supply of the gauge [V].
    """

    kind: Kind
    fuel: bool
    turning: Turning
    source: SourceOhms | None
    volts: float


@dataclass(frozen=True)
class ProofOfNo:
    """That no resistors between gauge, earth and sender keep the needle within its errors.

    Attributes
    ----------
    refusal : Refusal
        The pair of values and the law that forbids it, with the numbers.
    says : Message
        That in a sentence.
    shifted : Message or None
        That both curves are equally steep and shifted, where they are.
    cures : tuple of Message
        What would mend it, the least work first.
    pull_up : PullUp or None
        The pull-up that would bring both ends of the range right, where one does; the values
        between and its current still have to be looked at.
    """

    refusal: Refusal
    says: Message
    shifted: Message | None
    cures: tuple[Message, ...]
    pull_up: PullUp | None


def proof_of_no(wanted: Targets, around: Surroundings) -> ProofOfNo | None:
    """Return the proof that no resistors in the sender's path can do it, None without one.

    Parameters
    ----------
    wanted : Targets
        What the dial takes as right at each value.
    around : Surroundings
        What decides which cures are named.

    Notes
    -----
    None is no promise that resistors can do it; see `retrofit.trim.laws.refusal`. Tests:
    ``tests/trim/test_proof.py``.
    """
    found = refusal(wanted)
    if found is None:
        return None
    up = None if found.law is not Law.SPAN else _widening(wanted, around)
    shifted = None if found.law is Law.DIRECTION else _shifted(wanted)
    cures = _cures(wanted, found, around, up)
    return ProofOfNo(found, _sentence(wanted, found, around.kind), shifted, cures, up)


def unproven(wanted: Targets, kind: Kind) -> Message | None:
    """Return what to measure where the likeliest shapes forbid any resistors, but not all do.

    Parameters
    ----------
    wanted : Targets
        As for `proof_of_no`, which found none.
    kind : Kind
        Of the value that is read.

    Returns
    -------
    Message or None
        None where even the likeliest shapes forbid nothing, or nothing is unsure.
    """
    likeliest = refusal(replace(wanted, least=None, most=None))
    if likeliest is None:
        return None
    pair = (likeliest.first, likeliest.second)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.nan_to_num(wanted.highest / wanted.lowest, nan=1.0, posinf=1.0)
    n = max(pair, key=lambda one: float(ratio[one]))
    if not wanted.unsure(n):
        return None
    low, high = _ohms(wanted.lowest[n]), _ohms(wanted.highest[n])
    return message("trims.unproven", at=SiValue(float(wanted.at[n]), kind), low=low, high=high)


def _ohms(value: float) -> SiValue:
    return SiValue(float(value), Kind.RESISTANCE)


def _sentence(wanted: Targets, found: Refusal, kind: Kind) -> Message:
    one, two = found.first, found.second
    ends = {
        "at_one": SiValue(float(wanted.at[one]), kind),
        "at_two": SiValue(float(wanted.at[two]), kind),
    }
    if found.law is Law.SPAN:
        key = "law.span.unsure" if wanted.guessed else "law.span"
        return message(key, needs=_ohms(found.needs), gives=_ohms(found.gives), **ends)
    if found.law is Law.DIRECTION:
        return message(
            "law.direction",
            sender_one=_ohms(wanted.ohms[one]),
            sender_two=_ohms(wanted.ohms[two]),
            dial_one=_ohms(wanted.low[one]),
            dial_two=_ohms(wanted.high[two]),
            **ends,
        )
    told = {
        "edge": _ohms(found.edge),
        "takes": _ohms(wanted.high[one]),
        "other": _ohms(wanted.low[two]),
        **ends,
    }
    if wanted.guessed:
        return message("law.conductance.unsure", **told)
    return message("law.conductance", sender=_ohms(wanted.ohms[one]), **told)


def _shifted(wanted: Targets) -> Message | None:
    least, most = wanted.ratios()
    # NaN compares false: with no ratio known nothing is said.
    if not most <= ALIKE * least or least <= 1.0 <= most:
        return None
    return message("law.shifted", least=round(least, 3), most=round(most, 3))


def _widening(wanted: Targets, around: Surroundings) -> PullUp | None:
    """Return the pull-up that brings both ends of the range into their boxes, None without."""
    one, two = int(np.argmin(wanted.ohms)), int(np.argmax(wanted.ohms))
    sender = float(wanted.ohms[one]), float(wanted.ohms[two])
    target = float(wanted.wants[one]), float(wanted.wants[two])
    finite = sender[1] < math.inf and 0.0 <= target[0] < target[1] < math.inf
    if around.source is None or not finite or sender[0] >= sender[1]:
        return None
    up = pull_up_for(around.source, sender, target)
    if up is None or sender[1] >= up.open_beyond:
        return None
    seen = up.law(np.array(sender))[0]
    slack = 1e-9 * np.abs(seen)
    low, high = wanted.low[[one, two]], wanted.high[[one, two]]
    return up if bool(np.all((seen >= low - slack) & (seen <= high + slack))) else None


def _cures(
    wanted: Targets, found: Refusal, around: Surroundings, up: PullUp | None
) -> tuple[Message, ...]:
    one, two = found.first, found.second
    cures: list[Message] = []
    if found.law is Law.DIRECTION:
        cures += _turnings(around)
    elif found.law is Law.SPAN:
        cures.append(_pull_up_cure(wanted, around, up))
    cures.append(
        message(
            "law.cure.sender",
            one=_ohms(wanted.wants[one]),
            two=_ohms(wanted.wants[two]),
            at_one=SiValue(float(wanted.at[one]), around.kind),
            at_two=SiValue(float(wanted.at[two]), around.kind),
        )
    )
    if around.turning is not Turning.CONTACT:
        cures += [message("law.cure.converter"), message("law.cure.redraw")]
    return tuple(cures)


def _turnings(around: Surroundings) -> list[Message]:
    if around.turning is Turning.CONTACT:
        return [message("law.cure.changeover")]
    cures = [message("law.cure.mirror")]
    if around.fuel:
        cures.append(message("law.cure.no_live_feed"))
    elif around.turning is not Turning.EARTHED:
        key = "insulated" if around.turning is Turning.INSULATED else "if_insulated"
        cures.append(message(f"law.cure.{key}"))
    return cures


def _pull_up_cure(wanted: Targets, around: Surroundings, up: PullUp | None) -> Message:
    if around.source is None:
        return message("law.cure.pull_up_unknown")
    if up is None:
        return message("law.cure.no_pull_up")
    low = float(np.min(wanted.ohms))
    before = around.source.share * around.volts / (around.source.ohm + low)
    after = up.sender_amps(low, around.volts)
    key = "law.cure.pull_up_fuel" if around.fuel else "law.cure.pull_up"
    return message(
        key,
        ohm=_ohms(up.ohm),
        series=message("law.cure.with_series", ohm=_ohms(up.series))
        if up.series > 0.0
        else message("law.cure.without_series"),
        before=SiValue(before, Kind.CURRENT),
        after=SiValue(after, Kind.CURRENT),
        watts=SiValue(after * after * low, Kind.POWER),
    )
