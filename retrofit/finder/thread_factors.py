"""How well the thread of each class agrees with what the calliper showed."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.errors import UserError
from catalog.parts.sender import Sender
from catalog.threads.designation import parse_thread
from retrofit.fit.thread_identity import identify
from retrofit.fit.thread_readings import Measured

STRAY = 0.02
"""Share of senders that sit in another thread than their class states: an adapter, another
make (assumed)."""


def thread_factors(read: Measured, senders: Sequence[Sender]) -> dict[str, float]:
    """Return the likelihood of the readings for each class that states a thread.

    It is relative to a thread of which nothing is known: N times the probability of the stated
    one among N threads that are equally likely beforehand, and `STRAY` of nothing known.

    Parameters
    ----------
    read : Measured
        What the calliper showed.
    senders : sequence of Sender
        The classes.

    Returns
    -------
    dict of str to float
        Factor by key [1]; a class that states no thread is not in it and counts 1.

    Raises
    ------
    UserError
        For readings that no thread can have.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from catalog.library import load_generic
    >>> from catalog.parts.fitting import SenderFitting
    >>> from retrofit.fit.thread_readings import CALLIPER, Reading, turns_per_inch
    >>> one = replace(load_generic().senders[0], fitting=SenderFitting("1/8-27 NPT"))
    >>> read = Measured("male", Reading(9.47e-3, CALLIPER), pitch=turns_per_inch(28))
    >>> thread_factors(read, [one])[one.key] < 0.5
    True
    """
    found = identify(read)
    likely = {one.thread.designation: one.probability for one in found.candidates}
    factors: dict[str, float] = {}
    for sender in senders:
        named = None if sender.fitting is None else sender.fitting.thread
        if named is None:
            continue
        try:
            thread = parse_thread(named, read.gender).designation
        except UserError:
            continue  # a thread that nobody can read says nothing
        share = likely.get(thread, 0.0) * len(likely)
        factors[sender.key] = STRAY + (1.0 - STRAY) * share
    return factors
