"""The order in which the finder's rows are listed, and which of them get a star. No Qt."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from retrofit.finder.judged import JudgedRow
from retrofit.finder.ranking import unbeaten
from retrofit.finder.rows import Row


def in_order(rows: Sequence[Row], judged: Mapping[str, JudgedRow]) -> list[Row]:
    """Return rows as far as they are judged, best first.

    Parameters
    ----------
    rows : sequence of Row
        In the order in which the search ranks them.
    judged : mapping
        What is known of each in its plan, by key. Once all are judged they stand in the order of
        the numbers that are shown, which are those of the assessment.
    """
    if not judged:
        return list(rows)
    known = [judged.get(row.key) for row in rows]
    told = [row if one is None else one.row for row, one in zip(rows, known, strict=True)]
    orders = [one.judged.judged.by_number for one in known if one is not None]
    if len(orders) < len(rows):
        return told
    by_number = sorted(range(len(rows)), key=lambda n: orders[n])
    return [told[n] for n in by_number]


def starred(rows: Sequence[Row], judged: Mapping[str, JudgedRow]) -> frozenset[str]:
    """Return the keys of the rows that nothing else beats on error, resistors and band.

    A row whose needle is held by a stop gets no star: nobody can tell its whole error.

    Parameters
    ----------
    rows : sequence of Row
        All rows.
    judged : mapping
        What is known of each in its plan, by key; what the search found counts for the others.
    """
    told = []
    for row in rows:
        one = judged.get(row.key)
        if one is None:
            told.append(row)
            continue
        found = one.judged.judged
        if not (found.at_least or math.isnan(found.share)):
            told.append(replace(row, lead=replace(row.lead, worst=found.share)))
    return unbeaten(told)
