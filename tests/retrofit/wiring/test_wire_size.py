"""Wires that are proposed: each criterion, worked runs, and what always holds."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.wiring import FuseNeed, GuardedWire, WireNeed, WireProposal, propose_fuse
from retrofit.wiring import propose_wire as propose

RENDERER = Renderer(NumberStyle(nbsp=False), strict=True)
PLAIN = WireNeed(current=0.2, length=5.0, temperature=20.0)


def size(need: WireNeed) -> str | None:
    wire = propose(need).conductor
    return None if wire is None else wire.size


def told(found: WireProposal) -> str:
    return " ".join(RENDERER.sentence(one) for one in (*found.reasons, *found.unknown))


@pytest.mark.parametrize(
    ("ohm", "wanted"),
    # Ohms of five metres of IEC 60228 class 5 at 20 °C: 0.1950, 0.1300, 0.0975, 0.0665, 0.0399.
    [(0.196, "0.5 mm²"), (0.19, "0.75 mm²"), (0.1, "1 mm²"), (0.07, "1.5 mm²"), (0.04, "2.5 mm²")],
)
def test_that_the_ohms_that_the_needle_allows_choose_among_the_worked_runs(
    ohm: float, wanted: str
) -> None:
    assert size(replace(PLAIN, ohm=ohm)) == wanted


def test_that_a_run_at_85_degrees_has_its_hot_ohms() -> None:
    # 0.2448 Ω of five metres of 0.5 mm² at 85 °C, by IEC 60228 and the coefficient of IACS.
    found = propose(replace(PLAIN, temperature=85.0, ohm=0.25))
    assert found.ohm == pytest.approx(0.2448, abs=5e-5)
    assert size(replace(PLAIN, temperature=85.0, ohm=0.24)) == "0.75 mm²"


def test_that_nothing_is_thinner_than_half_a_square_millimetre() -> None:
    found = propose(replace(PLAIN, current=0.0, length=0.1))
    assert found.conductor is not None
    assert (found.conductor.size, found.decided_by) == ("0.5 mm²", "strength")
    assert size(replace(PLAIN, sizes="AWG")) == "AWG 20"


@pytest.mark.parametrize(
    ("sizes", "sheathed", "wanted"),
    # ISO 10133:2012 clause 7.7 and 33 CFR 183.425 (d) and (e), as public copies print them.
    [
        ("metric", False, "1 mm²"),
        ("metric", True, "0.75 mm²"),
        ("AWG", False, "AWG 16"),
        ("AWG", True, "AWG 18"),
    ],
)
def test_that_boats_take_thicker_tinned_wire(sizes: str, sheathed: bool, wanted: str) -> None:
    need = replace(PLAIN, boat=True, sheathed=sheathed)
    found = propose(replace(need, sizes="AWG") if sizes == "AWG" else need)
    assert found.conductor is not None
    assert (found.conductor.size, found.tinned) == (wanted, True)
    assert "tinned" in told(found)


def test_that_the_ohms_of_tinned_strands_count_in_a_boat() -> None:
    # IEC 60228 Table 3: 1 mm² has 19.5 Ω/km plain and 20.0 Ω/km tinned.
    assert size(replace(PLAIN, ohm=0.099)) == "1 mm²"
    assert size(replace(PLAIN, ohm=0.099, boat=True)) == "1.5 mm²"


def test_that_the_volts_that_may_be_lost_choose_the_size() -> None:
    # 10 m of 2.5 mm² have 0.0798 Ω: 0.399 V at 5 A; of 1.5 mm² 0.665 V.
    need = WireNeed(current=5.0, length=10.0, drop=0.42, temperature=20.0)
    found = propose(need)
    assert found.conductor is not None
    assert (found.conductor.size, found.decided_by) == ("2.5 mm²", "drop")
    assert found.drop == pytest.approx(0.399, abs=1e-6)


def test_that_a_wire_stands_the_fuse_before_it() -> None:
    # 33 CFR 183.425: AWG 18 carries 10 A with insulation of 60 °C, AWG 16 carries 15 A.
    assert size(replace(PLAIN, fuse=10.0, insulation=60.0)) == "1 mm²"
    found = propose(replace(PLAIN, fuse=15.0, insulation=60.0))
    assert found.conductor is not None
    assert (found.conductor.size, found.decided_by) == ("1.5 mm²", "current")


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"ohm": 1e-6}, "wiresize.none_shift"),
        ({"current": 20.0, "drop": 0.01}, "wiresize.none_drop"),
        ({"current": 500.0}, "wiresize.none_current"),
        ({"temperature": 400.0}, "wiresize.none_hot"),
        ({"temperature": 90.0, "insulation": 75.0}, "wiresize.none_insulation"),
    ],
)
def test_that_where_no_wire_will_do_it_says_why_and_what_to_do(
    change: dict[str, float], key: str
) -> None:
    found = propose(replace(PLAIN, **change))  # type: ignore[arg-type]
    assert found.conductor is None
    assert found.reasons[0].key == key
    assert math.isnan(found.ohm)
    assert told(found)


@pytest.mark.parametrize(
    ("change", "key", "sized"),
    [
        ({"current": math.nan}, "wiresize.no_current", False),
        ({"length": math.nan}, "wiresize.no_length", False),
        ({"drop": math.nan}, "wiresize.no_drop", True),
        ({"ohm": math.nan}, "wiresize.no_shift", True),
        ({"temperature": None}, "wiresize.no_temperature", True),
    ],
)
def test_that_what_is_unknown_is_said_with_how_to_learn_it(
    change: dict[str, float | None], key: str, sized: bool
) -> None:
    found = propose(replace(PLAIN, **change))  # type: ignore[arg-type]
    assert key in [one.key for one in found.unknown]
    assert (found.conductor is not None) == sized
    assert told(found)


def test_that_all_that_cannot_be_is_refused_at_once() -> None:
    with pytest.raises(UserError) as refused:
        propose(WireNeed(-1.0, 0.0, drop=-0.1, ohm=math.inf, temperature=-300.0, insulation=61.0))
    keys = [one.key for one in refused.value.messages]
    assert keys == [
        *["wiresize.not_possible"] * 4,
        "wiresize.no_such_place",
        "wiresize.no_such_insulation",
    ]
    assert all(RENDERER.sentence(one) for one in refused.value.messages)
    with pytest.raises(UserError, match="fuse_too_small"):
        propose(replace(PLAIN, current=5.0, fuse=2.0))


def test_that_a_gauge_size_gets_an_addition_for_strands_and_says_so() -> None:
    found = propose(replace(PLAIN, sizes="AWG"))
    # AWG 20 has 33.309 Ω/km by formula.
    assert found.ohm == pytest.approx(1.2 * 5.0 * 33.309e-3, rel=1e-4)
    assert "20 % was added" in told(found)


def test_that_reasons_name_their_sources_and_defer_to_local_codes() -> None:
    found = told(propose(replace(PLAIN, drop=0.3, ohm=0.5, boat=True)))
    for words in ("ISO 10133", "33 CFR 183.425", "published", "Local codes and licensed practice"):
        assert words in found
    assert "assumed" in told(propose(PLAIN))


NEEDS = st.builds(
    WireNeed,
    current=st.floats(0.0, 25.0),
    length=st.floats(0.1, 40.0),
    drop=st.none() | st.floats(0.01, 2.0),
    ohm=st.none() | st.floats(0.005, 5.0),
    temperature=st.floats(-20.0, 120.0),
    boat=st.booleans(),
    sheathed=st.booleans(),
    sizes=st.sampled_from(["metric", "AWG"]),
)


@given(NEEDS)
def test_that_every_proposed_wire_keeps_every_promise(need: WireNeed) -> None:
    found = propose(need)
    wire = found.conductor
    if wire is None:
        return
    assert found.ampacity is not None
    assert wire.area >= 0.5e-6
    assert found.drop == pytest.approx(found.ohm * need.current)
    assert need.drop is None or found.drop <= need.drop
    assert need.ohm is None or found.ohm <= need.ohm
    guarded = GuardedWire(wire, found.insulation, need.temperature)
    fuse = propose_fuse(FuseNeed(need.current, (guarded,)))
    assert fuse.rating is not None
    assert need.current <= fuse.rating <= found.ampacity.amperes


@given(NEEDS, st.floats(1.0, 3.0))
def test_that_more_current_or_length_never_asks_for_a_thinner_wire(
    need: WireNeed, more: float
) -> None:
    first = propose(need).conductor
    for harder in (
        replace(need, current=need.current * more),
        replace(need, length=need.length * more),
        replace(need, ohm=None if need.ohm is None else need.ohm / more),
    ):
        second = propose(harder).conductor
        if second is not None:
            assert first is not None
            assert second.area >= first.area
