"""A proposal as plain data for scripts: SI numbers, keys and verdicts, no sentence."""

from __future__ import annotations

import math

from catalog.message import Message
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.export import SI_UNIT, Data, message_data
from retrofit.plan.trims import Need, Proposal, TrimCandidate
from retrofit.trim.marking import marking
from retrofit.trim.proof import ProofOfNo
from retrofit.trim.stock import Stock

FORMAT, VERSION = "retrofit-trims", 1


def exported_trims(found: Proposal) -> Data:
    """Return all of a proposal as dicts, lists, text, numbers and None.

    Parameters
    ----------
    found : Proposal
        What was proposed.

    Returns
    -------
    dict
        Ready for ``json.dumps(…, allow_nan=False)``; README.md lists the keys.
    """
    kind = found.plan.duty.kind
    wishes = found.wishes
    return {
        "format": FORMAT,
        "version": VERSION,
        "plan": found.plan.name,
        "pairing": found.label,
        "units": {"difference": SI_UNIT[difference(kind)]},
        "wishes": {
            "series": None if isinstance(wishes.values, Stock) else wishes.values,
            "values": wishes.ohms().tolist(),
            "tolerance": wishes.tolerance,
            "most": wishes.most,
            "pull_up": wishes.pull_up,
            "no_flattery": wishes.beyond is not None,
        },
        "refused": None if found.refused is None else message_data(found.refused),
        "says": [message_data(one) for one in found.says],
        "present": _candidate(found.present),
        "lead": _candidate(found.lead),
        "ladder": [_candidate(one) for one in found.ladder],
        "alternatives": [_candidate(one) for one in found.alternatives],
        "proof": _proof(found.proof),
    }


def _candidate(one: TrimCandidate | None) -> Data | None:
    if one is None:
        return None
    return {
        "trim": [
            {"place": each.place, "ohms": each.value.si(Kind.RESISTANCE), "code": _code(one, n)}
            for n, each in enumerate(one.trim)
        ],
        "verdict": one.judged.verdict.value,
        "worst": _number(one.judged.worst.value),
        "at_least": one.judged.at_least,
        "share": _number(one.judged.share),
        "share_with_1": _number(one.with_1),
        "share_with_5": _number(one.with_5),
        "error": [_number(error) for error in one.judged.errors],
        "says": message_data(one.judged.says),
        "power": message_data(one.needs)
        if isinstance(one.needs, Message)
        else [_need(each) for each in one.needs],
    }


def _code(one: TrimCandidate, number: int) -> str:
    return marking(one.trim[number].value.si(Kind.RESISTANCE)).code


def _need(need: Need) -> Data:
    return {
        "place": need.place,
        "watts": need.load.watts,
        "amps": need.load.amps,
        "rating": need.rating,
        "state": message_data(need.load.state),
    }


def _proof(proof: ProofOfNo | None) -> Data | None:
    if proof is None:
        return None
    return {
        "law": proof.refusal.law.value,
        "says": message_data(proof.says),
        "shifted": None if proof.shifted is None else message_data(proof.shifted),
        "cures": [message_data(one) for one in proof.cures],
    }


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
