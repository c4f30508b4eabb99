"""Fuses that are proposed: for the load, and for the weakest wire behind them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.quantities.show import NumberStyle
from catalog.wires import blade_fuses, conductor, metric
from retrofit.messages import Renderer
from retrofit.wiring import FuseNeed, FuseProposal, GuardedWire, propose_fuse

RENDERER = Renderer(NumberStyle(nbsp=False), strict=True)
ONE = GuardedWire(conductor("1 mm²"), 75.0, 40.0)


def told(found: FuseProposal) -> str:
    return " ".join(RENDERER.sentence(one) for one in (*found.reasons, *found.unknown))


def keys(found: FuseProposal) -> list[str]:
    return [one.key for one in (*found.reasons, *found.unknown)]


@pytest.mark.parametrize(
    ("load", "rating"),  # 70 % of the rating (common practice, no source)
    [(0.0, 1.0), (0.3, 1.0), (0.7, 1.0), (0.71, 2.0), (3.5, 5.0), (5.0, 7.5)],
)
def test_that_the_next_step_is_taken_of_which_the_load_is_seventy_per_cent(
    load: float, rating: float
) -> None:
    assert propose_fuse(FuseNeed(load, (ONE,))).rating == rating


def test_that_the_weakest_wire_behind_a_fuse_counts() -> None:
    thin = GuardedWire(conductor("0.5 mm²"), 60.0, 30.0)
    found = propose_fuse(FuseNeed(4.0, (ONE, thin)))
    assert found.rating is None
    assert "0.5 mm² carries only 4 A" in told(found)
    assert propose_fuse(FuseNeed(4.0, (ONE,))).rating == 7.5


def test_that_heat_around_a_wire_counts_against_its_fuse() -> None:
    hot = GuardedWire(conductor("1 mm²"), 75.0, 74.0)
    assert propose_fuse(FuseNeed(2.0, (hot,))).rating is None


def test_that_a_load_beyond_the_largest_blade_fuse_is_refused_with_what_to_do() -> None:
    found = propose_fuse(FuseNeed(60.0, (GuardedWire(conductor("25 mm²"), 105.0, 30.0),)))
    assert (found.rating, keys(found)[0]) == (None, "fusesize.none_large")


def test_that_what_is_unknown_gives_no_fuse_and_says_what_to_measure() -> None:
    assert propose_fuse(FuseNeed(math.nan, (ONE,))).rating is None
    thin = propose_fuse(FuseNeed(0.1, (ONE, GuardedWire(conductor("AWG 24"), 60.0, 30.0))))
    assert thin.rating is None
    assert "fusesize.no_ampacity" in keys(thin)
    bare = propose_fuse(FuseNeed(0.1, (GuardedWire(conductor("1 mm²")),)))
    assert bare.rating == 1.0
    assert {"fusesize.no_temperature", "fusesize.no_insulation"} <= set(keys(bare))


def test_that_every_fuse_defers_to_local_codes_and_says_what_is_from_memory() -> None:
    for load in (0.3, 60.0, math.nan):
        assert "Local codes and licensed practice come first" in told(
            propose_fuse(FuseNeed(load, (ONE,)))
        )
    assert "blade fuses (from memory)" in told(propose_fuse(FuseNeed(0.3, (ONE,))))
    thin = GuardedWire(conductor("0.75 mm²"), 60.0, 30.0)
    assert "from memory)" in told(propose_fuse(FuseNeed(0.3, (thin,)))).split("weakest")[1]


def test_that_all_that_is_wrong_with_a_fuse_is_told_at_once() -> None:
    with pytest.raises(UserError) as refused:
        propose_fuse(FuseNeed(-1.0, ()))
    assert [one.key for one in refused.value.messages] == [
        "fusesize.no_wire",
        "wiresize.not_possible",
    ]
    with pytest.raises(UserError):
        propose_fuse(FuseNeed(1.0, (GuardedWire(conductor("1 mm²"), 70.0),)))


@given(st.floats(0.0, 30.0), st.sampled_from(metric()), st.floats(-20.0, 60.0))
def test_that_a_fuse_always_protects_its_wire_and_leaves_its_load_room(
    load: float, wire: object, around: float
) -> None:
    size = next(one for one in metric() if one is wire)
    guarded = GuardedWire(size, 75.0, around)
    rating = propose_fuse(FuseNeed(load, (guarded,))).rating
    stands = guarded.stands
    assert stands is not None
    steps = [one.rating for one in blade_fuses()]
    good = [one for one in steps if load <= 0.7 * one and one <= stands.amperes]
    assert rating == min(good, default=None)
