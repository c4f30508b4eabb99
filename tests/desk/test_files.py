"""Plans to begin with, and the list of those opened last."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

import pytest

from catalog.library import load_generic
from catalog.parts.fields import QuantityName
from catalog.parts.sender import Sender
from catalog.quantities.show import NumberStyle
from retrofit.desk.edits import choose_sender
from retrofit.desk.files import (
    demo_plan,
    new_plan,
    recent_plans,
    remember_plan,
    start_session,
)
from retrofit.desk.journal import data_folder, left_behind
from retrofit.messages import Renderer
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import Verdict
from tests.desk.hostile_places import RENDERER, as_nobody, readable_folder


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


@pytest.fixture
def listed(settings_home: Path) -> Path:
    """The file that lists the plans opened last."""
    settings_home.mkdir()
    return settings_home / "recent.json"


def plans(folder: Path, count: int) -> list[Path]:
    made = [folder / f"{number}.json" for number in range(count)]
    for path in made:
        path.touch()
    return made


# --- plans to begin with ------------------------------------------------------------------------


def worst(found: Assessment) -> str:
    """The sentence that stands first beside the dial."""
    check = found.checks[0]
    return f"{RENDERER.sentence(check.says)}: {RENDERER.sentence(check.why)}"


@pytest.mark.parametrize(
    ("quantity", "key"),
    [
        ("temperature", "temperature-450-15-300f"),
        ("pressure", "pressure-10bar-10-184"),
        ("level", "level-240-33-mid-103"),
    ],
)
def test_that_a_new_plan_is_unknown_and_says_what_to_do_next(
    quantity: QuantityName, key: str
) -> None:
    plan = new_plan(quantity, RENDERER)
    found = assess(plan)
    assert (found.verdict, found.reading) == (Verdict.UNKNOWN, None)
    assert "choose a class under Sender, or paste what you measured" in worst(found)
    sender = load_generic().part(key)
    assert isinstance(sender, Sender)
    found = assess(choose_sender("A", sender, 1).change(plan))
    assert (found.verdict, found.reading) == (Verdict.UNKNOWN, None)
    assert "choose a class under Gauge" in worst(found)
    said = [RENDERER.sentence(check.why) for check in found.checks]
    assert any("no mark that matters is named" in text for text in said)
    assert any("nothing may load it; follow its wires" in text for text in said)


def test_that_the_names_of_a_new_plan_are_words_of_the_users_language() -> None:
    plan = new_plan("level", Renderer(NumberStyle()))
    names = (plan.name, plan.pairings[0].gauge.name, plan.pairings[0].sender.name)
    assert all("." not in name and " " in name for name in names)


def test_that_the_demo_is_a_finished_plan_with_a_reading() -> None:
    found = assess(demo_plan())
    assert found.reading is not None
    assert len(found.marks) >= 2


def test_that_a_started_plan_is_unsaved_and_leaves_nothing_until_it_is_edited() -> None:
    session = start_session(demo_plan())
    assert (session.unsaved, session.read_only, session.path) == (True, False, None)
    session.close()
    assert left_behind() == ()
    assert not data_folder().exists()


# --- plans opened last --------------------------------------------------------------------------


def test_that_the_plan_opened_last_comes_first_and_none_comes_twice(tmp_path: Path) -> None:
    first, second, third = plans(tmp_path, 3)
    for path in (first, second, third, first):
        remember_plan(path)
    assert recent_plans() == (first, third, second)


def test_that_ten_are_remembered(tmp_path: Path) -> None:
    made = plans(tmp_path, 12)
    for path in made:
        remember_plan(path)
    assert recent_plans() == tuple(reversed(made[2:]))


def test_that_a_plan_that_is_gone_is_not_listed(tmp_path: Path) -> None:
    first, second = plans(tmp_path, 2)
    for path in (first, second):
        remember_plan(path)
    second.unlink()
    assert recent_plans() == (first,)
    first.unlink()
    first.mkdir()
    assert recent_plans() == ()


def test_that_a_relative_path_is_remembered_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (path,) = plans(tmp_path, 1)
    monkeypatch.chdir(tmp_path)
    remember_plan(Path(path.name))
    assert recent_plans() == (path,)


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"\xff", b"7", b'{"a": 1}', b"[" * 100_000, b'[1, null, "\\u0000", "\\ud800", ""]'],
)
def test_that_a_damaged_list_is_no_matter(listed: Path, tmp_path: Path, content: bytes) -> None:
    listed.write_bytes(content)
    assert recent_plans() == ()
    (path,) = plans(tmp_path, 1)
    remember_plan(path)
    assert recent_plans() == (path,)


@pytest.mark.skipif(sys.platform != "linux", reason="file names are bytes on Linux only")
def test_that_a_file_name_that_is_no_text_is_remembered(tmp_path: Path) -> None:
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.json"))
    path.touch()
    remember_plan(path)
    assert recent_plans() == (path,)


def test_that_a_list_that_cannot_be_written_is_no_matter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("RETROFIT_HOME", str(tmp_path / "file" / "home"))
    remember_plan(tmp_path / "file")
    assert recent_plans() == ()


def test_that_a_plan_in_a_folder_that_may_not_be_looked_into_is_not_listed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with readable_folder() as folder:
        closed = folder / "closed"
        closed.mkdir()
        (path,) = plans(closed, 1)
        (folder / "recent.json").write_text(json.dumps([str(path)]))
        closed.chmod(0o000)
        monkeypatch.setenv("RETROFIT_HOME", str(folder))
        try:
            assert as_nobody(lambda: [str(found) for found in recent_plans()]) == []
        finally:
            closed.chmod(0o755)
