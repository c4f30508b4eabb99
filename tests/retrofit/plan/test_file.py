"""The plan file: exact round trip, and one sentence for whatever else may stand in a file."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from catalog.errors import BugError, UserError
from catalog.json_file import DEEPEST
from catalog.message import Message
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.plan.document import Plan
from retrofit.plan.file import plan_from_text, plan_text, read_plan, write_plan
from retrofit.plan.migrate import MIGRATIONS, Migrations
from retrofit.shipped import path as shipped

DEMO = shipped("demo", "harbour-launch.json")
DEMO_TEXT = DEMO.read_text(encoding="utf-8")


def renamed(plan: dict[str, Any]) -> dict[str, Any]:
    """An artificial step: version 2 as it would be if the name had been called title."""
    rest = {key: value for key, value in plan.items() if key != "title"}
    return {"name": plan["title"], **rest}


NEXT = Migrations(version=3, steps={2: renamed})
"""A program of tomorrow, which calls a plan's title its name."""


def older_text() -> str:
    """The demo as tomorrow's program would find it in a file of version 2."""
    document = json.loads(DEMO_TEXT)
    document["plan"]["title"] = document["plan"].pop("name")
    return json.dumps(document, ensure_ascii=False)


def refusal(path: Path) -> Message:
    with pytest.raises(UserError) as caught:
        read_plan(path)
    assert len(caught.value.messages) == 1
    return caught.value.messages[0]


def sentence(message: Message) -> str:
    return Renderer(NumberStyle()).sentence(message)


@pytest.mark.parametrize("demo", sorted(shipped("demo").glob("*.json")), ids=lambda p: p.stem)
def test_that_reading_then_writing_an_unchanged_plan_gives_the_same_text(
    demo: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copy.json"
    write_plan(copy, read_plan(demo))
    assert copy.read_bytes() == demo.read_bytes()


def test_that_a_byte_order_mark_does_not_hinder_reading(tmp_path: Path) -> None:
    path = tmp_path / "marked.json"
    path.write_text("\ufeff" + DEMO_TEXT, encoding="utf-8")
    assert read_plan(path) == read_plan(DEMO)


def test_that_half_a_surrogate_pair_in_a_name_survives_saving(tmp_path: Path) -> None:
    plan = plan_from_text(DEMO_TEXT.replace("Harbour launch", "\\ud83d launch"), "demo")
    write_plan(tmp_path / "odd.json", plan)
    assert read_plan(tmp_path / "odd.json").name == plan.name == "\ud83d launch, coolant"


BAD: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "file.empty"),
    "no JSON": (b'{"format": retrofit}', "file.no_json"),
    "prose": (b"Dear Sir,", "file.no_json"),
    "cut off": (DEMO_TEXT.encode()[:700], "file.cut_off"),
    "cut off in a text": (b'{"format": "retro', "file.cut_off"),
    "another program's": (b'{"version": 1, "plan": {}}', "plan_file.foreign"),
    "a list": (b"[1, 2]", "plan_file.foreign"),
    "no version": (b'{"format": "retrofit-plan", "plan": {}}', "plan_file.no_version"),
    "version true": (
        b'{"format": "retrofit-plan", "version": true, "plan": {}}',
        "plan_file.no_version",
    ),
    "newer": (b'{"format": "retrofit-plan", "version": 3, "plan": 7}', "plan_file.newer"),
    "version zero": (b'{"format": "retrofit-plan", "version": 0}', "plan_file.too_old"),
    "no plan": (b'{"format": "retrofit-plan", "version": 1}', "plan_file.no_plan"),
    "extra field": (
        b'{"format": "retrofit-plan", "version": 1, "plan": {}, "macro": 1}',
        "file.extra",
    ),
    "NaN": (b'{"format": NaN}', "file.constant"),
    "infinity": (b'{"format": -Infinity}', "file.constant"),
    "twice": (b'{"format": "a", "format": "b"}', "file.twice"),
    "endless number": (b'{"format": ' + b"9" * 5000 + b"}", "file.long_number"),
    "too deep": (b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1), "file.too_deep"),
    "a million deep": (b'{"a":' * 1_000_000, "file.too_deep"),
    "Latin-1": (DEMO_TEXT.encode("latin-1", "replace"), "file.no_utf8"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00", "file.no_utf8"),
}


@pytest.mark.parametrize(("content", "key"), BAD.values(), ids=BAD)
def test_that_a_bad_file_is_refused_with_a_sentence_that_names_it(
    content: bytes, key: str, tmp_path: Path
) -> None:
    path = tmp_path / "launch.json"
    path.write_bytes(content)
    message = refusal(path)
    assert message.key == key
    assert str(path) in sentence(message)
    assert path.read_bytes() == content


def test_that_brackets_inside_texts_do_not_count_as_nesting(tmp_path: Path) -> None:
    document = json.loads(DEMO_TEXT)
    document["plan"]["notes"] = "[{" * 200 + '\\"['
    path = tmp_path / "brackets.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    assert read_plan(path).notes == "[{" * 200 + '\\"['


def test_that_the_sentence_for_no_json_tells_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "launch.json"
    path.write_text('{\n "format": retrofit\n}', encoding="utf-8")
    assert "(line 2, column 12)" in sentence(refusal(path))


def test_that_a_file_larger_than_the_bound_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.json"
    with path.open("wb") as file:
        file.truncate(20_000_001)
    message = refusal(path)
    assert message.key == "file.too_large"
    assert "20 MB" in sentence(message)


def test_that_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.json").key == "file.missing"
    assert refusal(tmp_path).key == "file.folder"
    with pytest.raises(UserError, match=r"file\.folder"):
        write_plan(tmp_path, read_plan(DEMO))


def test_that_every_wrong_field_is_told_with_its_path(tmp_path: Path) -> None:
    text = DEMO_TEXT.replace('"98 °C"', '"98 bar"').replace('"13.5 V"', '"13.5 furlong"')
    path = tmp_path / "launch.json"
    path.write_text(text.replace('"medium": "coolant"', '"medium": "soup"'), encoding="utf-8")
    with pytest.raises(UserError) as caught:
        read_plan(path)
    said = [sentence(message) for message in caught.value.messages]
    assert len(said) == 2  # a mark in bar can only be judged once the duty's other fields stand
    assert any(".plan" not in one and "soup" in one and ".duty.medium" in one for one in said)
    assert any("furlong" in one and ".pairings[0].installation" in one for one in said)


# --- versions -----------------------------------------------------------------------------------


def test_that_an_older_plan_is_migrated_step_by_step(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(older_text(), encoding="utf-8")
    assert read_plan(path, NEXT) == read_plan(DEMO)


def test_that_saving_over_an_older_plan_keeps_the_original_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(older_text(), encoding="utf-8")
    plan = read_plan(path, NEXT)
    write_plan(path, plan, NEXT)
    assert json.loads(path.read_text(encoding="utf-8"))["version"] == 3
    assert (tmp_path / "old.json.version-2.bak").read_text(encoding="utf-8") == older_text()
    write_plan(path, plan, NEXT)
    assert sorted(file.name for file in tmp_path.iterdir() if "old" in file.name) == [
        "old.json",
        "old.json.version-2.bak",
    ]


def test_that_two_different_originals_are_both_kept(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    for text in (older_text(), older_text() + " "):
        path.write_text(text, encoding="utf-8")
        write_plan(path, read_plan(path, NEXT), NEXT)
    assert len(list(tmp_path.glob("old.json.version-2*.bak"))) == 2


def test_that_an_older_plan_of_a_broken_form_is_told_and_left(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(DEMO_TEXT, encoding="utf-8")  # says version 2 but has no title
    with pytest.raises(UserError, match=r"plan_file\.old_form"):
        read_plan(path, NEXT)
    assert path.read_text(encoding="utf-8") == DEMO_TEXT


def test_that_a_plan_of_version_1_is_read_as_it_was_and_kept_when_it_is_saved(
    tmp_path: Path,
) -> None:
    """A file that the program wrote at version 1, kept as it was."""
    stored = Path(__file__).parent / "older" / "version-1.json"
    path = tmp_path / "tractor.json"
    path.write_bytes(stored.read_bytes())
    plan = read_plan(path)
    assert (plan.name, plan.duty.medium, plan.duty.warning) == (
        "Vineyard tractor, diesel",
        "diesel",
        None,
    )
    (pairing,) = plan.pairings
    assert [(one.name, str(one.at), one.flatters) for one in plan.duty.marks] == [
        ("reserve", "12 %", "high")
    ]
    assert pairing.sender.key == "level-73-10-mid-23"
    assert str(pairing.installation.supply.high) == "14.4 V"
    assert (pairing.fit, pairing.sender.fitting) == (None, None)
    write_plan(path, plan)
    saved, old = json.loads(path.read_text("utf-8")), json.loads(stored.read_text("utf-8"))
    assert (saved["version"], old["version"]) == (MIGRATIONS.version, 1)
    assert saved["plan"] == old["plan"]
    assert path.with_name("tractor.json.version-1.bak").read_bytes() == stored.read_bytes()


def test_that_a_gap_in_the_steps_is_our_own_mistake() -> None:
    with pytest.raises(BugError, match="no step from plan version 2 to 3"):
        Migrations(3, {1: renamed}).migrated({"title": "launch"}, 1)


def test_that_a_newer_plan_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "newer.json"
    write_plan(path, read_plan(DEMO), Migrations(version=3))
    before = path.read_bytes()
    with pytest.raises(UserError, match=r"plan_file\.newer"):
        write_plan(path, read_plan(DEMO))
    assert path.read_bytes() == before


# --- folders that cannot be written ------------------------------------------------------------


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may enter; pytest's own is closed to all but its owner."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


LOCKED = {
    "write into it": ("write_plan(Path('locked/new.json'), plan)", "file.unwritable"),
    "write over a file": ("write_plan(Path('locked/launch.json'), plan)", "file.unwritable"),
    "read a closed file": ("read_plan(Path('locked/launch.json'))", "file.unreadable"),
    "look into it": ("read_plan(Path('locked/closed/launch.json'))", "file.unreadable"),
    "write behind it": ("write_plan(Path('locked/closed/launch.json'), plan)", "file.unwritable"),
}


def test_that_a_locked_folder_is_told_in_one_sentence_whatever_is_tried(open_folder: Path) -> None:
    locked, file = open_folder / "locked", open_folder / "locked" / "launch.json"
    (locked / "closed").mkdir(parents=True)
    file.write_text(DEMO_TEXT, encoding="utf-8")
    for path, mode in ((file, 0o000), (locked / "closed", 0o700), (locked, 0o555)):
        path.chmod(mode)
    code = """
import json, os, sys
from pathlib import Path
from catalog.errors import UserError
from retrofit.plan.file import plan_from_text, read_plan, write_plan
plan = plan_from_text(sys.stdin.read(), "demo")
# The superuser may write anywhere and would prove nothing; others are locked out anyway.
if os.geteuid() == 0:
    os.setuid(65534)
else:
    os.chmod("locked/closed", 0)
said = {}
for call in sys.argv[1:]:
    try:
        eval(call)
    except UserError as error:
        said[call] = " ".join(message.key for message in error.messages)
print(json.dumps(said))
"""
    run = subprocess.run(
        [sys.executable, "-c", code, *(call for call, _ in LOCKED.values())],
        cwd=open_folder,
        input=DEMO_TEXT.encode(),
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[3])},
        capture_output=True,
        check=False,
    )
    assert run.stderr.decode() == ""
    assert json.loads(run.stdout) == dict(LOCKED.values())
    locked.chmod(0o755)
    assert sorted(path.name for path in locked.iterdir()) == ["closed", "launch.json"]


def test_that_a_plan_s_text_is_its_own_for_ever() -> None:
    plan: Plan = plan_from_text(DEMO_TEXT, "demo")
    assert plan_text(plan) == plan_text(plan_from_text(plan_text(plan), "again"))
