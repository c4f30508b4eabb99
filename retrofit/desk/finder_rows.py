"""What the finder found as rows of a list, and the words for the one that is looked at. No widget.

Until a row is judged in its plan it shows what the search proved; then all numbers are those of
the assessment.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from catalog.message import Message, message
from catalog.quantities.kinds import difference
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.trim_rows import resistor_lines
from retrofit.finder.judged import JudgedRow
from retrofit.finder.rows import Candidate, Excluded, Row, Way
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Duty
from retrofit.plan.trim_words import trim_words


def short_name(name: str) -> str:
    """Return the name of a class without its first word.

    All parts of a list measure the same, so that word says nothing there.
    """
    return name.partition(", ")[2] or name


def shown_name(one: Candidate, way: Way, reader: Reader) -> str:
    """Return what a candidate is called in a list: the part that is looked for, of pairs both."""
    gauge, sender = short_name(one.gauge.name), short_name(one.sender.name)
    if way == "pairs":
        return reader.text("finder.pair", gauge=gauge, sender=sender)
    return gauge if way == "gauges" else sender


class FinderRows:
    """Makes the rows of one search.

    Parameters
    ----------
    reader : Reader
        Words and units.
    duty : Duty
        What is allowed.
    way : str
        What is looked for.
    present : str
        Key of the part that is in the plan; empty where pairs are looked for.
    """

    def __init__(self, reader: Reader, duty: Duty, way: Way, present: str) -> None:
        self._reader, self._duty, self._way, self._present = reader, duty, way, present

    def row(self, found: Row, judged: JudgedRow | None, *, unbeaten: bool, own: bool) -> PartRow:
        """Return the row of a candidate.

        Parameters
        ----------
        found : Row
            What the search found.
        judged : JudgedRow or None
            The same in its plan, once that is worked out.
        unbeaten : bool
            Whether nothing else beats it.
        own : bool
            Whether a part of it is the user's.
        """
        reader = self._reader
        name = shown_name(found.candidate, self._way, reader)
        if found.key == self._present:
            name = reader.text("part.present", name=name)
        detail = " · ".join(self._facts(found, judged))
        worst = self._worst(found, judged)
        verdict = None if judged is None else judged.judged.judged.verdict
        said = reader.text("finder.unjudged")
        if judged is not None:
            said = reader.text("finder.verdicts", **_verdicts(judged, reader))
        key = "finder.spoken_unbeaten" if unbeaten else "parts.spoken"
        return PartRow(
            found.key,
            name,
            detail,
            verdict,
            worst,
            self._errors(found, judged),
            own=own,
            allowed=self._duty.allowed_at(None),
            spoken=reader.text(key, verdict=said, name=name, says=detail, worst=worst),
            starred=unbeaten,
        )

    def _facts(self, found: Row, judged: JudgedRow | None) -> list[str]:
        """Return the facts of the second line, those that tell most first."""
        reader = self._reader
        ohms = dict(found.lead.trim.resistors) if judged is None else judged.judged.ohms
        share = found.lead.worst if judged is None else judged.judged.judged.share
        facts = [reader.sentence(trim_words(ohms))]
        facts.append(reader.text("finder.share", share=times(share, reader)))
        if found.band is not None:
            facts.append(reader.text("finder.band", share=times(found.band, reader)))
        if found.lead.flatters:
            facts.append(reader.text("finder.flatters", marks=", ".join(found.lead.flatters)))
        if judged is not None and judged.whole.verdict is not judged.judged.judged.verdict:
            whole = reader.text(f"verdict.{judged.whole.verdict.value}")
            facts.append(reader.text("finder.whole", verdict=whole))
        return facts

    def _worst(self, found: Row, judged: JudgedRow | None) -> str:
        if judged is None:
            return f"× {times(found.lead.worst, self._reader)}"
        told = judged.judged.judged
        if math.isnan(told.worst.value):
            return self._reader.text("value.unknown")
        size = self._reader.si(told.worst)
        return f"≥ {size}" if told.at_least else size

    @staticmethod
    def _errors(found: Row, judged: JudgedRow | None) -> tuple[float, ...] | None:
        if judged is not None:
            return judged.judged.judged.errors or None
        errors = tuple(float(error) for error in found.lead.errors)
        return None if all(map(math.isnan, errors)) else errors

    def out(self, one: Excluded) -> PartRow:
        """Return the row of a candidate that was left out: what it is, and why."""
        name = shown_name(one.candidate, self._way, self._reader)
        why = self._reader.sentence(one.why)
        spoken = self._reader.text("finder.out.spoken", name=name, why=why)
        return PartRow(one.candidate.key, name, why, spoken=spoken)


def detail_lines(one: JudgedRow, duty: Duty, reader: Reader) -> list[str]:
    """Return what is to know of the row that is looked at: its verdict, resistors and band."""
    said = [reader.sentence(one.judged.judged.says)]
    whole, same = one.whole, one.whole.says == one.judged.judged.says
    word = reader.text(f"verdict.{whole.verdict.value}")
    key = "finder.whole_same" if same else "finder.whole_why"
    said.append(reader.text(key, verdict=word, says=whole.says))
    if one.flatters is Verdict.GOOD:
        said.append(reader.text("finder.no_flattering"))
    if one.row.band is not None and (allowed := duty.allowed_at(None)) is not None:
        wide = reader.value(one.row.band * allowed, difference(duty.kind))
        said.append(reader.text("finder.band_wide", wide=wide))
    return [*said, *resistor_lines(one.judged, reader)]


def _verdicts(one: JudgedRow, reader: Reader) -> dict[str, str]:
    """Return the words for the verdict of needle and trim alone, and of the whole plan."""
    found = {"verdict": one.judged.judged.verdict, "whole": one.whole.verdict}
    return {name: reader.text(f"verdict.{each.value}") for name, each in found.items()}


def out_words(excluded: Sequence[Excluded], reader: Reader) -> str:
    """Return for which reasons how many are left out."""
    counts = Counter(one.kind for one in excluded)
    parts = [
        reader.text(f"cli.find.out.{kind}", count=count) for kind, count in counts.most_common()
    ]
    return "; ".join(parts)


def put_words(one: Row, way: Way) -> Message:
    """Return what putting a row in does, for Undo."""
    gauge, sender = one.candidate.gauge.name, one.candidate.sender.name
    trim = trim_words(dict(one.lead.trim.resistors))
    if way == "pairs":
        return message("edit.find_pair", gauge=gauge, sender=sender, trim=trim)
    return message("edit.find_part", name=gauge if way == "gauges" else sender, trim=trim)


def times(share: float, reader: Reader) -> str:
    """Return a share of the allowed error with two decimals."""
    if math.isnan(share):
        return "?"
    text = "∞" if math.isinf(share) else f"{share:.2f}"
    return text.replace(".", reader.decimal)
