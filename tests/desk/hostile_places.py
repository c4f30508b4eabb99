"""Places that cannot be written: for somebody without rights, and a disk without room."""

from __future__ import annotations

import json
import os
import subprocess
import tempfile
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from catalog.errors import UserError
from catalog.message import message
from catalog.quantities.show import NumberStyle
from retrofit.desk.files import DEMO
from retrofit.messages import Renderer
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped

NOBODY = 65534

RENDERER = Renderer(NumberStyle(), strict=True)


def sentence(error: UserError | None) -> str:
    """What the user reads; the renderer raises for a text or value that is missing."""
    assert error is not None
    return " ".join(RENDERER.sentence(said) for said in error.messages)


@contextmanager
def readable_folder() -> Iterator[Path]:
    """Give a folder that somebody without rights can look into, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def as_nobody(told: Callable[[], list[str]]) -> list[str]:
    """Return what a child process says that has given up its rights: root writes anywhere."""
    # Texts and codecs are loaded when first used, from where nobody may not look.
    RENDERER.sentence(message("session.no_file"))
    read_plan(shipped("demo", DEMO))
    reading, writing = os.pipe()
    with warnings.catch_warnings():
        # Newer Pythons warn of other tests' threads; this child asks nothing of them.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        try:
            if os.getuid() == 0:
                os.setgroups([])
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            said = told()
        except BaseException as error:
            said = [f"{type(error).__name__}: {error}"]
        os.write(writing, json.dumps(said).encode())
        os._exit(0)
    os.close(writing)
    with open(reading, encoding="utf-8") as answer:
        heard = json.load(answer)
    os.waitpid(child, 0)
    assert isinstance(heard, list)
    return heard


@contextmanager
def small_disk(folder: Path, kilobytes: int) -> Iterator[Path]:
    """Give a disk with little room."""
    disk = folder / f"disk-{kilobytes}"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(disk)]
    try:
        run = subprocess.run(mount, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount command here")
    if run.returncode != 0:
        pytest.skip("a small disk cannot be mounted here, which takes root's rights")
    try:
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def fill(disk: Path) -> None:
    """Leave no room on a small disk."""
    with (disk / "filler").open("wb", buffering=0) as file:
        try:
            while file.write(b"x" * 4096):
                pass
        except OSError:
            return
