"""What was found as plain data for scripts: SI numbers, keys and verdicts, no sentence."""

from __future__ import annotations

import math
from collections.abc import Sequence

from catalog.quantities.kinds import difference
from retrofit.finder.judged import JudgedRow
from retrofit.finder.rank import FindWishes
from retrofit.finder.ranking import Ranking, unbeaten
from retrofit.finder.rows import Fit, Row, Way
from retrofit.plan.document import Plan
from retrofit.plan.export import SI_UNIT, Data, message_data
from retrofit.trim.stock import Stock

FORMAT, VERSION = "retrofit-finds", 1


def exported_finds(
    plan: Plan,
    label: str,
    way: Way,
    wishes: FindWishes,
    found: Ranking,
    judged: Sequence[JudgedRow],
) -> Data:
    """Return all that was found as dicts, lists, text, numbers and None.

    Parameters
    ----------
    plan, label, way, wishes
        What was asked.
    found : Ranking
        All of it, in order.
    judged : sequence of JudgedRow
        The first rows, with what the assessment says of them.

    Returns
    -------
    dict
        Ready for ``json.dumps(…, allow_nan=False)``; README.md lists the keys.
    """
    values = wishes.trim.values
    told, best = {one.row.key: one for one in judged}, unbeaten(found.rows)
    return {
        "format": FORMAT,
        "version": VERSION,
        "plan": plan.name,
        "pairing": label,
        "way": way,
        "units": {"difference": SI_UNIT[difference(plan.duty.kind)]},
        "wishes": {
            "series": None if isinstance(values, Stock) else values,
            "most": wishes.trim.most,
            "pull_up": wishes.trim.pull_up,
            "filters": [each.name for each in wishes.filters],
        },
        "proven": found.proven,
        "rows": [
            _row(
                row if row.key not in told else told[row.key].row,
                told.get(row.key),
                row.key in best,
            )
            for row in found.rows
        ],
        "excluded": [
            {"key": out.candidate.key, "kind": out.kind, "why": message_data(out.why)}
            for out in found.excluded
        ],
    }


def _row(row: Row, judged: JudgedRow | None, unbeaten_: bool) -> Data:
    return {
        "key": row.key,
        "gauge": row.candidate.gauge.key,
        "sender": row.candidate.sender.key,
        "best": _fit(row.best),
        "lead": _fit(row.lead),
        "band": row.band,
        "unbeaten": unbeaten_,
        "assessed": None if judged is None else _assessed(judged),
    }


def _fit(fit: Fit) -> Data:
    return {
        "trim": [{"place": place, "ohms": ohm} for place, ohm in fit.trim.resistors],
        "share": fit.worst,
        "error": [_number(error) for error in fit.errors.tolist()],
        "flatters": list(fit.flatters),
    }


def _assessed(one: JudgedRow) -> Data:
    judged = one.judged.judged
    return {
        "verdict": judged.verdict.value,
        "worst": _number(judged.worst.value),
        "at_least": judged.at_least,
        "share": _number(judged.share),
        "flatters": one.flatters.value,
        "says": message_data(judged.says),
        "plan_verdict": one.whole.verdict.value,
        "plan_says": message_data(one.whole.says),
    }


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None
