"""The curve of a part as a chart takes it."""

from __future__ import annotations

import numpy as np

from catalog.codec import Part
from catalog.parts.facts import curve_of, known_pairs
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import Gauge
from retrofit.drawing.curves_chart import DrawnCurve

_SAMPLES = 121


def drawn_curve(part: Part, name: str = "") -> DrawnCurve | None:
    """Return the curve of a part, None where it has none.

    Parameters
    ----------
    part : Sender or Gauge
        The part.
    name : str
        Its name in the key of the chart; its own where it is left out.
    """
    curve = curve_of(part)
    if curve is None:
        return None
    low, high = curve.low, curve.high
    if isinstance(part, Gauge):  # the class may go on where the dial ends
        kind = QUANTITY_KIND[part.quantity]
        low, high = max(low, part.low.si(kind)), min(high, part.high.si(kind))
    points = tuple(pair for pair in known_pairs(part) if low <= pair[0] <= high)
    x = np.unique(np.concatenate((np.linspace(low, high, _SAMPLES), [at for at, _ in points])))
    return DrawnCurve(name or part.name, x, np.asarray(curve.output(x)), points)
