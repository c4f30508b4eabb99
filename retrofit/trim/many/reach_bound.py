"""What no resistors in a sender's path can beat, any number of them, from pairs of points."""

from __future__ import annotations

import numpy as np

from retrofit.trim.laws import Targets, refusal
from retrofit.trim.many.levels import Levels
from retrofit.trim.question import Question


def reach_bound(question: Question, levels: Levels) -> float:
    """Return a strain that no network of resistors in the sender's path can beat.

    On each rung of the ladder every point leaves the path a box of ohms. Where some pair of
    boxes is out of reach by the laws of direction, span and conductance (``laws.refusal``), no
    network keeps that strain. Boxes grow with the strain, so bisection finds the last rung.

    Parameters
    ----------
    question : Question
        The question with its sender; a pull-up stands outside these laws.
    levels : Levels
        Its ladder of strains.

    Returns
    -------
    float
        A proven lower bound of the objective [1], 0 where nothing is proven.
    """
    low, high = 0, len(levels.strains) - 1
    least, most = (each[:, 0, :] for each in levels.path(np.zeros(1)))
    while high - low > 1:
        middle = (low + high) // 2
        a, b = least[middle] * (1.0 - 1e-9), most[middle] * (1.0 + 1e-9)
        shut = bool(np.any(a > b) or np.any(np.isinf(a)))
        boxes = Targets(question.x, question.ohms + question.earth, a, np.maximum(a, 0.0), b)
        if shut or refusal(boxes) is not None:
            low = middle
        else:
            high = middle
    return max(0.0, float(levels.strains[low]))
