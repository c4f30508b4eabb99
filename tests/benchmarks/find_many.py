"""One run of the finder over so many senders in a process of its own; its figures as JSON.

python -m tests.benchmarks.find_many COUNT
"""

from __future__ import annotations

import json
import sys
import time

from catalog.library import load_generic
from retrofit.finder.rank import find
from retrofit.finder.ranking import Ranking
from retrofit.finder.rows import candidates
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped
from tests.benchmarks.many_parts import many_senders
from tests.benchmarks.memory import most_megabytes

RANKS_ON_SCREEN = 20


def measured(count: int) -> dict[str, float]:
    """Seconds to the first rows, to the proven ranks, to the end; ranks, rows, megabytes."""
    plan = read_plan(shipped("demo", "vineyard-tractor.json"))
    load_generic()  # the program has its own catalogue open long before
    senders = many_senders(count)
    figures, ranking, rows = dict[str, float](), Ranking(), 0
    begun = time.perf_counter()
    those = candidates(plan.pairing(), "senders", senders, ())
    for arrived in find(plan, plan.pairing().label, "senders", those):
        ranking.take(arrived)
        rows += len(arrived.rows)
        if rows >= RANKS_ON_SCREEN:
            figures.setdefault("first rows", time.perf_counter() - begun)
        if arrived.bounded is not None:
            figures["proven"] = time.perf_counter() - begun
            figures["ranks"] = ranking.proven
    figures["all"] = time.perf_counter() - begun
    figures["rows"] = len(ranking.rows)
    figures["megabytes"] = most_megabytes()
    return figures


if __name__ == "__main__":
    print(json.dumps(measured(int(sys.argv[1]))))
