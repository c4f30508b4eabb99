"""Sizes of wire as they are typed, and what follows from a size."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.provenance import BasisKind
from catalog.wires import INSULATIONS, ampacity, awg, blade_fuses, conductor, metric


@pytest.mark.parametrize(
    ("typed", "size"),
    [
        ("1.5 mm²", "1.5 mm²"),
        ("1,5 mm2", "1.5 mm²"),
        ("1.5", "1.5 mm²"),
        ("1,5", "1.5 mm²"),
        ("1.5mm^2", "1.5 mm²"),
        ("0.50 sq mm", "0.5 mm²"),
        ("16 mm²", "16 mm²"),
        ("2 mm²", "2 mm²"),
        ("AWG 16", "AWG 16"),
        ("awg16", "AWG 16"),
        ("16 AWG", "AWG 16"),
        ("16awg", "AWG 16"),
        ("AWG-16", "AWG 16"),
        ("AWG 0", "AWG 1/0"),
        ("2/0 AWG", "AWG 2/0"),
        ("AWG 0000", "AWG 4/0"),
    ],
)
def test_that_a_size_is_read_as_the_trade_types_it(typed: str, size: str) -> None:
    assert conductor(typed).size == size


@pytest.mark.parametrize(
    ("typed", "key", "nearest"),
    [
        ("17 mm²", "wire.unknown_size", "16 mm²"),
        ("0 mm²", "wire.unknown_size", "0.22 mm²"),
        ("-2.5 mm²", "wire.unknown_size", "0.22 mm²"),
        ("900 mm²", "wire.unknown_size", "25 mm²"),
        ("AWG 31", "wire.unknown_size", "AWG 30"),
        ("AWG -9", "wire.unknown_size", "AWG 4/0"),
        ("AWG x", "wire.unknown_size", "AWG 16"),
        ("thick", "wire.unknown_size", "1.5 mm²"),
        ("", "wire.unknown_size", "1.5 mm²"),
        ("1.5 cm", "wire.unknown_size", "1.5 mm²"),
        ("1" * 200, "number.too_long", None),
        ("1,500 mm²", "number.ambiguous_mark", None),
        ("1e400 mm²", "number.range", None),
    ],
)
def test_that_a_size_that_is_none_is_refused_with_the_nearest(
    typed: str, key: str, nearest: str | None
) -> None:
    with pytest.raises(UserError) as refused:
        conductor(typed)
    told = refused.value.messages[0]
    assert told.key == key
    if nearest is not None:
        assert told.value("nearest") == nearest


@pytest.mark.parametrize("typed", ["16", "10", "4", "1"])
def test_that_a_bare_whole_number_is_refused_since_it_may_be_either(typed: str) -> None:
    with pytest.raises(UserError) as refused:
        conductor(typed)
    told = refused.value.messages[0]
    assert (told.key, told.value("metric"), told.value("gauge")) == (
        "wire.which_size",
        f"{typed} mm²",
        f"AWG {typed}",
    )


@given(st.text(max_size=20))
def test_that_no_text_breaks_the_reading_of_a_size(text: str) -> None:
    try:
        found = conductor(text)
    except UserError:
        return
    assert found.area > 0.0


def test_that_every_size_is_found_again_by_its_own_name() -> None:
    for one in (*metric(), *(awg(n) for n in range(-3, 31))):
        assert conductor(one.size) == one


def test_that_sizes_only_the_vehicle_table_has_are_from_memory() -> None:
    assert conductor("1.5").basis.source.startswith("IEC 60228")
    kinds = {size: conductor(size).basis.kind for size in ("0.22", "0.35", "2 mm²", "3 mm²")}
    assert set(kinds.values()) == {BasisKind.MEMORY}


@given(
    st.sampled_from(metric()),
    st.floats(0.0, 100.0),
    st.floats(-40.0, 120.0),
    st.booleans(),
)
def test_that_ohms_grow_with_length_and_heat_and_fall_with_thickness(
    wire_and: object, length: float, temperature: float, tinned: bool
) -> None:
    sizes = metric()
    wire = next(one for one in sizes if one is wire_and)
    ohm = wire.ohms(length, temperature, tinned=tinned)
    assert ohm >= 0.0
    assert wire.ohms(2.0 * length, temperature, tinned=tinned) == pytest.approx(2.0 * ohm)
    assert wire.ohms(length, temperature + 1.0, tinned=tinned) >= ohm
    thicker = [one for one in sizes if one.area > wire.area]
    assert all(one.ohms(length, temperature, tinned=tinned) <= ohm for one in thicker)


@given(st.sampled_from(INSULATIONS), st.floats(-40.0, 210.0))
def test_that_ampacity_grows_with_thickness_and_falls_with_heat(rated: float, at: float) -> None:
    sizes = [*metric(), *(awg(n) for n in range(20, -4, -1))]
    carried = [
        found.amperes
        for one in sorted(sizes, key=lambda one: one.area)
        if (found := ampacity(one, rated, at)) is not None
    ]
    assert len(carried) == len(sizes)
    assert carried == sorted(carried)
    hotter = ampacity(sizes[0], rated, at + 5.0)
    assert hotter is not None
    assert hotter.amperes <= carried[0]
    assert (carried[0] == 0.0) == (at >= rated)


def test_that_what_wires_thinner_than_the_tables_carry_is_unknown() -> None:
    assert ampacity(awg(24)) is None
    assert ampacity(conductor("0.35")) is None


def test_that_blade_fuses_are_from_memory_and_rise() -> None:
    ratings = [one.rating for one in blade_fuses()]
    assert ratings == sorted(set(ratings))
    assert {one.basis.kind for one in blade_fuses()} == {BasisKind.MEMORY}
