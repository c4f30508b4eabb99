"""Whole-file saving: old or new, never half."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from catalog.atomic import save_text
from catalog.errors import UserError


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_that_a_saved_text_replaces_the_old_one_and_leaves_nothing_beside_it(
    tmp_path: Path,
) -> None:
    file = tmp_path / "plan.json"
    file.write_text("old", encoding="utf-8")
    save_text(file, "−40 °C\n")
    assert file.read_bytes() == "−40 °C\n".encode()
    assert names(tmp_path) == ["plan.json"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_that_a_full_disk_leaves_the_old_file_as_it_was(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "plan.json"
    file.write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(UserError) as caught:
        save_text(file, "new")
    monkeypatch.undo()
    (problem,) = caught.value.messages
    assert problem.key == "file.unwritable"
    assert problem.value("path") == str(file)
    assert problem.value("reason") == "No space left on device"
    assert file.read_text(encoding="utf-8") == "old"
    assert names(tmp_path) == ["plan.json"]


def test_that_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    file = tmp_path / "nowhere" / "plan.json"
    with pytest.raises(UserError) as caught:
        save_text(file, "new")
    assert caught.value.messages[0].value("path") == str(file)
    assert names(tmp_path) == []


def test_that_saving_keeps_a_file_s_permissions_and_follows_its_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    real.write_text("old", encoding="utf-8")
    real.chmod(0o640)
    link.symlink_to(real)
    save_text(link, "new")
    assert link.is_symlink()
    assert real.read_text(encoding="utf-8") == "new"
    assert real.stat().st_mode & 0o777 == 0o640
