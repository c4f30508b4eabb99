"""An identification as plain data for scripts: SI numbers, keys and likelihoods, no sentence."""

from __future__ import annotations

import math

from catalog.message import SiValue
from retrofit.finder.identification import Expected, Identification, RankedClass, SeenBeside
from retrofit.plan.export import SI_UNIT, Data, message_data

FORMAT, VERSION = "retrofit-identification", 1


def exported_identification(found: Identification, part: str) -> Data:
    """Return all of an identification as dicts, lists, text, numbers and None.

    Parameters
    ----------
    found : Identification
        What came of it.
    part : str
        "sender" or "gauge".

    Returns
    -------
    dict
        Ready for ``json.dumps(…, allow_nan=False)``; README.md lists the keys.
    """
    telling = found.telling
    return {
        "format": FORMAT,
        "version": VERSION,
        "part": part,
        "found": found.found,
        "leading": list(found.leading),
        "ranked": [_ranked(one) for one in found.ranked],
        "unlisted": found.unlisted,
        "next": None
        if telling is None
        else {
            "at": _number(telling.at),
            "bits": telling.bits,
            "expected": [_expected(one) for one in telling.expected],
        },
        "says": [message_data(one) for one in found.says],
        "assumed": [message_data(one) for one in found.assumed],
        "cautions": [message_data(one) for one in found.cautions],
        "left_out": list(found.left_out),
    }


def _ranked(one: RankedClass) -> Data:
    return {
        "key": one.key,
        "name": one.name,
        "share": one.share,
        "leads": one.leads,
        "swapped": None if one.swapped is None else list(one.swapped),
        "readings": [_beside(each) for each in one.beside],
    }


def _beside(one: SeenBeside) -> Data:
    return {
        "at": _number(one.at),
        "read": _number(one.seen),
        "end": None if math.isfinite(one.seen.value) else int(math.copysign(1, one.seen.value)),
        "expected": _expected(one.expected),
        "off": _plain(one.off),
        "doubt": one.doubt,
    }


def _expected(one: Expected) -> Data:
    return {
        "key": one.key,
        "value": _number(one.value),
        "low": _plain(one.low),
        "high": _plain(one.high),
    }


def _number(value: SiValue) -> Data:
    return {"value": _plain(value.value), "unit": SI_UNIT[value.kind]}


def _plain(number: float) -> float | None:
    return number if math.isfinite(number) else None
