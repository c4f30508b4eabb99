"""The fields of a part one by one: nothing is left out, and changing one changes nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.codec import LAW_TAGS, encode
from catalog.errors import UserError
from catalog.exchange.flat import flat
from catalog.library import load_generic
from catalog.parts.fitting import SenderFitting, WarningSwitch
from catalog.parts.gauge import RatioMovement
from catalog.parts.laws import BetaLaw, PlatinumLaw, Point, SwitchLaw, TransmitterLaw
from catalog.parts.sender import Sender
from catalog.parts.slots import KIND, Begun, of_kind, record_at, slots_of, value_of, with_value
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind

LIBRARY = load_generic()
PARTS = (*LIBRARY.senders, *LIBRARY.gauges)
OHMS = Figure(Amount(100.0, "Ω"), Tolerance(Amount(0.1, "%")), Basis(BasisKind.PUBLISHED, "x"))


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_that_every_stated_field_has_its_slot(part: Sender) -> None:
    """What the file form holds besides lists of points, the class of a dial and the key."""
    names = {slot.name for slot in slots_of(part)}
    cells = {name for name in flat(encode(part)).cells if not name.startswith("scaled_for")}
    for cell in cells - {"part", "key", "quantity"}:
        known = cell in names or cell.removesuffix(".basis") in names
        assert known or cell.removesuffix(".tolerance") in names, cell


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_that_putting_back_what_stands_there_changes_nothing(part: Sender) -> None:
    for slot in slots_of(part):
        if slot.path[-1] != KIND and slot.holds != "record":
            assert value_of(part, slot.path) == slot.value
            assert with_value(part, slot.path, slot.value) == part


def test_that_a_number_changes_alone() -> None:
    part = LIBRARY.part("temperature-platinum-100")
    changed = with_value(part, ("law", "resistance"), OHMS)
    assert isinstance(changed, Sender)
    assert isinstance(changed.law, PlatinumLaw)
    assert changed.law.resistance == OHMS
    assert with_value(changed, ("law", "resistance"), value_of(part, ("law", "resistance"))) == part


def test_that_what_a_part_cannot_be_is_refused() -> None:
    part = LIBRARY.gauges[0]
    with pytest.raises(UserError):
        with_value(part, ("high",), part.low)


def test_that_a_law_begun_is_there_once_nothing_is_missing() -> None:
    begun = Begun(TransmitterLaw)
    slots = begun.slots(("law",), "pressure")
    assert [slot.name for slot in slots] == [
        "law.low.at", "law.low.gives", "law.high.at", "law.high.gives",
    ]  # fmt: skip
    assert [slot.kind for slot in slots][:2] == [Kind.PRESSURE, Kind.VOLTAGE]
    values = (Amount(0, "bar"), Amount(0.5, "V"), Amount(10, "bar"), Amount(4.5, "V"))
    for slot, value in zip(slots, values, strict=True):
        assert begun.record() is None
        begun = begun.with_value(slot.path[1:], value)
    law = begun.record()
    assert law == TransmitterLaw(Point(values[0], values[1]), Point(values[2], values[3]))


@pytest.mark.parametrize("made", [SwitchLaw, PlatinumLaw, BetaLaw])
def test_that_a_law_begun_asks_for_what_it_cannot_do_without(made: type) -> None:
    names = {slot.path[-1] for slot in Begun(made).slots(("law",), "temperature")}
    assert names == {
        SwitchLaw: {"operates", "contact"},
        PlatinumLaw: {"low", "high", "resistance"},
        BetaLaw: {"low", "high", "resistance", "beta", "reference"},
    }[made]  # fmt: skip


def test_that_a_fitting_can_be_begun_and_its_switch_after_that() -> None:
    part = LIBRARY.part("pressure-10bar-10-184")
    assert record_at(part, ("fitting",)) is SenderFitting
    fitted = with_value(part, ("fitting",), Begun(SenderFitting).record())
    assert record_at(fitted, ("fitting", "switch")) is WarningSwitch
    switch = Begun(WarningSwitch).with_value(("operates",), Amount(0.5, "bar")).record()
    switched = with_value(fitted, ("fitting", "switch"), switch)
    assert value_of(switched, ("fitting", "switch", "operates")) == Amount(0.5, "bar")
    assert "fitting.switch.hysteresis" in {slot.name for slot in slots_of(switched)}


def test_that_a_kind_is_found_by_its_name_in_files() -> None:
    assert of_kind(("movement",), "ratio") is RatioMovement
    assert all(of_kind(("law",), tag) is made for made, tag in LAW_TAGS.items())


def test_that_a_part_keeps_what_no_slot_shows() -> None:
    gauge = next(one for one in LIBRARY.gauges if one.scaled_for is not None)
    changed = with_value(gauge, ("notes",), "dried")
    assert changed == replace(gauge, notes="dried")
