"""How sure a reading is: its worst-case band, its likely band, and what contributes most.

Friction, hysteresis, the width of the needle and the unknown shape of the curves are bands that
are always there; they are added to both.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.message import Message
from catalog.quantities.kinds import Kind
from retrofit.bands.causes import Cause
from retrofit.bands.contributions import Contributions, contributions
from retrofit.bands.corners import worst_case
from retrofit.bands.monte_carlo import Convergence, likely_band
from retrofit.bands.reading_model import Additions, ReadingModel
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import Stops
from retrofit.movements import apparent, second_apparent, supply_known
from retrofit.plan.causes import (
    DIAL,
    LAMP,
    PULL_OFF,
    SENDER,
    SENDER_OHMS,
    SENDER_VALUE,
    SUPPLY,
    causes_of,
    fixed_band,
    second_causes_of,
)
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.lamp_lit import may_be_lit
from retrofit.plan.memo import staged
from retrofit.plan.second_gauge import SecondReading, second_of
from retrofit.plan.shifts import true_values
from retrofit.plan.stages import POINTS, at_terminal, needle_of
from retrofit.reading import Band, Needle
from retrofit.wired import Supplies

_SLOPE_STEP = 1e-4
"""Share of the range over which the slope of the reading curve is taken."""


_UNSEEN = 2e-4
"""Share of the way between the stops below which a move is told as nothing (assumed)."""


def _untold(done: int, total: int) -> None:
    """Tell nobody how far the work is."""
    del done, total


@dataclass(frozen=True)
class Share:
    """What one cause contributes at one mark.

    Attributes
    ----------
    name : str
        The cause.
    share : float
        Its first-order share of the variance [1].
    alone_low, alone_high : float
        Moves of the needle when it alone goes to its limits [SI difference].
    """

    name: str
    share: float
    alone_low: float
    alone_high: float


@dataclass(frozen=True)
class Spread:
    """The worst case of a reading.

    Attributes
    ----------
    low, high : array, shape (POINTS,)
        Lowest and highest reading over the range [SI], everything counted.
    at_marks : Band
        The same at the marks that matter.
    fixed : float
        Friction, hysteresis and needle width in it, either way [SI difference].
    widest : float
        Furthest that the band goes from the curve [SI difference]; NaN where nothing is known.
    causes : tuple of Cause
        What was counted.
    unstated : tuple of Message
        What was not, for nobody stated it.
    searched : tuple of str
        Causes for which corners prove nothing, so that they were searched.
    every_corner : bool
        Whether every corner was tried.
    shares : tuple of tuple of Share
        What contributes at each mark, most first.
    """

    low: Array
    high: Array
    at_marks: Band
    fixed: float
    widest: float
    causes: tuple[Cause, ...]
    unstated: tuple[Message, ...]
    searched: tuple[str, ...]
    every_corner: bool
    shares: tuple[tuple[Share, ...], ...]


@dataclass(frozen=True)
class Likely:
    """The likely band of a reading: 95 % of what may be.

    Attributes
    ----------
    low, high : array, shape (POINTS,)
        Its ends over the range [SI], what is always there included.
    at_marks : Band
        The same at the marks that matter.
    convergence : Convergence
        How stable they are.
    """

    low: Array
    high: Array
    at_marks: Band
    convergence: Convergence


@dataclass(frozen=True)
class _Subject:
    """A needle whose reading is asked for, with what may be off in it."""

    needle: Needle
    circuit: PairingModel
    causes: tuple[Cause, ...]
    unstated: tuple[Message, ...]
    fixed: float

    @property
    def unlit(self) -> _Subject:
        """The same with the warning lamp dark."""
        causes = tuple(one for one in self.causes if one.name != LAMP)
        return replace(self, causes=causes, circuit=self.circuit.of(causes))

    def model(self, duty: Duty) -> ReadingModel:
        """Return the reading as a function of its causes, over the range and at the marks."""
        needle, x = self.needle, true_values(duty)
        known = (x >= needle.sender.low) & (x <= needle.sender.high)
        output = needle.sender.output(np.where(known, x, np.nan))
        slope = _slope(needle, duty, x)
        laws, additions = self.circuit.laws, self.circuit.additions
        return ReadingModel(output, laws, additions, slope, needle.dial, needle.stops)

    def resting(self, duty: Duty) -> _Resting:
        """Return what both bands are put around."""
        x = true_values(duty)
        shown = self.needle.shown(x)[0]
        return _Resting(shown, self.needle.band(x), self.fixed, self.needle.stops)

    def spread(self, duty: Duty) -> Spread:
        """Return the worst case of the reading and what contributes."""
        model, resting = self.model(duty), self.resting(duty)
        worst = worst_case(model, self.causes)
        both = resting.around(worst.low, worst.high)
        parts = contributions(model, self.causes)
        return Spread(
            both.low[:POINTS],
            both.high[:POINTS],
            Band(both.low[POINTS:], both.high[POINTS:]),
            resting.fixed,
            resting.widest(both),
            self.causes,
            self.unstated,
            worst.searched,
            worst.every_corner,
            tuple(self._shares(parts, POINTS + n) for n in range(len(duty.marks))),
        )

    def _shares(self, parts: Contributions, n: int) -> tuple[Share, ...]:
        """Return what contributes at a value, most first, but what nobody could read off."""
        found = [
            Share(
                cause.name,
                float(parts.share[p, n]),
                float(parts.alone_low[p, n]),
                float(parts.alone_high[p, n]),
            )
            for p, cause in enumerate(self.causes)
        ]
        unseen = _UNSEEN * (self.needle.stops.high - self.needle.stops.low)
        told = [one for one in found if max(abs(one.alone_low), abs(one.alone_high)) > unseen]
        return tuple(sorted(told, key=lambda one: -one.share))


@staged
def _subject_of(pairing: Pairing, duty: Duty) -> _Subject | None:
    """Return the gauge's own needle; None where nobody can tell a reading."""
    needle = needle_of(pairing)
    if isinstance(needle, Message):
        return None
    found = causes_of(pairing, duty)
    circuit = PairingModel(pairing, found.counted)
    return _Subject(needle, circuit, found.counted, found.unstated, fixed_band(pairing, duty))


def model_of(pairing: Pairing, duty: Duty) -> ReadingModel | None:
    """Return the reading as a function of its causes, over the range and then at the marks.

    None where nobody can tell a reading.
    """
    subject = _subject_of(pairing, duty)
    return None if subject is None else subject.model(duty)


def _slope(needle: Needle, duty: Duty, x: Array) -> Array:
    """Return the slope of the reading curve, stops ignored, shape (N,) [1]; 0 where not known."""
    low, high = duty.span
    step = _SLOPE_STEP * (high - low)
    above = np.clip(x + step, needle.sender.low, needle.sender.high)
    below = np.clip(x - step, needle.sender.low, needle.sender.high)
    with np.errstate(invalid="ignore", divide="ignore"):
        slope = (needle.continued(above)[0] - needle.continued(below)[0]) / (above - below)
    return np.where(np.isfinite(slope), slope, 0.0)


@staged
def spread_of(pairing: Pairing, duty: Duty) -> Spread | None:
    """Return the worst case of a reading and what contributes; None where nobody can tell one.

    Where the warning lamp is dark for certain it is no cause.
    """
    subject = _subject_of(pairing, duty)
    if subject is None:
        return None
    whole, dark = subject.spread(duty), _dark_of(pairing, duty)
    return whole if dark is None else _without_lamp(whole, subject, dark, duty)


@staged
def second_spread_of(pairing: Pairing, duty: Duty) -> Spread | None:
    """Return the same for what the second gauge shows; None without one."""
    second, found = pairing.installation.second, second_of(pairing, duty)
    if second is None or not isinstance(found, SecondReading):
        return None
    causes = second_causes_of(pairing, duty)
    circuit = PairingModel(pairing, causes, second=True)
    fixed = fixed_band(replace(pairing, gauge=second.gauge), duty)
    unstated = causes_of(pairing, duty).unstated
    return _Subject(found.needle, circuit, causes, unstated, fixed).spread(duty)


@staged
def likely_of(
    pairing: Pairing, duty: Duty, *, progress: Callable[[int, int], None] = _untold
) -> Likely | None:
    """Return the likely band of a reading; None where nobody can tell one. It takes a while.

    `progress` is told after each block how many draws are made and how many it may take; an
    error that it raises ends the work, and nothing is remembered.
    """
    subject = _subject_of(pairing, duty)
    if subject is None:
        return None
    found = likely_band(subject.model(duty), subject.causes, progress=progress)
    low, high, dark = found.low, found.high, _dark_of(pairing, duty)
    if dark is not None:
        unlit = subject.unlit
        other = likely_band(unlit.model(duty), unlit.causes, progress=progress)
        low, high = np.where(dark, other.low, low), np.where(dark, other.high, high)
    both = subject.resting(duty).around(low, high)
    at_marks = Band(both.low[POINTS:], both.high[POINTS:])
    return Likely(both.low[:POINTS], both.high[:POINTS], at_marks, found.convergence)


def _dark_of(pairing: Pairing, duty: Duty) -> NDArray[np.bool_] | None:
    """Return where the warning lamp is dark for certain, shape (POINTS + marks,); None: nowhere."""
    if LAMP not in [one.name for one in causes_of(pairing, duty).counted]:
        return None
    dark = ~may_be_lit(pairing, duty.kind, true_values(duty))
    return dark if bool(np.any(dark)) else None


def _without_lamp(whole: Spread, subject: _Subject, dark: NDArray[np.bool_], duty: Duty) -> Spread:
    """Return a worst case that counts the lamp only where it may be lit."""
    unlit = subject.unlit.spread(duty)
    over, at = dark[:POINTS], dark[POINTS:]
    low, high = np.where(over, unlit.low, whole.low), np.where(over, unlit.high, whole.high)
    marks = Band(
        np.where(at, unlit.at_marks.low, whole.at_marks.low),
        np.where(at, unlit.at_marks.high, whole.at_marks.high),
    )
    shares = zip(at.tolist(), unlit.shares, whole.shares, strict=True)
    both = Band(np.concatenate([low, marks.low]), np.concatenate([high, marks.high]))
    return replace(
        whole,
        low=low,
        high=high,
        at_marks=marks,
        widest=subject.resting(duty).widest(both),
        shares=tuple(off if there else on for there, off, on in shares),
    )


@dataclass(frozen=True)
class _Resting:
    """What is always there, over the range and at the marks: both bands are put around it."""

    shown: Array
    shape: Band
    fixed: float
    stops: Stops

    def around(self, low: Array, high: Array) -> Band:
        """Return a band with shape, friction and needle width added, held by the stops."""
        lower = np.minimum(low, self.shown) - (self.shown - self.shape.low) - self.fixed
        upper = np.maximum(high, self.shown) + (self.shape.high - self.shown) + self.fixed
        ends = self.stops.low, self.stops.high
        return Band(np.clip(lower, *ends), np.clip(upper, *ends))

    def widest(self, band: Band) -> float:
        """Return how far a band goes from the curve at most [SI difference], NaN if unknown."""
        apart = np.maximum(self.shown - band.low, band.high - self.shown)
        known = apart[np.isfinite(apart)]
        return float(known.max()) if known.size else float("nan")


class PairingModel:
    """A pairing at any circumstances: what its dial sees of the sender, as a law.

    Parameters
    ----------
    pairing : Pairing
        Gauge, trim and what they hang on; the sender's own curve is not asked for.
    causes : tuple of Cause
        What varies, in the order of the columns.
    second : bool, optional
        Whether it is the second gauge's dial that sees.
    """

    def __init__(
        self, pairing: Pairing, causes: tuple[Cause, ...], *, second: bool = False
    ) -> None:
        self._pairing = pairing
        self._causes = causes
        self._second = second
        self._seen = second_apparent if second else apparent

    def of(self, causes: tuple[Cause, ...]) -> PairingModel:
        """Return the same pairing with other causes."""
        return PairingModel(self._pairing, causes, second=self._second)

    def laws(self, values: Array) -> Bilinear:
        """Return what the dial sees as a law of the sender's nominal output.

        Parameters
        ----------
        values : array, shape (B, P)
            The causes' values at B corners or draws [SI].

        Returns
        -------
        Bilinear
            Coefficients of shape (B,).
        """
        at = {cause.name: values[:, n] for n, cause in enumerate(self._causes)}
        width = len(values)
        seen = self._seen(
            self._pairing.gauge,
            self._pairing.installation,
            self._pairing.trim,
            self._supplies(at, width),
            at,
        )
        assert not isinstance(seen, Message)
        scale, offset = at.get(SENDER, 1.0), at.get(SENDER_OHMS, 0.0)
        own = Bilinear.of(np.broadcast_to(scale, width), offset, 0.0, 1.0)
        return seen.law.after(own)

    def additions(self, values: Array) -> Additions:
        """Return what adds to the reading itself, shape (B, P) → B of each [SI difference]."""
        names = [cause.name for cause in self._causes]
        flat = [names.index(name) for name in (DIAL, PULL_OFF) if name in names]
        shift = [names.index(SENDER_VALUE)] if SENDER_VALUE in names else []
        return Additions(values[:, flat].sum(axis=1), values[:, shift].sum(axis=1))

    def _supplies(self, at: Mapping[str, Array], width: int) -> Supplies:
        gauge, installation = self._pairing.gauge, self._pairing.installation
        nominal = installation.supply.nominal.si(Kind.VOLTAGE)
        stated = float(at_terminal(gauge, installation, np.array([nominal])).volts[0])
        raw = np.broadcast_to(at.get(SUPPLY, nominal), width)
        if not supply_known(gauge):
            raw = np.full(width, nominal)
        fed = at_terminal(gauge, installation, np.asarray(raw, dtype=np.float64), at)
        return Supplies(fed.volts, fed.battery, stated)
