"""A row whose trim errs more between the points of the search: sought again over the whole curve.

Thousands of parts are tried at 21 steps of the range and the marks. Of the few rows that are
judged the trim has to be as good as the one that ``retrofit trim`` would find.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.message import Message
from retrofit.dial import stops
from retrofit.finder.fits import Fitting
from retrofit.finder.rows import Fit, Row
from retrofit.plan.document import Plan
from retrofit.plan.stages import POINTS
from retrofit.plan.trim_question import question_of
from retrofit.plan.trim_wishes import TrimWishes, sought
from retrofit.trim.answer import Found
from retrofit.trim.question import objective, shown
from retrofit.trim.search import Watch

SLACK = 1e-3
"""Share by which a trim may err more over the curve than at the points of the search."""


def sought_again(
    plan: Plan, label: str, row: Row, wishes: TrimWishes, watch: Watch | None = None
) -> Row:
    """Return a row with trims that are the best over every point of the curve.

    Parameters
    ----------
    plan, label : Plan, str
        The pairing whose parts are replaced.
    row : Row
        What the finder found.
    wishes : TrimWishes
        From which resistors.
    watch : Watch, optional
        How the caller follows the search.

    Returns
    -------
    Row
        The row itself where its trim errs hardly more between the points at which it was
        sought, or where no resistors are asked for.

    Notes
    -----
    A millisecond for most rows, some tens of them where the search is asked again. Tests:
    ``tests/finder/test_sought_again.py``.
    """
    one, duty = row.candidate, plan.duty
    pairing = replace(plan.pairing(label), gauge=one.gauge, sender=one.sender, trim=())
    whole = question_of(pairing, duty, wishes.beyond, points=POINTS)
    few = question_of(pairing, duty, wishes.beyond)
    if isinstance(whole, Message) or isinstance(few, Message):
        return row
    if float(objective(whole, *row.lead.trim.arrays())) <= row.lead.worst * (1.0 + SLACK) + SLACK:
        return row
    _, answer = sought(whole, pairing, duty, wishes, watch)
    if answer.best is None or answer.lead is None:
        return row
    fitting = Fitting(duty, few, stops(one.gauge))

    def fit(found: Found) -> Fit:
        at_few = shown(few, *found.trim.arrays())
        worst = np.array([float(objective(whole, *found.trim.arrays()))])
        return fitting.fits([found.trim], worst, at_few.reshape(1, -1))[0]

    best = fit(answer.best)
    return replace(row, best=best, lead=best if answer.lead is answer.best else fit(answer.lead))
