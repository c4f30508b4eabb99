"""The dict form of parts: nothing lost on the way out and back, every problem with its path."""

from __future__ import annotations

import copy
import hashlib
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import Part, content_hash, decode, decode_part, encode
from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import UNSTATED, Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer

LIBRARY = load_generic()
PARTS: tuple[Part, ...] = (*LIBRARY.senders, *LIBRARY.gauges)

SENDER: dict[str, Any] = {
    "part": "sender",
    "key": "level-9-1",
    "name": "Level, 9 Ω empty to 1 Ω full",
    "quantity": "level",
    "law": {
        "kind": "table",
        "points": [{"at": "0 %", "gives": "9 Ω"}, {"at": "100 %", "gives": "1 Ω"}],
    },
}
GAUGE: dict[str, Any] = {
    "part": "gauge",
    "key": "gauge-level-9-1",
    "name": "Level gauge, 9 Ω empty to 1 Ω full",
    "quantity": "level",
    "movement": {"kind": "heater", "heater": {"is": "60 Ω", "basis": "assumed"}, "feed": "10 V"},
    "low": "0 %",
    "high": "100 %",
    "marks": [{"at": "0 %", "needs": "9 Ω"}, {"at": "100 %", "needs": "1 Ω"}],
}
STEINHART_HART: dict[str, Any] = {
    "kind": "steinhart-hart thermistor",
    "low": "0 °C",
    "high": "100 °C",
    "a": 0.001129148,
    "b": 0.000234125,
    "c": 8.76741e-8,
}


def put(raw: dict[str, Any], path: str, value: object) -> dict[str, Any]:
    """A copy of `raw` with `value` at a path such as ``law.points.0.at``."""
    made = copy.deepcopy(raw)
    *steps, last = path.split(".")
    place: Any = made
    for step in steps:
        place = place[int(step)] if isinstance(place, list) else place[step]
    place[int(last) if isinstance(place, list) else last] = value
    return made


def sentences(raw: object) -> list[str]:
    with pytest.raises(UserError) as error:
        decode_part(raw, "mine.json")
    renderer = Renderer(NumberStyle())
    return [renderer.sentence(problem) for problem in error.value.messages]


# --- out and back -------------------------------------------------------------------------------


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_that_a_shipped_part_comes_back_from_json_as_it_was(part: Part) -> None:
    text = json.dumps(encode(part, Part), ensure_ascii=False)
    again = decode_part(json.loads(text), "it")
    assert again == part
    assert content_hash(again) == content_hash(part)


UNITS = st.sampled_from(["Ω", "kΩ", "mΩ"])
BASES = st.builds(
    Basis,
    st.sampled_from(BasisKind),
    st.text("abc 1:,.-", max_size=12).map(str.strip),
)
TOLERANCES = st.none() | st.builds(
    Tolerance, st.builds(Amount, st.floats(0.0, 50.0), st.sampled_from(["%", "Ω"]))
)


@st.composite
def tables(draw: st.DrawFn) -> TableLaw:
    levels = sorted(draw(st.sets(st.floats(0.0, 100.0), min_size=2, max_size=8)))
    ohms = sorted(draw(st.sets(st.floats(1e-9, 1e9), min_size=len(levels), max_size=len(levels))))
    unit = draw(UNITS)
    points = tuple(
        Point(Amount(at, "%"), Amount(gives, unit), draw(st.none() | BASES))
        for at, gives in zip(levels, ohms, strict=True)
    )
    return TableLaw(points, tolerance=draw(TOLERANCES), basis=draw(BASES))


@given(tables(), st.text(max_size=20))
def test_that_any_table_comes_back_exactly(law: TableLaw, notes: str) -> None:
    try:
        part = Sender("a-b", "A", "level", law, notes=notes)
    except UserError:
        return  # two levels or ohms so near that they are one number in SI units
    again = decode_part(json.loads(json.dumps(encode(part, Part))), "it")
    assert again == part


def test_that_defaults_are_left_out_and_read_back() -> None:
    part = decode_part(SENDER, "it")
    assert encode(part, Part) == SENDER
    assert isinstance(part, Sender)
    assert (part.stations, part.earth_return, part.notes) == (1, "unknown", "")


def test_that_a_figure_keeps_its_tolerance_and_basis() -> None:
    raw = put(GAUGE, "movement.heater", {"is": "60 Ω", "tolerance": "5 %", "basis": "measured"})
    part = decode_part(raw, "it")
    assert isinstance(part, Gauge)
    figure = vars(part.movement)["heater"]
    assert figure == Figure(
        Amount(60.0, "Ω"), Tolerance(Amount(5.0, "%")), Basis(BasisKind.MEASURED)
    )
    assert vars(part.movement)["feed"].basis == UNSTATED
    assert encode(part, Part) == raw


# --- the hash -----------------------------------------------------------------------------------


def test_that_the_hash_is_that_of_the_sorted_json() -> None:
    text = json.dumps(SENDER, sort_keys=True, ensure_ascii=False)
    expected = hashlib.sha256(text.encode()).hexdigest()[:16]
    assert content_hash(decode_part(SENDER, "it")) == expected


def test_that_the_hash_depends_on_what_is_said_and_not_on_how() -> None:
    plain = content_hash(decode_part(SENDER, "it"))
    turned = dict(reversed(put(SENDER, "law.points.0.gives", "9.0 ohm").items()))
    assert content_hash(decode_part(turned, "it")) == plain
    assert content_hash(decode_part(SENDER | {"stations": 1}, "it")) == plain
    assert content_hash(decode_part(SENDER | {"stations": 2}, "it")) != plain


def test_that_every_shipped_part_has_a_hash_of_its_own() -> None:
    assert len({content_hash(part) for part in PARTS}) == len(PARTS)


# --- what is refused ----------------------------------------------------------------------------

WRONG = [
    (SENDER, "law.points.0.gives", 9, "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "9", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "9 bar", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "NaN Ω", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "Infinity Ω", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "inf Ω", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "1e999 Ω", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.0.gives", "", "mine.json.law.points[0].gives"),
    (SENDER, "law.points.1.at", "100 Ω", "mine.json.law.points[1].at"),
    (SENDER, "law.points.1.basis", "hearsay", "mine.json.law.points[1].basis"),
    (SENDER, "law.points.1", "100 % 1 Ω", "mine.json.law.points[1]"),
    (SENDER, "law.points", "none", "mine.json.law.points"),
    (SENDER, "law.points", {"at": "0 %"}, "mine.json.law.points"),
    (SENDER, "law.tolerance", "5 m", "mine.json.law.tolerance"),
    (SENDER, "law.shape", "wavy", "mine.json.law.shape"),
    (SENDER, "law.kind", "spline", "mine.json.law.kind"),
    (SENDER, "law.kind", None, "mine.json.law.kind"),
    (SENDER, "law", "240 to 33", "mine.json.law"),
    (SENDER, "law", {}, "mine.json.law.kind"),
    (SENDER, "law.colour", "red", "mine.json.law"),
    (SENDER, "colour", "red", "mine.json"),
    (SENDER, "key", 5, "mine.json.key"),
    (SENDER, "notes", None, "mine.json.notes"),
    (SENDER, "quantity", "flow", "mine.json.quantity"),
    (SENDER, "stations", 3, "mine.json.stations"),
    (SENDER, "stations", True, "mine.json.stations"),
    (SENDER, "stations", "2", "mine.json.stations"),
    (SENDER, "part", "pump", "mine.json.part"),
    (GAUGE, "movement.heater", {"is": "60 Ω", "age": "old"}, "mine.json.movement.heater"),
    (GAUGE, "movement.heater", {"tolerance": "5 %"}, "mine.json.movement.heater"),
    (GAUGE, "movement.heater", {"is": "60 V"}, "mine.json.movement.heater"),
    (GAUGE, "movement.heater", ["60 Ω"], "mine.json.movement.heater"),
    (GAUGE, "system", ["12 V", "48 V"], "mine.json.system[1]"),
    (GAUGE, "system", "12 V", "mine.json.system"),
    (GAUGE, "scaled_for", {"key": "level-9-1"}, "mine.json.scaled_for"),
    (GAUGE, "basis", 7, "mine.json.basis"),
]


@pytest.mark.parametrize(("raw", "path", "value", "place"), WRONG)
def test_that_a_wrong_field_is_refused_with_its_path(
    raw: dict[str, Any], path: str, value: object, place: str
) -> None:
    found = sentences(put(raw, path, value))
    assert found
    assert all(sentence.startswith((f"{place}: ", f"{place}.")) for sentence in found), found


@pytest.mark.parametrize("number", [float("nan"), float("inf"), True, "0.001", None, 10**400])
def test_that_a_coefficient_is_a_plain_finite_number(number: object) -> None:
    raw = put(SENDER, "quantity", "temperature") | {"law": STEINHART_HART | {"a": number}}
    (sentence,) = sentences(raw)
    assert sentence.startswith("mine.json.law.a: ")


@pytest.mark.parametrize("raw", [None, 3, "part", [], {}, {"part": []}], ids=repr)
def test_that_what_is_no_part_at_all_gets_one_sentence(raw: object) -> None:
    (sentence,) = sentences(raw)
    assert sentence.startswith("mine.json")


def test_that_all_problems_are_gathered() -> None:
    raw = put(put(put(SENDER, "law.points.0.at", "x"), "law.points.1.gives", 3), "stations", 9)
    del raw["name"]
    places = [sentence.split(": ")[0] for sentence in sentences(raw)]
    assert sorted(places) == [
        "mine.json.law.points[0].at",
        "mine.json.law.points[1].gives",
        "mine.json.name",
        "mine.json.stations",
    ]


def test_that_a_missing_field_is_named() -> None:
    raw = {field: value for field, value in SENDER.items() if field != "law"}
    assert sentences(raw) == ["mine.json.law: this field is missing. Add it."]


def test_that_two_unknown_fields_are_both_named() -> None:
    (sentence,) = sentences(SENDER | {"zeal": 1, "age": 2})
    assert "age, zeal" in sentence


@pytest.mark.parametrize(
    ("path", "value"),
    [("law.points.1.gives", "9 Ω"), ("law.points.1.at", "0 %"), ("law.points", [])],
)
def test_that_a_table_s_own_problems_come_with_the_place_of_its_part(
    path: str, value: object
) -> None:
    (sentence,) = sentences(put(SENDER, path, value))
    assert sentence.startswith("mine.json: ")


def test_that_a_long_wrong_value_is_quoted_in_part_only() -> None:
    (sentence,) = sentences(put(SENDER, "law.points.0.gives", ["9 Ω"] * 10_000))
    assert len(sentence) < 300


def test_that_a_part_of_a_part_can_be_read_alone() -> None:
    assert decode(SENDER["law"]["points"][0], Point, "row") == Point(
        Amount(0.0, "%"), Amount(9.0, "Ω")
    )
