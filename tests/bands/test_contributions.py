"""First-order shares against the uncertainties library, on a pairing written out by hand."""

from __future__ import annotations

import numpy as np
import pytest
import uncertainties
from uncertainties import umath

from retrofit.bands.contributions import contributions
from tests.bands.pairings import decoded, model
from tests.retrofit.plan.plans import Raw, gauge, plan, sender

ENDS = {"0 %": "10 Ω", "100 %": "180 Ω"}


def by_hand() -> Raw:
    """A moving coil on 13.5 V: 60 Ω ± 2 %, earth 1 Ω ± 50 %, 400 Ω ± 5 % across the sender."""
    coil = {"kind": "coil", "coil": {"is": "60 Ω", "tolerance": "2 %"}, "feed": "13.5 V"}
    dial = gauge(ENDS, movement=coil, dial_error="1 %")
    points = [{"at": at, "gives": gives} for at, gives in ENDS.items()]
    law = {"kind": "table", "points": points, "shape": "straight", "tolerance": "3 %"}
    wiring = {"sender_earth": {"is": "1 Ω", "tolerance": "50 %"}}
    made = plan(dial, sender(None, law=law), wiring=wiring)
    trim = {"place": "across sender", "value": "400 Ω", "tolerance": "5 %"}
    made["pairings"][0]["trim"] = [trim]
    return made


def uniform(nominal: float, half: float, tag: str) -> uncertainties.UFloat:
    return uncertainties.ufloat(nominal, half / np.sqrt(3.0), tag)


def test_that_the_shares_agree_with_the_uncertainties_library() -> None:
    found, causes = model(by_hand())
    n = 100  # half-way: 95 Ω
    pairing = decoded(by_hand()).pairings[0]
    sender_ohms = 95.0 * uniform(1.0, 0.03, "sender")
    coil = uniform(60.0, 1.2, "coil")
    earth = uniform(1.0, 0.5, "sender earth")
    across = uniform(400.0, 20.0, "across sender")
    supply = uncertainties.ufloat(13.5, (14.4 - 11.0) / 2.0 / np.sqrt(3.0), "supply")
    path = 1.0 / (1.0 / sender_ohms + 1.0 / across) + earth
    apparent = 13.5 * (coil + path) / supply - coil
    # The dial is a two-point one; its slope at that place comes from its own curve.
    dial = found.dial
    at = float(apparent.nominal_value)
    step = 1e-3
    rise = float(np.diff(dial.value(np.array([at - step, at + step])))[0]) / (2.0 * step)
    shown = rise * (apparent - at) + uniform(0.0, 0.01, "dial")
    theirs = {tag.tag: abs(size) for tag, size in shown.error_components().items()}
    ours = contributions(found, causes).u[:, n]
    assert pairing.sender.ends_only is False
    for cause, size in zip(causes, ours, strict=True):
        assert size == pytest.approx(theirs[cause.name], rel=2e-3), cause.name
    assert float(np.sqrt(np.sum(ours**2))) == pytest.approx(shown.std_dev, rel=2e-3)
    assert float(umath.sqrt(apparent).nominal_value) > 0.0


def test_that_the_shares_of_the_variance_add_up_to_one() -> None:
    found, causes = model(by_hand())
    shares = contributions(found, causes).share
    assert shares.sum(axis=0) == pytest.approx(np.ones(shares.shape[1]))


def test_that_what_a_cause_does_alone_has_its_sign() -> None:
    """More ohms in the earth raise a rising sender's needle, a higher supply a coil's as well."""
    found, causes = model(by_hand())
    parts = contributions(found, causes)
    names = [one.name for one in causes]
    earth = names.index("sender earth")
    middle = slice(40, 160)
    assert np.all(parts.alone_high[earth, middle] > 0.0)
    assert np.all(parts.alone_low[earth, middle] < 0.0)  # it may have fewer ohms too
