"""The fields of a sender's fitting and its port, and their dict form."""

from __future__ import annotations

import pytest

from catalog.codec import decode, encode
from catalog.errors import UserError
from catalog.parts.fitting import Port, SenderFitting

RAW = {
    "thread": "1/8-27 NPT",
    "seal": "compound",
    "terminals": 1,
    "max_pressure": "10 bar",
    "hottest": "120 °C",
    "media": ["oil"],
    "probe": "20 mm",
    "switch": {"operates": "0.5 bar", "hysteresis": "0.1 bar", "below": "closed"},
    "basis": "measured: on the bench",
}


def test_that_a_fitting_goes_to_its_dict_form_and_back() -> None:
    found = decode(RAW, SenderFitting, "fitting")
    assert decode(encode(found, SenderFitting), SenderFitting, "again") == found
    assert found.switch is not None
    assert found.switch.contact_rating is None


def test_that_what_nobody_said_is_unknown_and_left_out_of_the_file() -> None:
    assert encode(SenderFitting(), SenderFitting) == {}
    assert encode(Port(), Port) == {}
    assert SenderFitting().seal == SenderFitting().track == Port().mounted_at == "unknown"


def test_that_all_problems_of_a_fitting_are_told_at_once() -> None:
    raw = {"thread": "Rc 1/8", "terminals": 0, "probe": "-3 mm", "body_mass_grams": 0.0}
    with pytest.raises(UserError) as caught:
        decode(raw, SenderFitting, "fitting")
    keys = {dict(each.values)["problem"].key for each in caught.value.messages}  # type: ignore[union-attr]
    assert keys == {"thread_fit.no_male", "fitting.terminals", "fitting.length", "fitting.mass"}


def test_that_a_port_takes_a_female_thread_only() -> None:
    assert decode({"thread": "Rc 1/8"}, Port, "port").thread == "Rc 1/8"
    with pytest.raises(UserError):
        decode({"thread": "nonsense"}, Port, "port")
