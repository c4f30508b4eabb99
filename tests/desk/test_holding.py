"""Two copies of the program on one plan: who may write, who has to notice."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog.errors import UserError
from retrofit.desk.edits import rename_plan
from retrofit.desk.files import demo_plan
from retrofit.desk.holding import Hold, hold, hold_path
from retrofit.desk.processes import birth, runs
from retrofit.desk.session import Change, open_session
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan, write_plan
from tests.desk.hostile_places import as_nobody, readable_folder, sentence
from tests.desk.other_copy import OtherCopy, other_copy


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


@pytest.fixture
def path(plan: Plan, tmp_path: Path) -> Path:
    file = tmp_path / "launch.json"
    write_plan(file, plan)
    return file


@pytest.fixture(scope="module")
def one_other(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OtherCopy]:
    with other_copy(tmp_path_factory.mktemp("other")) as copy:
        yield copy


@pytest.fixture
def other(one_other: OtherCopy, path: Path) -> Iterator[OtherCopy]:
    """Another copy of the program, which holds the plan."""
    assert not one_other.says("open", str(path))["read_only"]
    yield one_other
    one_other.says("close")


def leave(path: Path, **record: object) -> None:
    """Write a hold as another copy of the program would have."""
    whole = {"machine": socket.gethostname(), "token": "0" * 16, **record}
    hold_path(path).write_text(json.dumps(whole), encoding="utf-8")


def gone() -> int:
    """Number of a process that has ended."""
    with subprocess.Popen([sys.executable, "-S", "-c", ""]) as process:
        process.wait()
    return process.pid


# --- held by another ----------------------------------------------------------------------------


def test_that_a_plan_another_copy_holds_can_be_looked_at_and_not_changed(
    path: Path, other: OtherCopy
) -> None:
    session = open_session(path)
    before = path.read_bytes()
    assert session.read_only
    assert session.holder == f"{socket.gethostname()}, process {other.number}"
    for refused in (lambda: session.do(rename_plan("Tug")), session.save):
        with pytest.raises(UserError) as error:
            refused()
        assert f"process {other.number}" in sentence(error.value)
        assert "take it over" in sentence(error.value)
    assert not session.unsaved
    assert not session.undo()
    session.close()
    assert path.read_bytes() == before
    said = other.says("rename", "Tug")
    assert (said["refused"], said["name"]) == ("", "Tug")


def test_that_a_plan_held_elsewhere_can_be_saved_under_another_name_and_worked_on(
    path: Path, other: OtherCopy
) -> None:
    del other
    session = open_session(path)
    session.save_as(path.with_name("mine.json"))
    assert not session.read_only
    session.do(rename_plan("Tug"))
    assert [file.name[:11] for file in path.parent.glob(".*.unsaved")] == [".mine.json."]
    session.close()
    assert hold_path(path).exists()


def test_that_saving_onto_a_plan_held_elsewhere_is_refused(
    path: Path, other: OtherCopy, plan: Plan
) -> None:
    own = path.with_name("own.json")
    write_plan(own, plan)
    session = open_session(own)
    session.do(rename_plan("Tug"))
    before = path.read_bytes()
    with pytest.raises(UserError) as refused:
        session.save_as(path)
    assert f"process {other.number}" in sentence(refused.value)
    assert path.read_bytes() == before
    assert (session.path, session.read_only, session.unsaved) == (own, False, True)
    session.save()
    session.close()


# --- taken over ---------------------------------------------------------------------------------


def test_that_a_plan_can_be_taken_over_and_the_first_copy_notices(
    path: Path, other: OtherCopy
) -> None:
    other.says("rename", "saved there")
    other.says("save")
    other.says("rename", "unsaved there")
    session = open_session(path)
    session.take_over()
    assert (session.plan.name, session.read_only, session.unsaved) == ("saved there", False, False)
    said = other.says("save")
    assert (said["refused"], said["read_only"]) == ("session.taken_over", True)
    assert other.says("rename", "too late")["name"] == "unsaved there"
    assert read_plan(path).name == "saved there"
    # What was typed there is offered here.
    found = session.left_behind()
    assert found is not None
    assert found.name == "unsaved there"
    session.do(rename_plan("mine"))
    session.save()
    other.says("close")
    assert open_session(path).read_only  # the hold is still the taker's
    session.close()
    assert read_plan(path).name == "mine"


def test_that_a_copy_that_lost_its_plan_says_what_to_do_and_can_save_elsewhere(
    path: Path,
) -> None:
    first, second = open_session(path), open_session(path)
    heard: list[Change] = []
    first.listen(heard.append)
    first.do(rename_plan("first"))
    second.take_over()
    second.do(rename_plan("second"))
    heard.clear()
    for refused in (first.save, lambda: first.do(rename_plan("more"))):
        with pytest.raises(UserError) as error:
            refused()
        assert str(path) in sentence(error.value)
        assert "Save under another name" in sentence(error.value)
    assert not first.undo()
    assert len(heard) == 1  # so that the window shows that it is read-only now
    first.save_as(path.with_name("first.json"))
    assert read_plan(path.with_name("first.json")).name == "first"
    first.close()
    second.save()
    second.close()
    assert read_plan(path).name == "second"
    assert sorted(file.name for file in path.parent.glob("*.json")) == ["first.json", "launch.json"]
    assert not list(path.parent.glob(".*.held"))


def test_that_a_plan_can_be_taken_back_and_the_work_of_both_is_found(path: Path) -> None:
    first, second = open_session(path), open_session(path)
    first.do(rename_plan("first"))
    second.take_over()
    second.do(rename_plan("second"))
    assert not first.undo()
    first.take_over()
    assert not second.redo()
    assert second.read_only
    offered = []
    while (found := first.left_behind()) is not None:
        offered.append(found.name)
        first.drop_recovery()
    assert offered == ["second", "first"]
    first.close()
    second.close()


def test_that_work_that_is_nowhere_else_is_not_given_up_by_taking_back(path: Path) -> None:
    first, second = open_session(path), open_session(path)
    assert first._journal is not None
    first._journal.path = path / "no folder" / "x.unsaved"
    first.do(rename_plan("first"))
    second.take_over()
    assert not first.undo()
    with pytest.raises(UserError) as refused:
        first.take_over()
    assert "cannot be written" in sentence(refused.value)
    assert first.plan.name == "first"
    first.close()
    second.close()


def test_that_a_plan_that_is_gone_cannot_be_taken_over(path: Path) -> None:
    first, second = open_session(path), open_session(path)
    path.write_text("{")
    with pytest.raises(UserError):
        second.take_over()
    assert second.read_only
    first.do(rename_plan("still held"))
    first.close()
    second.close()


def test_that_a_hold_somebody_deleted_is_made_again_while_the_file_is_as_it_was(
    path: Path,
) -> None:
    session = open_session(path)
    hold_path(path).unlink()
    session.do(rename_plan("Tug"))
    assert hold_path(path).exists()
    session.save()
    # Taken over, saved and let go by another copy: what it saved is not written over.
    hold_path(path).unlink()
    write_plan(path, session.plan)
    other = open_session(path)
    other.do(rename_plan("from the other"))
    other.save()
    other.close()
    with pytest.raises(UserError):
        session.do(rename_plan("mine"))
    assert session.read_only
    session.close()
    assert read_plan(path).name == "from the other"


# --- stale holds --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "record",
    [
        {"process": 0},
        {"process": -1},
        {"process": "many"},
        {"process": 2**80},
        {"process": os.getppid(), "began": "another time"},
        {"process": os.getpid()},
    ],
    ids=["none", "all", "no number", "huge", "number given again", "our own number, before"],
)
def test_that_a_hold_of_no_running_copy_counts_for_nothing(
    path: Path, record: dict[str, object]
) -> None:
    leave(path, **record)
    mine = hold(path)
    assert mine.ours
    mine.release()
    assert not hold_path(path).exists()


@pytest.mark.parametrize("machine", [None, "elsewhere"], ids=["of this machine", "of another"])
def test_that_a_hold_that_may_be_in_use_is_respected(path: Path, machine: str | None) -> None:
    process = os.getppid() if machine is None else gone()
    leave(path, process=process, machine=machine or socket.gethostname())
    theirs = hold(path)
    assert not theirs.ours
    assert str(process) in theirs.holder
    theirs.release()
    assert hold_path(path).exists()
    mine = hold(path, by_force=True)
    assert mine.ours
    mine.release()


@pytest.mark.parametrize("content", ["", "{", "[" * 4096, "7", "[]"])
def test_that_a_damaged_hold_is_respected_only_while_it_may_be_half_written(
    path: Path, content: str
) -> None:
    beside = hold_path(path)
    beside.write_text(content)
    assert not hold(path).ours
    before = time.time() - 60
    os.utime(beside, (before, before))
    mine = hold(path)
    assert mine.ours
    mine.release()


# --- places -------------------------------------------------------------------------------------


def test_that_two_sessions_of_one_process_do_not_both_write(path: Path) -> None:
    first, second = open_session(path), open_session(path)
    assert (first.read_only, second.read_only) == (False, True)
    second.close()
    assert hold_path(path).exists()
    first.close()
    assert not hold_path(path).exists()
    third = open_session(path)
    assert not third.read_only
    third.close()


def test_that_two_links_to_one_plan_are_one_plan(path: Path, tmp_path: Path) -> None:
    folder = tmp_path / "links"
    folder.mkdir()
    link = folder / "linked.json"
    link.symlink_to(path)
    first, second = open_session(path), open_session(link)
    assert second.read_only
    second.close()
    first.do(rename_plan("Tug"))
    first.save_as(link)  # it is its own file
    assert not first.unsaved
    assert link.is_symlink()
    assert read_plan(path).name == "Tug"
    first.close()
    crashed = open_session(link)
    crashed.do(rename_plan("through the link"))
    crashed.close()
    direct = open_session(path)
    found = direct.left_behind()
    assert found is not None
    assert found.name == "through the link"
    direct.close()


def test_that_only_ones_own_hold_is_let_go(path: Path) -> None:
    mine = hold(path)
    forged = Hold(mine.path, True, mine.holder, "another token")
    forged.release()
    assert forged.lost()
    assert not mine.lost()
    mine.release()
    assert mine.lost()
    mine.release()


def test_that_in_a_folder_without_rights_a_dead_hold_stops_nobody_and_a_live_one_does() -> None:
    with readable_folder() as folder:
        path, held = folder / "a.json", folder / "b.json"
        for file in (path, held):
            write_plan(file, demo_plan())
        leave(path, process=gone())
        leave(held, process=os.getpid(), began=birth(os.getpid()))
        folder.chmod(0o555)

        def told() -> list[str]:
            free, taken = open_session(path), open_session(held)
            with pytest.raises(UserError) as refused:
                taken.take_over()
            said = [str(free.read_only), str(taken.read_only), sentence(refused.value)]
            free.close()
            taken.close()
            return said

        free, taken, refused = as_nobody(told)
        assert (free, taken) == ("False", "True")
        assert f"process {os.getpid()}" in refused
        assert hold_path(path).exists()


def test_that_a_plan_that_cannot_be_read_is_not_held(tmp_path: Path) -> None:
    for name in ("missing.json", "damaged.json"):
        if name == "damaged.json":
            (tmp_path / name).write_text("{")
        with pytest.raises(UserError):
            open_session(tmp_path / name)
        assert not hold_path(tmp_path / name).exists()


def test_that_a_process_that_ended_unasked_is_seen_as_gone() -> None:
    with subprocess.Popen([sys.executable, "-S", "-c", ""], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.read()  # closed by its end, which nobody has asked for yet
        for _ in range(200):
            if not runs(process.pid):
                break
            time.sleep(0.005)
        assert not runs(process.pid)
        process.wait()
    assert not runs(process.pid, "1")
    assert runs(os.getpid(), birth(os.getpid()))
