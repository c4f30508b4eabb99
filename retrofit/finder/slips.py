"""Slips of the bench: a reading that is wrong, two rows that were swapped.

Weighed for every class at once, so that one bad reading does not kill the right class, and so
that the answer can say which reading looks wrong.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from catalog.arrays import Array

ONE_WRONG = 0.06
SWAPPED = 0.03
TWO_WRONG = 0.01
"""How often a table has such slips, each [1] (assumed, no source)."""

SWAPPED_OF_TWO = 0.005
"""The same for a table of two rows, which swapped is a sound table of another class [1]."""

_FEWEST_WRONG, _FEWEST_TWO = 3, 6

_LONG = 12
"""Readings from which only neighbours are taken to be swapped, and one at most to be wrong: pairs
of a long table are many, and its other readings tell enough."""


@dataclass(frozen=True)
class Slip:
    """One way in which a table may be wrong.

    Attributes
    ----------
    wrong : tuple of int
        Readings that say nothing, counted from 0.
    swapped : pair of int or None
        Two rows whose readings stand in each other's place.
    log_prior : float
        Logarithm of how often it happens [1].
    """

    wrong: tuple[int, ...]
    swapped: tuple[int, int] | None
    log_prior: float

    @property
    def clean(self) -> bool:
        """Whether nothing is wrong."""
        return not self.wrong and self.swapped is None


def slips(count: int, *, swaps: bool = True) -> tuple[Slip, ...]:
    """Return what may be wrong with a table of `count` readings, nothing wrong first.

    Two readings are too few to call one wrong: it could be either.

    Examples
    --------
    >>> [len(slips(count)) for count in (1, 2, 3, 6, 20)]
    [1, 2, 7, 37, 40]
    """
    kinds: list[tuple[float, list[tuple[tuple[int, ...], tuple[int, int] | None]]]] = []
    if count >= _FEWEST_WRONG:
        kinds.append((ONE_WRONG, [((row,), None) for row in range(count)]))
    if count >= 2 and swaps:
        often = SWAPPED if count >= _FEWEST_WRONG else SWAPPED_OF_TWO
        pairs = list(combinations(range(count), 2))
        if count > _LONG:
            pairs = list(pairwise(range(count)))
        kinds.append((often, [((), pair) for pair in pairs]))
    if _FEWEST_TWO <= count <= _LONG:
        kinds.append((TWO_WRONG, [(pair, None) for pair in combinations(range(count), 2)]))
    clean = 1.0 - sum(often for often, _ in kinds)
    found = [Slip((), None, float(np.log(clean)))]
    for often, ways in kinds:
        each = float(np.log(often / len(ways)))
        found += [Slip(wrong, swapped, each) for wrong, swapped in ways]
    return tuple(found)


def weighed(matrix: Array, broad: Array, ways: tuple[Slip, ...]) -> Array:
    """Return the log likelihood of all readings under each slip, its prior included.

    Parameters
    ----------
    matrix : array, shape (..., n, n)
        Log density of reading i at the value of row j [1 per unit of the reading].
    broad : array, shape (n,)
        Log density of a reading that says nothing [1 per unit of the reading].
    ways : tuple of Slip
        P slips of n readings.

    Returns
    -------
    array, shape (..., P)
        [1].
    """
    own = np.diagonal(matrix, axis1=-2, axis2=-1)
    total = own.sum(axis=-1)
    gain = broad - own
    out = np.empty((*total.shape, len(ways)))
    for p, slip in enumerate(ways):
        out[..., p] = total + slip.log_prior
        for row in slip.wrong:
            out[..., p] += gain[..., row]
        if slip.swapped is not None:
            i, j = slip.swapped
            out[..., p] += matrix[..., i, j] + matrix[..., j, i] - own[..., i] - own[..., j]
    return out


def log_sum(terms: Array, axis: int | tuple[int, ...]) -> Array:
    """Return the logarithm of a sum of exponentials over axes, any shape [1] → [1]."""
    most = np.max(terms, axis=axis, keepdims=True)
    most = np.where(np.isfinite(most), most, 0.0)
    with np.errstate(divide="ignore"):
        total = np.log(np.sum(np.exp(terms - most), axis=axis, keepdims=True)) + most
    return np.asarray(np.squeeze(total, axis=axis))
