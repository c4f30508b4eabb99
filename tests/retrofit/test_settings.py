"""The settings file: read, kept, refused, never lost."""

from __future__ import annotations

import json
from pathlib import Path
from types import MappingProxyType
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.quantities.kinds import UNITS, Kind
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import show
from retrofit.settings import (
    FORMAT,
    VERSION,
    Settings,
    load_settings,
    save_settings,
    settings_path,
)

SOUND = {"format": FORMAT, "version": VERSION}


@pytest.fixture
def file(settings_home: Path) -> Path:
    settings_home.mkdir()
    return settings_home / "settings.json"


def write(file: Path, document: object) -> bytes:
    file.write_text(json.dumps(document), encoding="utf-8")
    return file.read_bytes()


def keys(file: Path) -> list[str]:
    return [message.key for message in load_settings(file).messages]


def test_that_no_settings_file_means_the_usual_settings(settings_home: Path) -> None:
    loaded = load_settings()
    assert loaded.settings == Settings()
    assert loaded.messages == ()
    assert not settings_home.exists()


def test_that_settings_lie_in_the_folder_that_the_environment_names(settings_home: Path) -> None:
    assert settings_path() == settings_home / "settings.json"


def test_that_a_relative_settings_folder_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RETROFIT_HOME", "somewhere")
    with pytest.raises(UserError) as caught:
        settings_path()
    assert caught.value.messages[0].key == "settings.home"


units = st.dictionaries(
    st.sampled_from(sorted(UNITS, key=lambda kind: kind.value)), st.integers(0, 20), max_size=5
).map(
    lambda picks: {
        kind.value: UNITS[kind][n % len(UNITS[kind])].symbol for kind, n in picks.items()
    }
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(units=units, decimal=st.sampled_from(get_args(DecimalMark)))
def test_that_saved_settings_come_back_as_they_were(
    units: dict[str, str], decimal: DecimalMark, settings_home: Path
) -> None:
    wanted = Settings(MappingProxyType(units), decimal, "german")
    save_settings(wanted)
    loaded = load_settings()
    assert loaded.settings == wanted
    assert loaded.messages == ()
    assert [entry.name for entry in settings_home.iterdir()] == ["settings.json"]


def test_that_a_newer_file_is_refused_and_left_untouched(file: Path) -> None:
    before = write(file, {**SOUND, "version": VERSION + 1, "hues": "warm"})
    for attempt in (load_settings, lambda: save_settings(Settings(decimal=","))):
        with pytest.raises(UserError) as caught:
            attempt()
        (problem,) = caught.value.messages
        assert problem.key == "settings.newer"
        assert problem.value("version") == VERSION + 1
    assert file.read_bytes() == before
    assert [entry.name for entry in file.parent.iterdir()] == ["settings.json"]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b'{"format": "retrofit-settings", "ver',
        b"\xff\xfe\x00",
        b"[" * 100_000,
        b" " * 1_000_001,
        b'"retrofit-settings"',
        b'{"units": {}}',
        b'{"format": "retrofit-plan", "version": 1}',
        b'{"format": "retrofit-settings", "version": "two"}',
    ],
    ids=["empty", "cut", "binary", "deep", "huge", "string", "foreign", "plan", "version"],
)
def test_that_a_damaged_file_is_kept_aside_and_the_usual_settings_apply(
    content: bytes, file: Path
) -> None:
    file.write_bytes(content)
    loaded = load_settings()
    assert loaded.settings == Settings()
    assert [message.key for message in loaded.messages] == ["settings.damaged"]
    aside = file.with_name("settings.json.damaged")
    assert loaded.messages[0].value("copy") == str(aside)
    save_settings(Settings(decimal=","))
    assert load_settings().settings.decimal == ","
    assert aside.read_bytes() == content


def test_that_a_second_damaged_file_does_not_replace_the_first_one_kept(file: Path) -> None:
    for content in (b"first", b"second", b"first"):
        file.write_bytes(content)
        load_settings()
    kept = {entry.name: entry.read_bytes() for entry in file.parent.iterdir()}
    assert kept == {
        "settings.json": b"first",
        "settings.json.damaged": b"first",
        "settings.json.damaged-2": b"second",
    }


def test_that_one_bad_setting_costs_only_itself(file: Path) -> None:
    before = write(
        file,
        {
            **SOUND,
            "decimal": ";",
            "language": "german",
            "units": {"pressure": "psi", "length": "furlong", "mood": "low", "level": 4},
        },
    )
    loaded = load_settings()
    assert loaded.settings == Settings({"pressure": "psi"}, ".", "german")
    assert [message.key for message in loaded.messages] == [
        "settings.value",
        "settings.unit",
        "settings.kind",
        "settings.unit",
        "settings.kept",
    ]
    assert file.with_name("settings.json.damaged").read_bytes() == before


@pytest.mark.parametrize("units", [["psi"], "psi", 4, None])
def test_that_units_of_the_wrong_shape_are_named(units: object, file: Path) -> None:
    write(file, {**SOUND, "units": units})
    assert keys(file) == ["settings.kind", "settings.kept"]


def test_that_saving_over_bad_settings_that_were_never_loaded_keeps_them_aside(file: Path) -> None:
    before = write(file, {**SOUND, "units": {"mood": "low"}})
    save_settings(Settings())
    assert file.with_name("settings.json.damaged").read_bytes() == before


def test_that_entries_of_no_concern_here_survive_saving(file: Path) -> None:
    write(file, {**SOUND, "note": "the shed's computer"})
    save_settings(Settings(decimal=","))
    assert json.loads(file.read_text(encoding="utf-8"))["note"] == "the shed's computer"


def test_that_a_settings_path_that_cannot_be_read_is_named(file: Path) -> None:
    file.mkdir()
    with pytest.raises(UserError) as caught:
        load_settings()
    assert caught.value.messages[0].key == "file.unreadable"
    assert caught.value.messages[0].value("path") == str(file)


def test_that_a_settings_folder_that_cannot_be_made_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    monkeypatch.setenv("RETROFIT_HOME", str(tmp_path / "taken" / "inside"))
    with pytest.raises(UserError) as caught:
        save_settings(Settings())
    assert caught.value.messages[0].key in ("file.unwritable", "file.unreadable")


def test_that_numbers_are_shown_as_the_settings_say() -> None:
    style = Settings({"pressure": "psi"}, ",").number_style()
    assert show(310_264.078, Kind.PRESSURE, style, unit=False) == "45,0"
    assert show(0.5, Kind.VOLTAGE, style, unit=False) == "0,50"
