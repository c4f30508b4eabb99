"""Which class a part on the bench is, from what a meter and the eye have seen of it.

Every class of a catalogue is weighed by how well it explains the readings, against the case
that none of these does; slips of the bench are weighed with it. The answer names the class,
or the few that are left with the measurement that tells them apart, or says 'none of these'.
"""

from __future__ import annotations

from collections.abc import Sequence

from catalog.errors import user_error
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from retrofit.finder.class_spread import ASSUMED_TOLERANCE
from retrofit.finder.gauge_case import gauge_case
from retrofit.finder.gauge_evidence import dial_classes
from retrofit.finder.identification import Identification
from retrofit.finder.seen import GaugeSeen, SenderSeen
from retrofit.finder.sender_case import sender_case
from retrofit.finder.verdict import answer


def identify_sender(
    seen: SenderSeen, senders: Sequence[Sender], tolerance: float = ASSUMED_TOLERANCE
) -> Identification:
    """Return which class of sender gives such readings.

    Parameters
    ----------
    seen : SenderSeen
        What the meter showed.
    senders : sequence of Sender
        Classes to choose from, any quantity.
    tolerance : float
        Share of its output that a part may be off where its class states nothing [1].

    Raises
    ------
    UserError
        ``identify.no_class`` where no class gives what was read.

    Notes
    -----
    Tests: ``tests/finder/test_identify_classes_in_use.py``.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> from retrofit.finder.seen import SeenPoint
    >>> readings = (SeenPoint(0.0, 241.0), SeenPoint(0.5, 102.0), SeenPoint(1.0, 33.4))
    >>> found = identify_sender(SenderSeen("level", readings), load_generic().senders)
    >>> found.found, found.leading
    ('identified', ('level-240-33-mid-103',))
    """
    fits = [
        sender
        for sender in senders
        if sender.curve is not None
        and sender.signal is seen.signal
        and seen.quantity in (None, sender.quantity)
    ]
    if not fits:
        raise user_error("identify.no_class")
    taken = {sender.key for sender in fits}
    left_out = tuple(
        sender.key
        for sender in senders
        if sender.key not in taken and seen.quantity in (None, sender.quantity)
    )
    return answer(sender_case(seen, fits, tolerance, left_out))


def identify_gauge(seen: GaugeSeen, gauges: Sequence[Gauge]) -> Identification:
    """Return which class of gauge moves its needle like that.

    Parameters
    ----------
    seen : GaugeSeen
        Where the needle stood, and what else was seen.
    gauges : sequence of Gauge
        Classes to choose from, any quantity.

    Raises
    ------
    UserError
        ``identify.no_class`` where no class could be compared.

    Notes
    -----
    The next test resistor is never below the least ohms of any likely class, so that none of
    them is driven harder than its own sender drives it.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> from retrofit.finder.seen import SeenNeedle
    >>> needles = (SeenNeedle(float("inf"), float("-inf")), SeenNeedle(103.0, 0.5),
    ...            SeenNeedle(33.0, 1.0))
    >>> found = identify_gauge(GaugeSeen("level", needles), load_generic().gauges)
    >>> found.leading
    ('gauge-level-240-33-ratio-12v', 'gauge-level-240-33-ratio-24v')
    """
    wanted = [one for one in gauges if seen.quantity in (None, one.quantity)]
    classes = dial_classes(wanted)
    if not classes:
        raise user_error("identify.no_class")
    taken = {one.gauge.key for one in classes}
    left_out = tuple(one.key for one in wanted if one.key not in taken)
    return answer(gauge_case(seen, classes, left_out))
