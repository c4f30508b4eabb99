"""Preferred values of IEC 60063: which resistors are sold, and how near they come.

A series of n values a decade follows 10^(i/n) rounded, but for the members that the standard
itself sets otherwise (E24: 2.7 to 4.7 and 8.2; E192: 9.20), so the tables stand here as they
are. E24 is no part of E192, nor of E96: thirteen of its values are missing there.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError, user_error
from catalog.message import SiValue
from catalog.quantities.kinds import Kind

Series = Literal["E3", "E6", "E12", "E24", "E48", "E96", "E192"]

_E24 = (100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510,
        560, 620, 680, 750, 820, 910)  # fmt: skip
_E192 = (
    100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114, 115, 117, 118, 120, 121, 123, 124,
    126, 127, 129, 130, 132, 133, 135, 137, 138, 140, 142, 143, 145, 147, 149, 150, 152, 154, 156,
    158, 160, 162, 164, 165, 167, 169, 172, 174, 176, 178, 180, 182, 184, 187, 189, 191, 193, 196,
    198, 200, 203, 205, 208, 210, 213, 215, 218, 221, 223, 226, 229, 232, 234, 237, 240, 243, 246,
    249, 252, 255, 258, 261, 264, 267, 271, 274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309,
    312, 316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361, 365, 370, 374, 379, 383, 388,
    392, 397, 402, 407, 412, 417, 422, 427, 432, 437, 442, 448, 453, 459, 464, 470, 475, 481, 487,
    493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556, 562, 569, 576, 583, 590, 597, 604, 612,
    619, 626, 634, 642, 649, 657, 665, 673, 681, 690, 698, 706, 715, 723, 732, 741, 750, 759, 768,
    777, 787, 796, 806, 816, 825, 835, 845, 856, 866, 876, 887, 898, 909, 920, 931, 942, 953, 965,
    976, 988,
)  # fmt: skip

HUNDREDTHS: dict[Series, tuple[int, ...]] = {
    "E3": _E24[::8],
    "E6": _E24[::4],
    "E12": _E24[::2],
    "E24": _E24,
    "E48": _E192[::4],
    "E96": _E192[::2],
    "E192": _E192,
}
"""Values of one decade, in hundredths: 100 stands for 1.00."""

SERIES: tuple[Series, ...] = tuple(HUNDREDTHS)

CUSTOMARY_TOLERANCE: dict[Series, float] = {
    "E3": 0.40,
    "E6": 0.20,
    "E12": 0.10,
    "E24": 0.05,
    "E48": 0.02,
    "E96": 0.01,
    "E192": 0.005,
}
"""Tolerance that goes with each series [1]. For E3 the custom is 'more than 20 %'; 40 % is
what is quoted."""

LEAST, MOST = 1e-3, 1e9
"""Ohms between which values are listed [Ω]."""


def values(series: Series, low: float, high: float) -> Array:
    """Return all values of a series from `low` to `high`, both included.

    Parameters
    ----------
    series : str
        "E3" to "E192".
    low, high : float
        Ends of the range [Ω], from `LEAST` to `MOST`.

    Returns
    -------
    array, shape (N,)
        Ohms [Ω], increasing, at least one; each is the float that its decimal figure reads as.

    Raises
    ------
    UserError
        ``preferred.range`` for a range that runs backwards or beyond `LEAST` and `MOST`;
        ``preferred.none_between`` for one that holds no value, naming the nearest on both
        sides.

    Notes
    -----
    Tests: ``tests/trim/test_preferred.py``, against the published table.

    Examples
    --------
    >>> values("E6", 10.0, 47.0)
    array([10., 15., 22., 33., 47.])
    """
    if not LEAST <= low <= high <= MOST:
        raise user_error(
            "preferred.range",
            low=SiValue(low, Kind.RESISTANCE),
            high=SiValue(high, Kind.RESISTANCE),
            least=SiValue(LEAST, Kind.RESISTANCE),
            most=SiValue(MOST, Kind.RESISTANCE),
        )
    every = _decades(series, low, high)
    found: Array = every[(every >= low) & (every <= high)]
    if not found.size:
        raise user_error(
            "preferred.none_between",
            series=series,
            low=SiValue(low, Kind.RESISTANCE),
            high=SiValue(high, Kind.RESISTANCE),
            below=SiValue(float(every[every < low][-1]), Kind.RESISTANCE),
            above=SiValue(float(every[every > high][0]), Kind.RESISTANCE),
        )
    return found


def _decades(series: Series, low: float, high: float) -> Array:
    """Return the series over all decades that touch the range, and one more on either side."""
    first, last = math.floor(math.log10(low)) - 1, math.floor(math.log10(high)) + 1
    # A product with a power of ten below 1 would not be the float that 4.7 reads as.
    return np.array(
        [
            hundredths * 10.0 ** (decade - 2) if decade >= 2 else hundredths / 10.0 ** (2 - decade)
            for decade in range(first, last + 1)
            for hundredths in HUNDREDTHS[series]
        ]
    )


def nearest(series: Series, ohm: float) -> float:
    """Return the value nearest to `ohm` by their ratio, the logarithmic nearest.

    A resistor acts by its ratio to the others around it, so 10 % off is as far above as
    below; the nearest by difference would be another one now and then.

    Parameters
    ----------
    series : str
        "E3" to "E192".
    ohm : float
        Wanted resistance [Ω], above 0, finite.

    Returns
    -------
    float
        Preferred value [Ω]; the lower of two that are equally near.

    Raises
    ------
    BugError
        For no resistance.

    Examples
    --------
    >>> nearest("E24", 63.87), nearest("E96", 63.87)
    (62.0, 63.4)
    """
    if not 0.0 < ohm < math.inf:
        raise BugError(f"no preferred value is near {ohm} Ω")
    every = _decades(series, ohm, ohm)
    return float(every[np.argmin(np.abs(np.log(every / ohm)))])
