"""What stands for a sender whose lead must not lie on earth; watts worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.parts.gauge import RatioMovement
from catalog.parts.laws import UnknownLaw
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.installation import Supply
from retrofit.plan.document import Pairing
from retrofit.plan.lead_test import earthing_says, lead_test_of
from tests.sheet.sheets import plan

TRACTOR = plan("vineyard-tractor")


def with_coils(supply: float, earth: float) -> Pairing:
    pairing = TRACTOR.pairing()
    coils = RatioMovement(Figure(Amount(supply, "Ω")), Figure(Amount(earth, "Ω")))
    return replace(pairing, gauge=replace(pairing.gauge, movement=coils))


def test_that_an_unread_gauge_leaves_the_whole_highest_supply_across_it() -> None:
    found = lead_test_of(TRACTOR.pairing(), TRACTOR.duty)
    assert found is not None
    assert found.bound
    assert (found.ohms, found.volts) == (10.0, 14.4)
    assert found.watts == pytest.approx(14.4**2 / 10.0)


def test_that_known_coils_leave_what_their_divider_leaves() -> None:
    # 90 Ω to the supply, 110 Ω to earth beside the 10 Ω: 110 ∥ 10 = 9.16667 Ω, so
    # 14.4 V · 9.16667 / 99.16667 = 1.33109 V across it and 0.17718 W in it (Ohm's law)
    found = lead_test_of(with_coils(90.0, 110.0), TRACTOR.duty)
    assert found is not None
    assert not found.bound
    assert found.watts == pytest.approx(0.17718, rel=1e-4)


def test_that_a_supply_of_no_range_counts_as_nominal() -> None:
    pairing = TRACTOR.pairing()
    supply = Supply(Amount(24.0, "V"))
    installation = replace(pairing.installation, supply=supply)
    found = lead_test_of(replace(pairing, installation=installation), TRACTOR.duty)
    assert found is not None
    assert found.watts == pytest.approx(57.6)


def test_that_a_sender_of_no_curve_has_the_limits_without_ohms() -> None:
    pairing = TRACTOR.pairing()
    other = replace(pairing, sender=replace(pairing.sender, law=UnknownLaw()))
    assert lead_test_of(other, TRACTOR.duty) is None
    assert earthing_says(other, TRACTOR.duty).key == "caution.earthing"


def test_that_the_limits_name_ohms_and_watts() -> None:
    assert earthing_says(TRACTOR.pairing(), TRACTOR.duty).key == "caution.earthing.bound"
    assert earthing_says(with_coils(90.0, 110.0), TRACTOR.duty).key == "caution.earthing.known"
