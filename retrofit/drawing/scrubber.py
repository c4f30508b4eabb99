"""What moves over the error chart with the slider: where we look, and the error there."""

from __future__ import annotations

import math

from catalog.message import SiValue, message
from catalog.quantities.kinds import difference
from retrofit.drawing.chart import ChartDrawing
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.signs import shown_sign, true_sign
from retrofit.drawing.spot import spot_at
from retrofit.drawing.svg import Element, Pen, document, line
from retrofit.plan.assess import Assessment

_SIGN = 2.6
_FINE = 0.3


def chart_scrubber(
    chart: ChartDrawing, assessment: Assessment, look: Look, value: float
) -> Drawing:
    """Draw where we look on an error chart, to lie on it.

    Parameters
    ----------
    chart : ChartDrawing
        The chart on which it lies.
    assessment : Assessment
        What was computed.
    look : Look
        Palette, language and units.
    value : float
        True value [SI].

    Returns
    -------
    Drawing
        A line with the sign of the true value, and the sign of what is shown at its error,
        clipped to the plane.
    """
    plot, palette = chart.plot, look.palette
    spot, x = spot_at(assessment, value), chart.plot.x_of(value)
    drawn: list[Element] = [
        line((x, plot.top), (x, plot.bottom), Pen(palette.true, _FINE)),
        true_sign((x, plot.bottom), _SIGN, palette),
    ]
    kind = assessment.plan.duty.kind
    if assessment.reading is None:
        drawn = []  # the plane says what is missing; a line through the words would not help
    if math.isnan(spot.shown):
        desc = look.say(message("drawing.scrubber.unknown", true=SiValue(value, kind)))
    else:
        error = spot.shown - spot.true
        y = min(max(plot.y_of(error), plot.top), plot.bottom)
        drawn.append(shown_sign((x, y), _SIGN, palette))
        desc = look.say(
            message(
                "drawing.scrubber.error",
                true=SiValue(value, kind),
                error=SiValue(error, difference(kind)),
            )
        )
    size = (chart.width, chart.height)
    return Drawing(document(size, chart.title, desc, drawn), *size, chart.title, desc)
