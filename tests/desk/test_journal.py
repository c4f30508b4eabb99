"""Nothing typed is lost: crashes, damaged journals, folders without rights, full disks."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog.errors import UserError
from retrofit.desk.app import first_session
from retrofit.desk.edits import rename_plan
from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.journal import Journal, journal_folder, left_behind
from retrofit.desk.session import Session, open_session
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan, write_plan
from tests.desk.hostile_places import as_nobody, fill, readable_folder, sentence, small_disk
from tests.desk.other_copy import OtherCopy, other_copy


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


@pytest.fixture
def path(plan: Plan, tmp_path: Path) -> Path:
    """A saved plan, alone in its folder."""
    folder = tmp_path / "plans"
    folder.mkdir()
    file = folder / "launch [1].json"
    write_plan(file, plan)
    return file


@pytest.fixture
def other(settings_home: Path) -> Iterator[OtherCopy]:
    with other_copy(settings_home) as copy:
        yield copy


def journals(folder: Path) -> list[Path]:
    return sorted(folder.glob(".*.unsaved"))


def kept(folder: Path) -> list[str]:
    """Names of the plans whose unsaved work lies in a folder."""
    return sorted(read_plan(file).name for file in journals(folder))


def crashed(path: Path, name: str) -> None:
    """Leave unsaved work beside a plan, as a program that ends without closing does."""
    session = open_session(path)
    session.do(rename_plan(name))
    assert session._hold is not None
    session._hold.release()


# --- kept, and taken away again -----------------------------------------------------------------


def test_that_unsaved_work_is_on_disk_after_each_edit(path: Path) -> None:
    session = open_session(path)
    assert kept(path.parent) == []
    for name in ("T", "Tu"):
        session.do(rename_plan(name))
        assert kept(path.parent) == [name]
    session.undo()
    assert kept(path.parent) == []
    session.redo()
    assert kept(path.parent) == ["Tu"]
    session.close()
    assert kept(path.parent) == ["Tu"]


def test_that_nothing_is_left_after_a_save_and_after_closing_what_is_saved(path: Path) -> None:
    session = open_session(path)
    session.do(rename_plan("Tug"))
    session.save()
    assert kept(path.parent) == []
    session.close()
    assert list(path.parent.iterdir()) == [path]


def test_that_saving_a_new_plan_takes_its_journal_away_and_begins_another(
    plan: Plan, path: Path
) -> None:
    session = start_session(plan)
    session.do(rename_plan("Tug"))
    assert len(list(journal_folder().iterdir())) == 1
    session.save_as(path)
    assert list(journal_folder().iterdir()) == []
    session.do(rename_plan("Tug 2"))
    assert kept(path.parent) == ["Tug 2"]
    session.close()


def test_that_a_plan_that_was_only_looked_at_leaves_nothing(plan: Plan) -> None:
    session = start_session(plan)
    session.do(rename_plan("Tug"))
    session.undo()
    session.close()
    assert left_behind() == ()
    assert list(journal_folder().iterdir()) == []


# --- crashes ------------------------------------------------------------------------------------


def test_that_a_program_killed_amid_edits_loses_none_that_it_had_shown(
    path: Path, other: OtherCopy
) -> None:
    saved = path.read_bytes()
    other.says("open", str(path))
    last = other.says("rename for ever", "Tug")["number"]
    while last < 20:
        last = other.heard()["number"]
    other.kill()
    assert path.read_bytes() == saved
    session = open_session(path)
    assert (session.read_only, session.unsaved) == (False, False)
    found = session.left_behind()
    assert found is not None
    assert int(found.name.split()[1]) >= last
    session.recover()
    assert (session.plan, session.unsaved) == (found, True)
    session.undo()
    assert (session.left_behind(), session.unsaved) == (None, False)
    session.redo()
    session.save()
    assert read_plan(path) == found
    session.close()
    # A write that was cut short leaves a part file, which nobody reads.
    assert {file.suffix for file in path.parent.iterdir()} <= {".json", ".part"}


def test_that_a_plan_that_was_never_saved_is_found_by_one_start_when_its_program_is_gone(
    other: OtherCopy, settings_home: Path
) -> None:
    other.says("new")
    other.says("rename", "Tug")
    assert left_behind() == ()
    other.kill()
    session, said = first_session(None, demo=False)
    assert (session.plan.name, session.path) == ("Tug", None)
    assert [one.key for one in said] == ["recovery.new_plan"]
    with other_copy(settings_home) as second:
        assert second.says("take what is left") == {"refused": ""}
    session.do(rename_plan("Tug 2"))
    session.undo()
    session.close()
    assert [read_plan(file).name for file in journal_folder().iterdir()] == ["Tug"]


def test_that_damaged_work_of_a_new_plan_is_passed_over_and_stays_where_it_is(plan: Plan) -> None:
    journal_folder().mkdir(parents=True)
    damaged = journal_folder() / "new-0-1-abcdef12.unsaved"
    damaged.write_text("{")
    write_plan(journal_folder() / "new-0-2-abcdef12.unsaved", plan)
    session, _ = first_session(None, demo=False)
    assert session.plan == plan
    session.close()
    for journal in left_behind():
        assert journal.recovered() is None
        assert str(damaged) in sentence(journal.damaged[0])
    assert damaged.read_text() == "{"


def test_that_a_journal_of_a_number_that_went_to_another_process_is_found(plan: Plan) -> None:
    journal_folder().mkdir(parents=True)
    parent = os.getppid()
    write_plan(journal_folder() / f"new-{parent}-1-abcdef12.unsaved", plan)
    running = journal_folder() / f"new-{parent}--abcdef12.unsaved"
    write_plan(running, plan)
    (found,) = left_behind()
    assert found.recovered() == plan
    assert running.exists()


# --- answers ------------------------------------------------------------------------------------


def test_that_unanswered_work_outlives_editing_saving_and_closing(path: Path) -> None:
    crashed(path, "from the crash")
    session = open_session(path)
    session.do(rename_plan("Tug"))
    assert kept(path.parent) == ["Tug", "from the crash"]
    session.save()
    session.close()
    again = open_session(path)
    found = again.left_behind()
    assert found is not None
    assert found.name == "from the crash"
    again.close()


def test_that_the_newest_work_is_offered_first_and_each_is_answered_by_itself(
    path: Path,
) -> None:
    for name in ("older", "newer"):
        crashed(path, name)
    session = open_session(path)
    offered = []
    while (found := session.left_behind()) is not None:
        offered.append(found.name)
        session.drop_recovery()
    assert offered == ["newer", "older"]
    assert kept(path.parent) == []
    session.close()


def test_that_work_that_was_saved_before_the_crash_is_none(path: Path) -> None:
    crashed(path, "Tug")
    write_plan(path, read_plan(journals(path.parent)[0]))
    session = open_session(path)
    assert session.left_behind() is None
    assert kept(path.parent) == []
    session.close()


def test_that_work_of_a_plan_with_a_longer_name_is_not_taken(path: Path) -> None:
    longer = path.with_name(path.name + ".json")
    write_plan(longer, read_plan(path))
    crashed(longer, "not mine")
    session = open_session(path)
    assert session.left_behind() is None
    session.close()


@pytest.mark.parametrize("content", [b"", b'{"format": "retrofit-plan", "vers', b"\xff\xfe\x00"])
def test_that_damaged_work_stops_nothing_is_named_and_is_kept(path: Path, content: bytes) -> None:
    crashed(path, "whole")
    crashed(path, "damaged")
    damaged = max(journals(path.parent), key=lambda file: file.stat().st_mtime_ns)
    damaged.write_bytes(content)
    session = open_session(path)
    found = session.left_behind()
    assert found is not None
    assert found.name == "whole"
    (problem,) = session.damaged_work
    assert str(damaged) in sentence(problem)
    session.recover()
    session.save()
    session.drop_recovery()
    session.close()
    assert damaged.read_bytes() == content
    assert journals(path.parent) == [damaged]


# --- places that cannot be written --------------------------------------------------------------


def test_that_edits_go_on_where_the_journal_cannot_be_written(plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    session = Session(plan, journal=Journal(tmp_path / "file" / "x.unsaved"))
    assert session.journal_problem is None
    assert session.do(rename_plan("Tug"))
    assert session.plan.name == "Tug"
    assert "cannot be written" in sentence(session.journal_problem)
    (tmp_path / "file").unlink()
    assert session.try_again() is None
    assert read_plan(tmp_path / "file" / "x.unsaved").name == "Tug"
    session.close()


def test_that_a_plan_in_a_folder_without_rights_can_be_edited_and_says_what_is_not_kept() -> None:
    with readable_folder() as folder:
        path = folder / "a.json"
        write_plan(path, demo_plan())
        folder.chmod(0o555)

        def told() -> list[str]:
            session = open_session(path)
            session.do(rename_plan("Tug"))
            said = [str(session.read_only), session.plan.name, sentence(session.journal_problem)]
            with pytest.raises(UserError) as refused:
                session.save()
            session.close()
            return [*said, sentence(refused.value), str(session.unsaved)]

        read_only, name, journal, refused, unsaved = as_nobody(told)
        assert (read_only, name, unsaved) == ("False", "Tug", "True")
        for said in (journal, refused):
            assert "Permission denied" in said
            assert "Choose a folder that you may write to" in said
        assert list(folder.iterdir()) == [path]


def test_that_a_full_disk_keeps_the_plan_the_last_journal_and_the_work(tmp_path: Path) -> None:
    with small_disk(tmp_path, 256) as disk:
        path = disk / "a.json"
        write_plan(path, demo_plan())
        session = open_session(path)
        session.do(rename_plan("kept"))
        saved = path.read_bytes()
        fill(disk)
        session.do(rename_plan("not kept"))
        assert "No space left" in sentence(session.journal_problem)
        with pytest.raises(UserError) as refused:
            session.save()
        assert "No space left" in sentence(refused.value)
        assert path.read_bytes() == saved
        assert kept(disk) == ["kept"]
        assert (session.plan.name, session.unsaved) == ("not kept", True)
        second = open_session(path)
        assert second.read_only
        second.close()
        elsewhere = start_session(demo_plan())
        with pytest.raises(UserError):
            elsewhere.save_as(disk / "b.json")
        assert elsewhere.path is None
        assert not list(disk.glob("*b.json*"))
        (disk / "filler").unlink()
        session.close()  # tries once more
        assert kept(disk) == ["not kept"]


def test_that_a_full_disk_leaves_no_half_a_hold(tmp_path: Path) -> None:
    with small_disk(tmp_path, 64) as disk:
        path = disk / "a.json"
        write_plan(path, demo_plan())
        fill(disk)
        session = open_session(path)
        assert not session.read_only
        session.close()
        assert {file.name for file in disk.iterdir()} == {"a.json", "filler"}
