"""What the needle shows over a range of true values, and how far its shape is unknown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from retrofit.dial import Stops
from retrofit.movements import Apparent


@dataclass(frozen=True)
class Band:
    """Between which values the needle stands, for all that is known of both curves.

    Attributes
    ----------
    low, high : array, shape (N,)
        Lowest and highest shown value [SI].
    """

    low: Array
    high: Array


@dataclass(frozen=True)
class Needle:
    """A sender, a network and a dial, ready to tell what is shown.

    Attributes
    ----------
    sender, dial : Characteristic
        Value to ohms (or volts, amperes) of the sender, and of the dial.
    apparent : Apparent
        What the dial sees of the sender, at each supply.
    stops : Stops
        Where the needle is held.
    own_class : bool
        Whether the dial is drawn for just this sender's curve, so that both are unsure alike.
    """

    sender: Characteristic
    dial: Characteristic
    apparent: Apparent
    stops: Stops
    own_class: bool = False

    def continued(self, x: Array) -> Array:
        """Return the value that the dial's law gives at true values, stops ignored.

        Parameters
        ----------
        x : array, shape (N,)
            True values [SI].

        Returns
        -------
        array, shape (B, N)
            Shown values [SI] at the B supplies; ±inf where the needle has left every scale,
            NaN where the sender's curve is not known.
        """
        return self._through(self.sender, self.dial, x)

    def shown(self, x: Array) -> Array:
        """Return what the needle shows, held by its stops, shape (N,) [SI] → (B, N) [SI]."""
        return np.clip(self.continued(x), self.stops.low, self.stops.high)

    def at_ohms(self, ohms: Array) -> Array:
        """Return what is shown with a resistor in the sender's place.

        Parameters
        ----------
        ohms : array, shape (N,)
            Resistance there [Ω], 0 (earthed) to +inf (open).

        Returns
        -------
        array, shape (B, N)
            Shown value [SI], held by the stops.
        """
        shown = self.dial.value(self.apparent.of(ohms))
        return np.clip(shown, self.stops.low, self.stops.high)

    def band(self, x: Array) -> Band:
        """Return the lowest and highest reading over all plausible shapes of both curves.

        Parameters
        ----------
        x : array, shape (N,)
            True values [SI].

        Returns
        -------
        Band
            Of shape (N,), at the first supply, held by the stops; NaN where the sender's curve
            is not known.
        """
        low = high = self.shown(x)[0]
        for sender, dial in self.kin():
            shown = self._through(sender, dial, x)[0]
            shown = np.clip(shown, self.stops.low, self.stops.high)
            low, high = np.minimum(low, shown), np.maximum(high, shown)
        return Band(low, high)

    def kin(self) -> Iterator[tuple[Characteristic, Characteristic]]:
        """Give every other plausible pair of curves; the same shape twice for an own class."""
        senders, dials = self.sender.alternatives(), self.dial.alternatives()
        if self.own_class:
            yield from zip(senders, dials, strict=True)
            return
        pairs = product((self.sender, *senders), (self.dial, *dials))
        next(pairs)
        yield from pairs

    def _through(self, sender: Characteristic, dial: Characteristic, x: Array) -> Array:
        known = (x >= self.sender.low) & (x <= self.sender.high)
        return dial.value(self.apparent.of(sender.output(np.where(known, x, np.nan))))


@dataclass(frozen=True)
class Reading:
    """The reading curve of a pairing over the range of its duty.

    Attributes
    ----------
    x : array, shape (N,)
        True values [SI].
    ohms : array, shape (N,)
        What the sender gives [Ω, V or A]; NaN where its curve is not known.
    apparent : array, shape (N,)
        What the dial sees [Ω, V or A] at the nominal supply.
    continued : array, shape (N,)
        What the dial's law gives [SI], stops ignored; ±inf off every scale.
    shown : array, shape (N,)
        What the needle shows [SI], held by its stops.
    held : array, shape (N,)
        Which stop holds the needle [1]: −1 low, +1 high, 0 free, NaN unknown.
    supply_low, supply_high : array, shape (N,)
        Reading [SI] at the lowest and highest supply; NaN where that is not known.
    """

    x: Array
    ohms: Array
    apparent: Array
    continued: Array
    shown: Array
    held: Array
    supply_low: Array
    supply_high: Array

    @property
    def error(self) -> Array:
        """Needle error, shape (N,) [SI difference]: shown − true; "at least" on a stop."""
        return self.shown - self.x


def read(needle: Needle, x: Array) -> Reading:
    """Return the reading curve at true values.

    Parameters
    ----------
    needle : Needle
        Sender, network at one supply, or at three: nominal, lowest, highest; and dial.
    x : array, shape (N,)
        True values [SI].

    Returns
    -------
    Reading
        Every array of shape (N,).
    """
    known = (x >= needle.sender.low) & (x <= needle.sender.high)
    ohms = needle.sender.output(np.where(known, x, np.nan))
    apparent = needle.apparent.of(ohms)
    continued = needle.dial.value(apparent)
    shown = np.clip(continued, needle.stops.low, needle.stops.high)
    nowhere = np.full_like(x, np.nan)
    supplies = shown if len(shown) == 3 else (shown[0], nowhere, nowhere)
    held = needle.stops.side(continued[0])
    return Reading(x, ohms, apparent[0], continued[0], shown[0], held, supplies[1], supplies[2])
