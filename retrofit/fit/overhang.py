"""What hangs on each stub between port and sender, and the arm that its root stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import user_error
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Thread
from retrofit.fit.adapters import Chain
from retrofit.fit.verdict import ASSUMED, FitCheck, Verdict

SHAKE = 100.0
"""Acceleration of a sender on a running engine [m/s²], ten times gravity (assumed)."""

BRASS_FATIGUE = 20e6
"""Stress that a brass thread's root stands for good [Pa], its notch counted (assumed)."""

SENDER_BORE = 0.5
"""Bore of a sender's own stub over its root diameter (assumed)."""

SMALL_BODY = 40e-3
"""Length outside its thread up to which a sender is taken to be small [m] (assumed): to take half
of what a 1/8 stub stands it would have to be solid brass 30 mm thick."""

SMALL_THREAD = 13e-3
"""Major diameter from which a sender is taken to be a large one [m]: 1/4 pipe threads and up
(assumed)."""


@dataclass(frozen=True)
class Overhang:
    """What hangs on the weakest stub.

    Attributes
    ----------
    mass : float
        Of all that stands off rigidly beyond that stub [kg].
    arm : float
        Its centre of mass from the face that the stub goes into [m].
    allowed : float
        Longest arm for that mass on this stub [m].
    joint : int
        Which stub, counted from the port.
    male, female : Thread or None
        Of that stub and of what it goes into; None where nothing hangs.
    """

    mass: float
    arm: float
    allowed: float
    joint: int = 0
    male: Thread | None = None
    female: Thread | None = None


def section_modulus(root: float, bore: float) -> float:
    """Return the section modulus of a tube, π/32·(d³ − b⁴/d) [m³].

    Parameters
    ----------
    root, bore : float
        Diameters outside and inside [m], the bore below the root.

    Examples
    --------
    >>> round(section_modulus(8.481e-3, 5e-3) * 1e9, 1)
    52.7
    """
    return math.pi / 32.0 * (root**3 - bore**4 / root)


def overhang(
    chain: Chain, sender_mass: float, sender_length: float, extra: float = 0.0
) -> Overhang:
    """Return what hangs on the weakest stub, and the arm that it stands.

    The root of each male in the chain bends under all that lies beyond it: stress = m·a·arm/W,
    with W of its root diameter halfway between the limits and its bore; a is `SHAKE`, the stress at
    most `BRASS_FATIGUE`, both assumed. The weakest is that with the highest stress.

    Parameters
    ----------
    chain : Chain
        Pieces from the port.
    sender_mass, sender_length : float
        Of the sender outside its thread [kg], [m], above 0; a sender beyond a hose is left out.
    extra : float
        Mass of what else hangs at the end of a tee [kg], 0 or more; without a tee left out.

    Returns
    -------
    Overhang
        [kg], [m].

    Raises
    ------
    UserError
        For a mass or length that is not above zero.

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_overhang.py``.
    """
    sizes = (sender_mass, sender_length)
    if not all(math.isfinite(each) and each > 0.0 for each in sizes) or not extra >= 0.0:
        raise user_error("overhang.sizes")
    hanging: list[tuple[float, float]] = []
    stubs: list[tuple[float, Thread, Thread, float | None]] = []
    along, into = 0.0, chain.port
    for piece in chain.pieces:
        if piece.kind == "hose":
            break
        stubs.append((along, piece.male, into, piece.bore))
        hanging.append((piece.mass, along + piece.added / 2.0))
        along, into = along + piece.added, piece.female
        if piece.kind == "tee" and extra:
            hanging.append((extra, along))
            extra = 0.0
    else:
        stubs.append((along, chain.sender, into, None))
        hanging.append((sender_mass, along + sender_length / 2.0))
    found = [_at(number, stub, hanging) for number, stub in enumerate(stubs)]
    return max(found, key=lambda one: one.arm / one.allowed, default=Overhang(0.0, 0.0, math.inf))


def _at(
    number: int,
    stub: tuple[float, Thread, Thread, float | None],
    hanging: list[tuple[float, float]],
) -> Overhang:
    face, male, female, bore = stub
    beyond = [(mass, at - face) for mass, at in hanging if at > face]
    total = sum(mass for mass, _ in beyond)
    arm = sum(mass * at for mass, at in beyond) / total
    if male.male is None:
        raise user_error("thread_fit.no_male", name=male.designation)
    root = male.male.minor.middle
    modulus = section_modulus(root, SENDER_BORE * root if bore is None else bore)
    allowed = BRASS_FATIGUE * modulus / (SHAKE * total)
    return Overhang(total, arm, allowed, number, male, female)


def overhang_check(hangs: Overhang, supported: bool) -> FitCheck:
    """Return the verdict on an overhang: good up to half the arm allowed, or on a bracket.

    Parameters
    ----------
    hangs : Overhang
        From `overhang`; something must hang.
    supported : bool
        Whether a bracket on the same casting holds it.
    """
    number, limit = SiValue(hangs.arm, Kind.LENGTH), SiValue(hangs.allowed, Kind.LENGTH)
    male, female = hangs.male, hangs.female
    says = message(
        "overhang.is",
        grams=round(hangs.mass * 1e3),
        arm=number,
        male="" if male is None else male.designation,
        female="" if female is None else female.designation,
    )
    verdict: Verdict
    if supported:
        verdict, key = "good", "overhang.bracket"
    elif hangs.arm <= hangs.allowed / 2.0:
        verdict, key = "good", "overhang.little"
    elif hangs.arm <= hangs.allowed:
        verdict, key = "caution", "overhang.support"
    else:
        verdict, key = "stop", "overhang.breaks"
    why = message(key, limit=limit)
    return FitCheck("overhang", verdict, says, why, number, limit, ASSUMED, "adapters")


def unweighed_check(
    chain: Chain, body_length: float | None, quantity: str, supported: bool
) -> FitCheck | None:
    """Return that a sender has to be weighed; None where a small one in one piece goes straight in.

    Asked behind any rigid piece, and straight in where the body is longer than `SMALL_BODY`, or,
    with its length unknown too, where it senses pressure (a canister) or has a large thread.

    Parameters
    ----------
    chain : Chain
        Pieces from the port.
    body_length : float or None
        Of the sender outside its thread [m]; None where nobody measured.
    quantity : str
        What is read.
    supported : bool
        Whether a bracket on the same casting holds it.
    """
    if supported or (chain.remote and not chain.stands_off):
        return None
    if not chain.pieces:
        male = chain.sender.male
        large = male is not None and male.major.basic >= SMALL_THREAD
        asked = quantity == "pressure" or large if body_length is None else body_length > SMALL_BODY
        if not asked:
            return None
    key = "overhang.unknown_chain" if chain.pieces else "overhang.unknown"
    says, why = message(key), message("overhang.weigh")
    return FitCheck("overhang", "unknown", says, why, basis=ASSUMED, field="body_mass")
