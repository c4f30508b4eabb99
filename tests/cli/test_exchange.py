"""``retrofit export`` and ``retrofit import``: out, looked at, and in again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from catalog.home import catalogue_path
from catalog.library import load_generic
from catalog.store.open import open_store
from retrofit.settings import Settings, save_settings
from tests.cli.prompt import Prompt

COUNT = len(load_generic().senders) + len(load_generic().gauges)

MINE = """key,name,quantity,law.kind,notes
bench-one,My own sender,pressure,table,{notes}
"""
POINTS = "part,at,gives\nbench-one,0 bar,12 ohm\nbench-one,10 bar,180 ohm\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "points.csv").write_text(POINTS)
    return noted(tmp_path, "bench")


def noted(folder: Path, notes: str) -> Path:
    (folder / "senders.csv").write_text(MINE.format(notes=notes))
    return folder


@pytest.mark.parametrize("name", ["out", "all.json"])
def test_that_the_whole_catalogue_goes_out_and_would_change_nothing_in_again(
    name: str, prompt: Prompt, tmp_path: Path
) -> None:
    out = prompt("export", str(tmp_path / name))
    assert (out.code, out.err) == (0, "")
    assert f"{COUNT} parts" in out.out
    back = prompt("import", str(tmp_path / name))
    assert (back.code, back.err) == (0, "")
    assert f"{COUNT} parts are in your catalogue already" in back.out
    assert "Nothing would change" in back.out
    assert not catalogue_path().exists()  # neither looks nor leaves a trace


def test_that_an_import_changes_nothing_until_it_is_told_to(prompt: Prompt, folder: Path) -> None:
    looked = prompt("import", str(folder))
    assert looked.code == 0
    assert "new  bench-one" in looked.out
    assert "Nothing was changed yet" in looked.out
    assert not catalogue_path().exists()
    done = prompt("import", str(folder), "--apply")
    assert "Done: 1 parts" in done.out
    with open_store() as store:
        assert store.part("bench-one").notes == "bench"
        assert store.history("bench-one")[0].label == f"imported from {folder.name}"


def test_that_a_conflict_is_shown_with_both_values_and_asks_for_a_choice(
    prompt: Prompt, folder: Path
) -> None:
    prompt("import", str(folder), "--apply")
    noted(folder, "theirs")
    refused = prompt("import", str(folder), "--apply")
    assert refused.code == 1
    assert "notes: bench → theirs" in refused.out
    assert "--on-conflict" in refused.joined
    kept = prompt("import", str(folder), "--apply", "--on-conflict", "mine-as-new")
    assert kept.code == 0
    with open_store() as store:
        assert store.part("bench-one").notes == "theirs"
        assert store.part("bench-one-mine").notes == "bench"


def test_that_the_preview_as_data_holds_both_parts(prompt: Prompt, folder: Path) -> None:
    prompt("import", str(folder), "--apply")
    noted(folder, "theirs")
    data = json.loads(prompt("import", str(folder), "--json").out)
    assert (data["format"], data["applied"], data["problems"]) == ("retrofit-import", False, [])
    assert data["counts"] == {"new": 0, "same": 0, "changed": 0, "conflict": 1}
    (part,) = data["parts"]
    assert (part["file"], part["row"]) == (str(folder / "senders.csv"), 2)
    assert (part["mine"]["notes"], part["theirs"]["notes"]) == ("bench", "theirs")
    assert part["differences"] == [{"field": "notes", "mine": "bench", "theirs": "theirs"}]
    done = json.loads(
        prompt("import", str(folder), "--json", "--apply", "--on-conflict", "theirs").out
    )
    assert (done["applied"], done["saved"]) == (True, ["bench-one"])


def test_that_bad_rows_are_told_with_their_place_and_nothing_is_taken_over(
    prompt: Prompt, folder: Path
) -> None:
    (folder / "points.csv").write_text(POINTS + "bench-one,11 bar,170 ohm\nnobody,1 bar,1 ohm\n")
    said = prompt("import", str(folder), "--apply")
    assert said.code == 1
    assert "points.csv, row 4, column gives" in said.joined
    assert "points.csv, row 5, column part" in said.joined
    data = json.loads(prompt("import", str(folder), "--json").out)
    assert len(data["problems"]) == 2
    with open_store() as store:
        assert "bench-one" not in {record.key for record in store.search(limit=None).records}


def test_that_only_my_own_parts_or_some_words_go_out(
    prompt: Prompt, folder: Path, tmp_path: Path
) -> None:
    nothing = prompt("export", str(tmp_path / "own.json"), "--own")
    assert (nothing.code, (tmp_path / "own.json").exists()) == (1, False)
    prompt("import", str(folder), "--apply")
    prompt("export", str(tmp_path / "own.json"), "--own")
    own = json.loads((tmp_path / "own.json").read_text(encoding="utf-8"))["parts"]
    assert [part["key"] for part in own] == ["bench-one"]
    prompt("export", str(tmp_path / "some.json"), "dual", "station", "--quantity", "level")
    some = json.loads((tmp_path / "some.json").read_text(encoding="utf-8"))["parts"]
    assert [part["key"] for part in some] == ["level-120-16-dual"]


def test_that_an_export_never_replaces_a_file_unasked(prompt: Prompt, tmp_path: Path) -> None:
    (tmp_path / "all.json").write_text("precious")
    said = prompt("export", str(tmp_path / "all.json"))
    assert said.code == 1
    assert "--force" in said.joined
    assert (tmp_path / "all.json").read_text() == "precious"
    assert prompt("export", str(tmp_path / "all.json"), "--force").code == 0


def test_that_a_decimal_comma_of_the_user_is_written_and_read(
    prompt: Prompt, tmp_path: Path
) -> None:
    save_settings(Settings(decimal=","))
    prompt("export", str(tmp_path / "out"))
    text = (tmp_path / "out" / "points.csv").read_text(encoding="utf-8-sig")
    assert "158,2;Ω" in text
    assert "Nothing would change" in prompt("import", str(tmp_path / "out")).out


def test_that_a_choice_that_does_not_exist_is_a_mistake_of_usage(
    prompt: Prompt, folder: Path
) -> None:
    assert prompt("import", str(folder), "--on-conflict", "win").code == 2
