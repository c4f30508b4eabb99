"""Rungs of strain, and what the sender's path may have at each: the same for every sender.

Before one gauge the ohms that keep the needle within a strain depend on the dial and on what is
allowed, never on the sender. So they are worked out once for a ladder of strains.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from retrofit.trim.question import Question
from retrofit.trim.windows import windows

_LEAST, _FINE, _COARSE = 2e-3, 1.08, 1.4  # first rung; ratio of a rung to the one below it
_TURN, _MOST = 20.0, 1e4  # strains above which rungs are coarse, and the last finite one
_WIDER = 1e-13  # share by which limits are widened, for the rounding of what is taken from them


@dataclass(frozen=True, eq=False)
class Levels:
    """A ladder of strains with the ohms that the path may have at each.

    Attributes
    ----------
    strains : array, shape (L,)
        Increasing [1]; the first is below 0, where nothing is feasible, the last +inf.
    top0, top1, floor0, floor1 : array, shape (L, N)
        Limits of the path's conductance [S] and [1]; see ``retrofit.trim.windows``.
    """

    strains: Array
    top0: Array
    top1: Array
    floor0: Array
    floor1: Array

    @staticmethod
    def of(question: Question) -> Levels:
        """Return the ladder of a question; its sender does not matter."""
        fine = int(np.ceil(np.log(_TURN / _LEAST) / np.log(_FINE)))
        coarse = int(np.ceil(np.log(_MOST / _TURN) / np.log(_COARSE)))
        rungs = _LEAST * _FINE ** np.arange(fine)
        beyond = _TURN * _COARSE ** np.arange(coarse)
        strains = np.concatenate([[-1.0], rungs, beyond, [np.inf]])
        found = windows(question, strains[1:])
        never = np.full((1, len(question.x)), np.inf)
        return Levels(
            strains,
            np.concatenate([-never, found.top0]),
            np.concatenate([0.0 * found.top1[:1], found.top1]),
            np.concatenate([never, found.floor0]),
            np.concatenate([0.0 * found.floor1[:1], found.floor1]),
        )

    def path(self, pull: Array) -> tuple[Array, Array]:
        """Return the least and the most ohms of the path from the signal terminal to earth.

        Parameters
        ----------
        pull : array, shape (H,)
            Conductances of the pull-up [S]; 0 for none.

        Returns
        -------
        tuple of two arrays, shape (L, H, N)
            [Ω], rounded outward; a least of +inf or a most of −inf can't be met, a most of +inf is
        no limit.
        """
        g = pull[None, :, None]
        top = self.top0[:, None, :] + _scaled(self.top1, g)
        floor = self.floor0[:, None, :] + _scaled(self.floor1, g)
        with np.errstate(divide="ignore"):
            least = np.where(top > 0.0, 1.0 / np.where(top > 0.0, top, 1.0), np.inf)
            most = np.where(floor > 0.0, 1.0 / np.where(floor > 0.0, floor, 1.0), np.inf)
        most = np.where(floor == np.inf, -np.inf, most)
        return least * (1.0 - _WIDER), most * (1.0 + _WIDER)


def _scaled(slope: Array, g: Array) -> Array:
    # An endless limit has no slope that counts.
    return np.asarray(np.where(np.isfinite(slope), slope, 0.0)[:, None, :] * g)


def behind(least: Array, most: Array, across: Array) -> tuple[Array, Array]:
    """Return the ohms that leave a path within limits with a resistor across them.

    Parameters
    ----------
    least, most : array, shape (...)
        Limits of the whole [Ω].
    across : array, broadcasting against them
        The resistor [Ω], > 0.

    Returns
    -------
    tuple of two arrays, shape (...)
        Limits of what lies across it [Ω], rounded outward.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        # In conductances, so that an endless limit and one above the resistor take care of
        # themselves.
        low = 1.0 / least - 1.0 / across
        high = 1.0 / most - 1.0 / across
        slack = _WIDER * (1.0 / across)
        low, high = low + slack, high - slack
        inner_low = np.where(low > 0.0, 1.0 / low, np.inf)
        inner_high = np.where(high > 0.0, 1.0 / high, np.inf)
        inner_high = np.where(most < 0.0, -np.inf, inner_high)
    return inner_low * (1.0 - _WIDER), inner_high * (1.0 + _WIDER)


def conductances(least: Array, most: Array) -> tuple[Array, Array]:
    """Return limits of ohms, shape (...) [Ω], as limits of conductance, shape (...) [S]."""
    with np.errstate(divide="ignore"):
        low = np.where(most > 0.0, 1.0 / np.maximum(most, 0.0), np.inf)
        high = np.where(least > 0.0, 1.0 / np.maximum(least, 0.0), np.inf)
    return low * (1.0 - _WIDER), high * (1.0 + _WIDER)
