"""The fields of a sender's fitting and its port, and their dict form."""

from __future__ import annotations

import pytest

from catalog.codec import decode, encode
from catalog.errors import UserError
from catalog.parts.fitting import Port, SenderFitting
from tests.retrofit.fit.sentences import sentence

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


@pytest.mark.parametrize(
    ("of", "name", "text", "key", "says"),
    [
        (SenderFitting, "hottest", "5000 °C", "fitting.too_hot", "Hottest that it stands: 5000 °C"),
        (SenderFitting, "coldest", "-400 °C", "fitting.below_zero", "absolute zero"),
        (Port, "coldest", "-273.15 °C", "fitting.below_zero", "Coldest there"),
        (SenderFitting, "max_pressure", "1e12 bar", "fitting.too_much", "Highest working pressure"),
        (SenderFitting, "thread_length", "95 m", "fitting.too_long", "Threaded length of the"),
        (SenderFitting, "thread_length", "-5 mm", "fitting.length", "Threaded length of the"),
        (SenderFitting, "probe_diameter", "2 m", "fitting.too_long", "Thickness of the probe"),
        (SenderFitting, "probe", "95 m", "fitting.too_long", "Probe, face of"),
        (Port, "depth", "95 m", "fitting.too_long", "Threaded depth of the port"),
        (Port, "wall", "0 mm", "fitting.length", "Boss and wall"),
    ],
)
def test_that_absurd_values_are_refused_with_their_field_in_words(
    of: type, name: str, text: str, key: str, says: str
) -> None:
    with pytest.raises(UserError) as caught:
        decode({name: text}, of, "fitting")
    (problem,) = [dict(each.values)["problem"] for each in caught.value.messages]
    assert problem.key == key  # type: ignore[union-attr]
    told = sentence(problem)  # type: ignore[arg-type]
    assert says in told
    assert f"{name}:" not in told
    assert "_" not in told


def test_that_what_engines_have_is_taken() -> None:
    # Exhaust gas, a winter night, an injection rail, a deep tank (common practice, no source).
    taken = {"coldest": "-55 °C", "hottest": "950 °C", "max_pressure": "2500 bar", "probe": "2 m"}
    found = decode({**taken, "probe_diameter": "6 mm"}, SenderFitting, "fitting")
    assert found.probe_diameter is not None
    assert decode(encode(found, SenderFitting), SenderFitting, "again") == found
