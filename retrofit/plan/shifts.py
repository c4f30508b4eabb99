"""How far one thing moves the needle: the reading with it less the reading without it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.installation import Installation, Load, Path
from retrofit.installation.sharing import SharedEarth
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.stages import POINTS, needle_of
from retrofit.terminals import within_readings
from retrofit.wired import AS_STATED, Circumstances

_PROBE = 0.01
"""Ohms of the strap through which a known earth offset is put in [Ω]; the offset alone counts."""


@dataclass(frozen=True, eq=False)
class Moves:
    """What is shown without something and with it, over the range and at the marks.

    Attributes
    ----------
    x : array, shape (POINTS + marks,)
        True values [SI].
    before, after : array, shape (POINTS + marks,)
        Shown values without it and with it [SI]; NaN where nobody can tell.
    on : tuple of str
        Elements that are switched on in `after`.
    """

    x: Array
    before: Array
    after: Array
    on: tuple[str, ...] = ()

    @property
    def size(self) -> Array:
        """How far the needle moves, with its sign, shape (POINTS + marks,) [SI difference]."""
        return np.asarray(self.after - self.before)


@dataclass(frozen=True)
class Moved:
    """The same at one value.

    Attributes
    ----------
    at : float
        True value [SI].
    before, after : float
        Shown without it and with it [SI].
    on : tuple of str
        Elements that are switched on in `after`.
    """

    at: float
    before: float
    after: float
    on: tuple[str, ...] = ()


def true_values(duty: Duty) -> Array:
    """Return the values at which moves are told, shape (POINTS + marks,) [SI]."""
    marks = [mark.at.si(duty.kind) for mark in duty.marks]
    return np.concatenate([np.linspace(*duty.span, POINTS), np.array(marks, dtype=float)])


def along(pairing: Pairing, duty: Duty, at: Circumstances = AS_STATED) -> Array:
    """Return what is shown over the range and at the marks.

    Parameters
    ----------
    pairing : Pairing
        The pairing at its nominal supply.
    duty : Duty
        Its range, at `POINTS` equal steps, and behind that its marks.
    at : mapping, optional
        Circumstances that differ from what the plan states.

    Returns
    -------
    array, shape (POINTS + marks,)
        Shown values [SI], held by the stops; NaN where nobody can tell.
    """
    x, needle = true_values(duty), needle_of(pairing, at)
    return np.full_like(x, np.nan) if isinstance(needle, Message) else needle.shown(x)[0]


def installed(pairing: Pairing, installation: Installation) -> Pairing:
    """Return a pairing on another installation."""
    return replace(pairing, installation=installation)


def hardest_at(duty: Duty, moves: Array) -> tuple[int, float] | None:
    """Return where a move takes the largest share of what is allowed, and what is allowed there.

    Parameters
    ----------
    duty : Duty
        Its allowed errors.
    moves : array, shape (POINTS + marks,)
        Moves of the needle over the range, then at the marks [SI difference], signed.

    Returns
    -------
    (int, float) or None
        Which of the values [1], and [SI difference]; None where no move is known, or nobody said
        how large an error is allowed over the range or at a mark.
    """
    limits = [duty.allowed_at(None)] * POINTS
    limits += [duty.allowed_at(mark) for mark in duty.marks]
    told = [
        (n, allowed)
        for n, (move, allowed) in enumerate(zip(moves.tolist(), limits, strict=True))
        if allowed is not None and not math.isnan(move)
    ]
    return max(told, key=lambda one: abs(moves[one[0]]) / one[1], default=None)


def hardest_move(duty: Duty, moves: Array) -> tuple[float, float] | None:
    """Return the move that takes the largest share of what is allowed, and what is allowed.

    Parameters
    ----------
    duty : Duty
        Its allowed errors.
    moves : array, shape (POINTS + marks,)
        Moves of the needle over the range, then at the marks [SI difference], signed.

    Returns
    -------
    (float, float) or None
        [SI difference]; None as there.
    """
    found = hardest_at(duty, moves)
    return None if found is None else (float(moves[found[0]]), found[1])


@staged
def earth_moves(pairing: Pairing, duty: Duty, path: Figure) -> Moves:
    """Return how far ohms in the sender's earth path move the needle.

    Parameters
    ----------
    pairing : Pairing
        The pairing; its own earth path does not count.
    duty : Duty
        Its range and marks, as in `along`.
    path : Figure
        Ohms in the path.

    Returns
    -------
    Moves
        Without and with them, stops counted; NaN where nobody can tell a reading.
    """
    without = replace(pairing.installation, sender_earth=None, sender_earth_reversed=None)
    bare = installed(pairing, without)
    worse = installed(pairing, replace(without, sender_earth=path))
    return Moves(true_values(duty), along(bare, duty), along(worse, duty))


@staged
def wire_moves(pairing: Pairing, duty: Duty) -> Moves:
    """Return how far the wires and joints move the needle, the sender's own earth left out.

    Parameters
    ----------
    pairing : Pairing
        The pairing; its loads do not count.
    duty : Duty
        Its range and marks, as in `along`.

    Returns
    -------
    Moves
        Without and with them; NaN where nobody can tell a reading.
    """
    there = replace(pairing.installation, loads=())
    ideal = replace(
        there,
        shared_feed=Path(),
        feed=Path(),
        signal=Path(),
        engine_earth=Path(),
        gauge_earth=Path(),
    )
    before, after = (along(installed(pairing, one), duty) for one in (ideal, there))
    return Moves(true_values(duty), before, after)


def load_moves(pairing: Pairing, duty: Duty, *names: str) -> Moves:
    """Return how far loads, or the warning lamp, move the needle when they are switched on.

    Parameters
    ----------
    pairing : Pairing
        The pairing; everything else is as at a usual reading.
    duty : Duty
        Its range and marks, as in `along`.
    *names : str
        Names of their elements: `load_name`, or "lamp"; several are switched together.

    Returns
    -------
    Moves
        Without and with them; NaN where nobody can tell a reading.
    """
    on, off = dict.fromkeys(names, 1.0), dict.fromkeys(names, 0.0)
    return Moves(true_values(duty), along(pairing, duty, off), along(pairing, duty, on), names)


def offset_moves(pairing: Pairing, duty: Duty, volts: float, where: SharedEarth) -> Moves:
    """Return how far an offset between an earth and battery negative moves the needle.

    Parameters
    ----------
    pairing : Pairing
        The pairing; its own loads do not count.
    duty : Duty
        Its range and marks, as in `along`.
    volts : float
        By which the earth lies above battery negative [V].
    where : str
        "engine earth" or "gauge earth".

    Returns
    -------
    Moves
        Without and with it; NaN where nobody can tell a reading.
    """
    strap, amperes = Path(measured=Figure(Amount(_PROBE, "Ω"))), Amount(volts / _PROBE, "A")
    load = Load("offset", where, None, Figure(amperes), "always", "no")
    bare = replace(pairing.installation, loads=(), engine_earth=Path(), gauge_earth=Path())
    if where == "engine earth":
        bare = replace(bare, engine_earth=strap)
    else:
        bare = replace(bare, gauge_earth=strap)
    lifted = replace(bare, loads=(load,))
    before, after = (along(installed(pairing, one), duty) for one in (bare, lifted))
    return Moves(true_values(duty), before, after)


@staged
def coil_moves(pairing: Pairing, duty: Duty) -> Array:
    """Return how far the needle may be off because the coils were told by readings.

    Parameters
    ----------
    pairing : Pairing
        The pairing; a ratio gauge that was measured at its terminals.
    duty : Duty
        Its range and marks, as in `along`.

    Returns
    -------
    array, shape (POINTS + marks,)
        Move either way, stops counted [SI difference], 0 where the coils are stated; NaN where
        nobody can tell a reading.
    """
    shown = along(pairing, duty)
    moves: Array = np.where(np.isnan(shown), np.nan, 0.0)
    for gauge in within_readings(pairing.gauge):
        moves = np.maximum(moves, np.abs(along(replace(pairing, gauge=gauge), duty) - shown))
    return moves
