"""What contributes to a band: shares of the variance, and moves one at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from retrofit.bands.causes import Cause, nominals
from retrofit.bands.reading_model import ReadingModel


@dataclass(frozen=True)
class Contributions:
    """What each cause does to each reading.

    Attributes
    ----------
    u : array, shape (P, N)
        First-order contribution |∂shown/∂cause|·u(cause) [SI difference] (JCGM 100:2008, 5.1).
    share : array, shape (P, N)
        Its square over the sum of all squares [1]; 0 where nothing contributes.
    alone_low, alone_high : array, shape (P, N)
        Lowest and highest move of the needle when only that cause goes to its limits [SI
        difference]: worst-case shares one at a time, which do not add up to the worst case.
    """

    u: Array
    share: Array
    alone_low: Array
    alone_high: Array


def contributions(model: ReadingModel, causes: tuple[Cause, ...]) -> Contributions:
    """Return what each cause contributes.

    Parameters
    ----------
    model : ReadingModel
        What is shown, N values.
    causes : tuple of Cause
        P causes.

    Returns
    -------
    Contributions
        Arrays of shape (P, N); NaN where the sender is not known.

    Notes
    -----
    Slopes by central differences of a tenth of u, held within the limits. Tests:
    ``tests/bands/test_contributions.py``, against the uncertainties library.
    """
    count, values = len(causes), len(model.output)
    if not count:
        return Contributions(*(np.zeros((0, values)) for _ in range(4)))
    centre = np.repeat(nominals(causes), count, axis=0)
    up, down, top, bottom = (centre.copy() for _ in range(4))
    for n, cause in enumerate(causes):
        step = 0.1 * cause.u
        up[n, n] = min(cause.nominal + step, cause.high)
        down[n, n] = max(cause.nominal - step, cause.low)
        top[n, n], bottom[n, n] = cause.high, cause.low
    shown = model.shown(np.concatenate([up, down, top, bottom, centre[:1]]))
    rise = shown[:count] - shown[count : 2 * count]
    run = np.array([up[n, n] - down[n, n] for n in range(count)])[:, None]
    slope = np.divide(rise, run, out=np.zeros_like(rise), where=run > 0.0)
    u = np.abs(slope) * np.array([cause.u for cause in causes])[:, None]
    whole = np.sum(u**2, axis=0)
    share = np.divide(u**2, whole, out=np.zeros_like(u), where=whole > 0.0)
    share[:, np.isnan(whole)] = np.nan
    ends = shown[2 * count : 4 * count].reshape(2, count, values) - shown[-1]
    low, high = np.minimum(ends.min(axis=0), 0.0), np.maximum(ends.max(axis=0), 0.0)
    return Contributions(u, share, low, high)
