"""Which of many trims is the best of its sender; ties go as in a search for one sender."""

from __future__ import annotations

import numpy as np

from catalog.arrays import Array
from retrofit.trim.ties import no_worse
from retrofit.trim.topologies import Index, preferred

_Leaders = tuple[Index, Array]  # the trims of all senders, shape (C, 5), and their objectives


class Contest:
    """The best trim of each sender, taken in one topology after the other.

    Within a topology the trim nearest to no resistor at all leads, then the earlier topology,
    then fewer resistors: the rule of ``retrofit.trim.answer``.

    Parameters
    ----------
    size : int
        C, number of senders [1].
    none : array, shape (5,)
        Index of the trim without any resistor.
    """

    def __init__(self, size: int, none: Index) -> None:
        self._size, self._none = size, none
        self._kinds: list[_Leaders] = []
        self._counts: list[_Leaders] = []

    def enter(self, sender: Index, trims: Index, worst: Array) -> None:
        """Take in the trims of one topology.

        Parameters
        ----------
        sender : array, shape (M,)
            Whose they are, 0 to C − 1.
        trims : array, shape (M, 5)
            Their indices.
        worst : array, shape (M,)
            Their objectives [1].
        """
        least = np.full(self._size, np.inf)
        np.minimum.at(least, sender, worst)
        tied = np.flatnonzero((worst <= no_worse(least)[sender]) & np.isfinite(worst))
        order = tied[np.lexsort((*preferred(trims[tied])[::-1], sender[tied]))]
        lead = order[np.flatnonzero(np.diff(sender[order], prepend=-1))]
        index, value = np.tile(self._none, (self._size, 1)), np.full(self._size, np.inf)
        index[sender[lead]], value[sender[lead]] = trims[lead], worst[lead]
        self._kinds.append((index, value))

    def close_count(self) -> None:
        """End the topologies of one number of resistors; those of the next one follow."""
        if self._kinds:
            self._counts.append(_first_of(self._kinds))
            self._kinds = []

    def leaders(self) -> tuple[Index, Array]:
        """Return the best trims and their objectives, shape (C, 5) and (C,) [1]."""
        self.close_count()
        return _first_of(self._counts)


def _first_of(ordered: list[_Leaders]) -> _Leaders:
    """Return of several the first that ties with the best, for each sender."""
    values = np.stack([worst for _, worst in ordered])
    limit = no_worse(np.min(values, axis=0))
    which = np.argmax(values <= limit, axis=0)
    rows = np.arange(values.shape[1])
    return np.stack([index for index, _ in ordered])[which, rows], values[which, rows]
