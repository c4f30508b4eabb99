"""Every field of every kind of part has its name, and every word that it may take its text."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, Part
from catalog.library import load_generic
from catalog.parts.fitting import SenderFitting, WarningSwitch
from catalog.parts.gauge import Gauge, SourceTest, TerminalReadings
from catalog.parts.laws import TableLaw
from catalog.parts.sender import Sender
from catalog.parts.slots import Begun, Slot, slots_of
from catalog.quantities.amounts import Amount
from retrofit.desk.catalogue.slot_row import slot_label
from retrofit.desk.reader import Reader

LIBRARY = load_generic()
PARTS = (*LIBRARY.senders, *LIBRARY.gauges)
HALF = {"level": Amount(50, "%"), "pressure": Amount(1, "bar"), "temperature": Amount(90, "°C")}


def full(part: Part) -> Part:
    """The part with all that can be begun in it."""
    if isinstance(part, Gauge):
        ohm, volt, share = Amount(100, "Ω"), Amount(5, "V"), Amount(1, "%")
        terminals = TerminalReadings(ohm, ohm, ohm, share)
        source = SourceTest(ohm, volt, ohm, volt, volt, share)
        return replace(part, terminals=terminals, source=source)
    return replace(part, fitting=SenderFitting(switch=WarningSwitch(HALF[part.quantity])))


def told(slots: tuple[Slot, ...], reader: Reader) -> None:
    for slot in slots:
        assert slot_label(slot, reader)
        for word in slot.words:
            assert reader.text(f"word.{word}")


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_that_every_slot_of_a_part_has_its_texts(part: Sender | Gauge, reader: Reader) -> None:
    told(slots_of(part), reader)
    told(slots_of(full(part)), reader)


@pytest.mark.parametrize("made", [law for law in LAW_TAGS if law is not TableLaw])
def test_that_every_slot_of_a_law_begun_has_its_texts(made: type, reader: Reader) -> None:
    told(Begun(made).slots(("law",), "temperature"), reader)


@pytest.mark.parametrize("tag", [*LAW_TAGS.values(), *MOVEMENT_TAGS.values()])
def test_that_every_kind_of_law_and_movement_has_its_word(tag: str, reader: Reader) -> None:
    assert reader.text(f"word.{tag}")
