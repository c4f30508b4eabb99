"""Proposed trims as rows of a list, and the words for the one that is looked at."""

from __future__ import annotations

import math

from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from catalog.quantities.show import show_amount
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.installation import TrimResistor
from retrofit.plan.backwards import runs_backwards
from retrofit.plan.trim_words import trim_formula
from retrofit.plan.trims import Proposal, TrimCandidate
from retrofit.trim.marking import marking

PRESENT = "present"


def trim_row(
    key: str, one: TrimCandidate, reader: Reader, role: str = "", *, fitted: bool = False
) -> PartRow:
    """Return a trim as a row: what it is and where, then how wrong the needle is with it.

    Parameters
    ----------
    key : str
        Key of the row.
    one : TrimCandidate
        The trim, judged.
    reader : Reader
        Words and units.
    role : str
        "now", "lead", "best" or nothing.
    fitted : bool
        Whether it is the trim that is in the plan now.
    """
    words = reader.sentence(one.words)
    name = reader.text(f"trims.row.{role}", trim=words) if role else words
    if fitted:
        name = reader.text("part.present", name=name)
    worst = _worst(one, reader)
    detail = f"{reader.sentence(trim_formula(one.ohms))} · {_shares(one, reader)}"
    verdict = reader.text(f"verdict.{one.judged.verdict.value}")
    return PartRow(
        key,
        name,
        detail,
        one.judged.verdict,
        worst,
        one.judged.errors or None,
        allowed=one.judged.allowed,
        spoken=reader.text("parts.spoken", verdict=verdict, name=name, says=detail, worst=worst),
    )


def role_of(one: TrimCandidate, found: Proposal) -> str:
    """Return "lead" for the lead, "best" where that is not enough, nothing for others."""
    if one is not found.lead:
        return ""
    return "lead" if one.may_be_fitted else "best"


def proposed(found: Proposal) -> dict[str, TrimCandidate]:
    """Return the proposed trims by key: the lead, the best with 0, 1, 2 …, then the others.

    None at all where the needle runs backwards: the best of what is no good helps nobody.
    """
    if runs_backwards(found):
        return {}
    ordered = [found.lead, *found.ladder, *found.alternatives]
    there: dict[str, TrimCandidate] = {}
    for one in ordered:
        if one is not None:
            there.setdefault(one.judged.key, one)
    return there


def told(found: Proposal, reader: Reader) -> list[str]:
    """Return the lead in a sentence, and what more resistors would buy."""
    if found.refused is not None:
        return [reader.sentence(found.refused)]
    if runs_backwards(found):
        return [reader.text("trims.backwards")]
    return [reader.sentence(one) for one in found.says]


def proof_lines(found: Proposal, reader: Reader) -> tuple[list[str], list[str]]:
    """Return the proof that no resistors can do it, and what would; empty where some do."""
    proof = found.proof
    if proof is None or (found.lead is not None and found.lead.within):
        return [], []
    why = [proof.says] if proof.shifted is None else [proof.says, proof.shifted]
    return [reader.sentence(one) for one in why], [reader.sentence(one) for one in proof.cures]


def resistor_lines(one: TrimCandidate, reader: Reader) -> list[str]:
    """Return each resistor of a trim: where it sits, its marking, what it has to take."""
    lines = []
    for resistor in one.trim:
        words = message(
            "trims.resistor",
            ohm=show_amount(resistor.value, reader.style),
            place=message(f"place.{resistor.place}"),
        )
        lines.append(f"{reader.sentence(words)}: {_marked(resistor, reader)}")
        if not isinstance(one.needs, Message):
            needs = [need for need in one.needs if need.place == resistor.place]
            lines += [f"    {reader.sentence(need.says)}" for need in needs]
    if one.trim and isinstance(one.needs, Message):
        lines.append(reader.text("trims.power_unknown", why=one.needs))
    return lines


def _marked(resistor: TrimResistor, reader: Reader) -> str:
    ohm = resistor.value.si(Kind.RESISTANCE)
    share = None
    if resistor.tolerance is not None:
        share = round(resistor.tolerance.si(ohm, Kind.RESISTANCE) / ohm, 9)
    found = marking(ohm, share)
    if not found.bands:
        return reader.text("trims.marked_code", code=found.code)
    colours = ", ".join(reader.sentence(colour.text) for colour in found.bands)
    return reader.text("trims.marked", code=found.code, bands=colours)


def _worst(one: TrimCandidate, reader: Reader) -> str:
    if math.isnan(one.judged.worst.value):
        return reader.text("value.unknown")
    size = reader.si(one.judged.worst)
    return f"≥ {size}" if one.judged.at_least else size


def _shares(one: TrimCandidate, reader: Reader) -> str:
    """Return the worst error over the allowed one, exact and with parts of 5 %."""
    share = one.judged.share
    if math.isnan(share):
        return reader.sentence(one.judged.says)
    if not one.trim or math.isnan(one.with_5):
        return reader.text("trims.row.share", share=_times(share, reader))
    with_1, with_5 = _times(one.with_1, reader), _times(one.with_5, reader)
    return reader.text(
        "trims.row.shares", share=_times(share, reader), with_1=with_1, with_5=with_5
    )


def _times(share: float, reader: Reader) -> str:
    text = "∞" if math.isinf(share) else f"{share:.2f}"
    return text.replace(".", reader.decimal)
