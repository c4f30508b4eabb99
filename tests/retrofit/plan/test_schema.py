"""The schema against a validator that knows nothing of our classes (jsonschema)."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import is_dataclass
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, encode
from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from retrofit.plan.draft import Wish, draft
from retrofit.plan.file import plan_text
from retrofit.plan.schema import schema
from retrofit.shipped import path as shipped

VALIDATOR = jsonschema.Draft202012Validator(schema())
DEMO: dict[str, Any] = json.loads(shipped("demo", "harbour-launch.json").read_text("utf-8"))


def test_that_the_schema_is_one_of_its_own_draft() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("demo", sorted(shipped("demo").glob("*.json")), ids=lambda p: p.stem)
def test_that_the_demo_plans_are_valid(demo: Path) -> None:
    VALIDATOR.validate(json.loads(demo.read_text(encoding="utf-8")))


def test_that_a_plan_of_every_catalogue_part_is_valid() -> None:
    library = load_generic()
    gauges: dict[str, list[Gauge]] = {}
    for gauge in library.gauges:
        gauges.setdefault(gauge.quantity, []).append(gauge)
    for number, sender in enumerate(library.senders):
        among = gauges[sender.quantity]
        for gauge in among if number < 3 else among[:1]:
            text = plan_text(draft(sender, gauge, Wish(), {sender.key: 1, gauge.key: 1}))
            VALIDATOR.validate(json.loads(text))
    for quantity, among in gauges.items():
        sender = next(one for one in library.senders if one.quantity == quantity)
        for gauge in among:
            VALIDATOR.validate(json.loads(plan_text(draft(sender, gauge, Wish()))))


def _extra(plan: dict[str, Any]) -> None:
    plan["duty"]["colour"] = "blue"


def _missing(plan: dict[str, Any]) -> None:
    del plan["duty"]["low"]


def _bare_reading(plan: dict[str, Any]) -> None:
    plan["duty"]["low"] = "40"


def _number_for_text(plan: dict[str, Any]) -> None:
    plan["duty"]["high"] = 120


def _prose_for_quantity(plan: dict[str, Any]) -> None:
    plan["pairings"][0]["installation"]["supply"]["nominal"] = "twelve volts"


def _no_choice(plan: dict[str, Any]) -> None:
    plan["duty"]["medium"] = "soup"


def _no_kind(plan: dict[str, Any]) -> None:
    del plan["pairings"][0]["sender"]["law"]["kind"]


def _foreign_kind(plan: dict[str, Any]) -> None:
    plan["pairings"][0]["gauge"]["movement"]["kind"] = "spring"


def _no_basis(plan: dict[str, Any]) -> None:
    plan["pairings"][0]["sender"]["law"]["basis"] = "hearsay"


def _object_for_list(plan: dict[str, Any]) -> None:
    plan["pairings"] = plan["pairings"][0]


def _share_of_revision(plan: dict[str, Any]) -> None:
    plan["pairings"][0]["gauge_origin"]["revision"] = 1.5


@pytest.mark.parametrize(
    "damage",
    [
        _extra,
        _missing,
        _bare_reading,
        _number_for_text,
        _prose_for_quantity,
        _no_choice,
        _no_kind,
        _foreign_kind,
        _no_basis,
        _object_for_list,
        _share_of_revision,
    ],
    ids=lambda damage: damage.__name__.strip("_"),
)
def test_that_a_broken_plan_is_not_valid(damage: Callable[[dict[str, Any]], None]) -> None:
    document = copy.deepcopy(DEMO)
    VALIDATOR.validate(document)
    damage(document["plan"])
    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate(document)


@pytest.mark.parametrize("field", ["format", "version"])
def test_that_another_format_or_version_is_not_valid(field: str) -> None:
    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate({**DEMO, field: "retrofit-plot" if field == "format" else 1})


def test_that_every_law_and_movement_is_in_the_schema_with_its_kind() -> None:
    defined = schema()["$defs"]
    for record, tag in {**LAW_TAGS, **MOVEMENT_TAGS}.items():
        assert defined[record.__name__]["properties"]["kind"] == {"const": tag}


def test_that_fields_are_described_in_the_words_of_their_records() -> None:
    duty = schema()["$defs"]["Duty"]
    assert duty["description"] == "What has to be read."
    assert "engine controller" in duty["properties"]["controller_shares"]["description"]
    assert "°C, °F, K" in duty["properties"]["low"]["description"]


def test_that_the_schema_holds_no_field_that_the_codec_does_not_write() -> None:
    sender = load_generic().part("level-240-33-mid-103")
    assert is_dataclass(sender)
    assert set(encode(sender)) <= set(schema()["$defs"]["Sender"]["properties"])
