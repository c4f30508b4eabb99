"""A trim in words and as a formula, as messages for whoever shows it."""

from __future__ import annotations

from collections.abc import Mapping

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.installation import PLACES, Place, TrimResistor


def ohms_by_place(trim: tuple[TrimResistor, ...]) -> dict[Place, float]:
    """Return the ohms [Ω] of a trim by place, from the sender to the gauge."""
    there = {one.place: one.value.si(Kind.RESISTANCE) for one in trim}
    return {place: there[place] for place in PLACES if place in there}


def trim_words(ohms: Mapping[Place, float]) -> Message:
    """Return a trim in words: what, and where it sits.

    Parameters
    ----------
    ohms : mapping
        Ohms [Ω] by place.

    Examples
    --------
    >>> trim_words({"across sender": 430.0}).key
    'trims.resistor'
    """
    single = [
        message(
            "trims.resistor",
            ohm=SiValue(ohm, Kind.RESISTANCE),
            place=message(f"place.{place}"),
        )
        for place, ohm in ohms.items()
    ]
    if not single:
        return message("trims.none")
    said = single[0]
    for number, one in enumerate(single[1:], 2):
        key = "trims.and" if number == len(single) else "trims.comma"
        said = message(key, one=said, two=one)
    return said


def trim_formula(ohms: Mapping[Place, float]) -> Message:
    """Return a trim as a formula of the sender's ohms R: (R ∥ 430 Ω) + 10 Ω.

    Parameters
    ----------
    ohms : mapping
        Ohms [Ω] by place.
    """
    said, whole = message("trims.formula.sender"), True
    for place in PLACES[:4]:
        if place not in ohms:
            continue
        sign = "series" if place.startswith("series") else "across"
        inner = said if whole else message("trims.formula.group", inner=said)
        ohm = SiValue(ohms[place], Kind.RESISTANCE)
        said, whole = message(f"trims.formula.{sign}", inner=inner, ohm=ohm), False
    if "pull-up" in ohms:
        ohm = SiValue(ohms["pull-up"], Kind.RESISTANCE)
        said = message("trims.formula.pull_up", inner=said, ohm=ohm)
    return said
