"""What a sheet says: its sections in the order of reading, from an assessment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import retrofit
from catalog.message import message
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT, Palette
from retrofit.messages import Renderer
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Verdict
from retrofit.plan.conclusion import conclusion_of
from retrofit.sheet.advice_section import advice_section, drawn_advice
from retrofit.sheet.blocks import Section, Sheet
from retrofit.sheet.fit_section import fit_section
from retrofit.sheet.job_sections import duty_section, parts_section
from retrofit.sheet.proving_sections import fitted_section, unknown_section
from retrofit.sheet.reading_sections import reading_section, sureness_section
from retrofit.sheet.small_print import small_print
from retrofit.sheet.wording import Wording
from retrofit.sheet.work_sections import (
    cautions_section,
    checks_section,
    trim_section,
    wiring_section,
)


@dataclass(frozen=True)
class Print:
    """How a sheet is printed.

    Attributes
    ----------
    renderer : Renderer
        Language, units and decimal mark.
    day : date
        The day that it bears; nothing else changes from one print to the next.
    palette : Palette
        Colours; all of it can be read in grey too.
    """

    renderer: Renderer
    day: date
    palette: Palette = LIGHT


def compose(found: Assessment, how: Print) -> Sheet:
    """Return all that is printed of one pairing.

    Parameters
    ----------
    found : Assessment
        What was worked out; with its likely band, else the sheet says that it is not there.
    how : Print
        Language, day, colours.
    """
    words, look = Wording(how.renderer), Look(how.palette, how.renderer)
    sections: list[Section | None] = [
        reading_section(found, words, look),
        duty_section(found, words),
        cautions_section(found, words),
        parts_section(found, words),
        trim_section(found, words),
        fit_section(found, words),
        wiring_section(found, words, look, drawn_advice(found.advice, words)),
        advice_section(found, words),
        checks_section(found, words),
        unknown_section(found, words),
        sureness_section(found, words),
        fitted_section(found, words),
        small_print(found, words),
    ]
    quantity = words.text(message(f"quantity.{found.plan.duty.quantity}"))
    day = how.day.isoformat()
    return Sheet(
        title=words.name(found.plan.name) or words.say("unnamed"),
        subtitle=words.say("subtitle", quantity=quantity, label=found.pairing.label),
        verdict=(found.verdict, words.text(message(f"verdict.{found.verdict.value}"))),
        conclusion=tuple(words.text(one) for one in conclusion_of(found)),
        key=tuple((one, words.say(f"key.{one.value}")) for one in Verdict),
        made=words.say("made", version=retrofit.__version__, day=day),
        day=day,
        sections=tuple(one for one in sections if one is not None),
    )
