"""Order, proof and the set that nothing else beats, against plain comparison."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from catalog.library import load_generic
from retrofit.finder.rank import Arrived
from retrofit.finder.ranking import Ranking, unbeaten
from retrofit.finder.rows import Bounded, Candidate, Fit, Row
from retrofit.trim.answer import Trim

SENDER, GAUGE = load_generic().senders[0], load_generic().gauges[0]
OHMS = ((np.inf, 0.0), (np.inf, 10.0), (47.0, 10.0))


def row(number: int, worst: float, parts: int = 0, band: float | None = None) -> Row:
    across, series = OHMS[parts]
    fit = Fit(Trim((across, series, np.inf, 0.0, np.inf)), worst, np.zeros(21), ())
    return Row(Candidate(f"part-{number}", GAUGE, SENDER), fit, fit, band)


ROWS = st.lists(
    st.tuples(
        st.sampled_from([0.1, 0.2, 0.5, 1.0]), st.integers(0, 2), st.sampled_from([1.0, 2.0])
    ),
    max_size=12,
)


@given(ROWS, st.booleans())
def test_that_a_row_is_beaten_where_another_is_no_worse_in_all_and_better_in_one(
    drawn: list[tuple[float, int, float]], banded: bool
) -> None:
    rows = [row(n, w, p, b if banded else None) for n, (w, p, b) in enumerate(drawn)]
    points = [(w, p, b if banded else 0.0) for w, p, b in drawn]
    expected = {
        f"part-{n}"
        for n, one in enumerate(points)
        if not any(
            all(a <= b for a, b in zip(other, one, strict=True)) and other != one
            for other in points
        )
    }
    assert unbeaten(rows) == expected


def test_that_rows_stand_by_worst_error_then_by_parts_whenever_they_arrive() -> None:
    ranking = Ranking()
    ranking.take(Arrived((row(1, 0.5), row(2, 0.1, 2)), (), None, 2, 4))
    assert [one.key for one in ranking.rows] == ["part-2", "part-1"]
    ranking.take(Arrived((row(3, 0.5, 1), row(4, 0.1)), (), None, 4, 4))
    assert [one.key for one in ranking.rows] == ["part-4", "part-2", "part-1", "part-3"]


def test_that_a_rank_is_proven_only_below_every_bound_that_is_left() -> None:
    ranking = Ranking()
    ranking.take(Arrived((row(1, 0.1), row(2, 0.4)), (), None, 2, 4))
    assert ranking.proven == 0
    three, four = row(3, 0.3), row(4, 0.9)
    left = (Bounded(four.candidate, 0.5), Bounded(three.candidate, 0.2))
    ranking.take(Arrived((), (), left, 2, 4))
    assert ranking.proven == 1
    assert [one.candidate.key for one in ranking.bounded] == ["part-3", "part-4"]
    ranking.take(Arrived((three,), (), None, 3, 4))
    assert ranking.proven == 3
    ranking.take(Arrived((four,), (), None, 4, 4))
    assert ranking.proven == 4
    assert ranking.bounded == []
