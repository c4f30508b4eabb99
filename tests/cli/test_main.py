"""The frame of the command line: exit codes, streams, and what happens when all goes wrong."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import retrofit
from retrofit.cli import assess, main
from retrofit.plan.schema import schema
from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

LAUNCH = str(shipped("demo", "harbour-launch.json"))


def spoken_in(encoding: str, monkeypatch: pytest.MonkeyPatch, *argv: str) -> bytes:
    """What a command writes to a stream of this character set, which fails on any other sign."""
    written = io.BytesIO()
    stream = io.TextIOWrapper(written, encoding=encoding, errors="strict")
    with monkeypatch.context() as patched:
        patched.setattr(sys, "stdout", stream)
        assert main(argv) == 0
    stream.flush()
    return written.getvalue()


def test_that_no_command_shows_the_help(prompt: Prompt) -> None:
    said = prompt()
    assert said.code == 0
    for command in ("assess", "new", "parts", "schema"):
        assert command in said.out


@pytest.mark.parametrize("command", ["assess", "new", "parts", "schema"])
def test_that_every_command_has_help(command: str, prompt: Prompt) -> None:
    said = prompt(command, "--help")
    assert (said.code, said.err) == (0, "")
    assert "cli.help" not in said.out


def test_that_the_version_is_told(prompt: Prompt) -> None:
    assert prompt("--version").out == f"retrofit {retrofit.__version__}\n"


@pytest.mark.parametrize(
    "argv",
    [
        ["polish"],
        ["assess"],
        ["assess", LAUNCH, "--points", "1"],
        ["assess", LAUNCH, "--points", "many"],
        ["new", "x.json"],
        ["parts", "--kind", "wire"],
    ],
)
def test_that_a_command_that_is_not_understood_ends_with_two(
    argv: list[str], prompt: Prompt
) -> None:
    said = prompt(*argv)
    assert (said.code, said.out) == (2, "")
    assert "usage: retrofit" in said.err


def test_that_a_user_s_error_is_one_sentence_without_traceback(prompt: Prompt) -> None:
    said = prompt("assess", "no-such.json")
    assert (said.code, said.out) == (1, "")
    assert said.joined == "There is no file no-such.json. Check its name and folder."


def test_that_the_schema_is_printed_whole(prompt: Prompt) -> None:
    assert json.loads(prompt("schema").out) == schema()


def test_that_damaged_settings_are_told_and_do_not_stop_the_work(
    prompt: Prompt, settings_home: Path
) -> None:
    settings_home.mkdir()
    (settings_home / "settings.json").write_text("{", encoding="utf-8")
    said = prompt("assess", LAUNCH)
    assert said.code == 0
    assert "damaged" in said.joined


def _fails(*_: object, **__: object) -> int:
    raise ZeroDivisionError("float division by zero")


def test_that_a_mistake_of_ours_ends_with_seventy_and_one_sentence(
    prompt: Prompt, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(assess, "assess", _fails)
    said = prompt("assess", LAUNCH)
    assert (said.code, said.out) == (70, "")
    assert "Traceback" not in said.err
    assert "RETROFIT_TRACEBACK=1" in said.joined
    assert "ZeroDivisionError" in said.joined


def test_that_the_traceback_of_a_mistake_can_be_asked_for(
    prompt: Prompt, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(assess, "assess", _fails)
    monkeypatch.setenv("RETROFIT_TRACEBACK", "1")
    said = prompt("assess", LAUNCH)
    assert said.code == 70
    assert "Traceback" in said.err


def test_that_a_reader_who_leaves_early_is_no_error() -> None:
    command = [sys.executable, "-m", "retrofit", "assess", LAUNCH, "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        complaint = process.stderr.read()
    assert (process.returncode, complaint) == (0, b"")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437"])
def test_that_a_terminal_without_our_signs_gets_plain_ones(
    encoding: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = spoken_in(encoding, monkeypatch, "assess", LAUNCH).decode(encoding)
    assert "stop" in text
    assert "98.0" in text
    if encoding == "ascii":
        assert "13.5 V" in text
        assert "450 ohm" in text


def test_that_json_is_the_same_data_on_a_terminal_without_our_signs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plain = spoken_in("ascii", monkeypatch, "assess", LAUNCH, "--json").decode("ascii")
    whole = spoken_in("utf-8", monkeypatch, "assess", LAUNCH, "--json").decode("utf-8")
    assert whole.encode() != plain.encode()
    assert json.loads(plain) == json.loads(whole)


def test_that_the_program_runs_where_qt_cannot_be_imported() -> None:
    code = (
        "import sys\n"
        "for name in ('PySide6', 'shiboken6', 'pyqtgraph'): sys.modules[name] = None\n"
        f"from retrofit.__main__ import main\nsys.exit(main(['assess', {LAUNCH!r}]))"
    )
    narrow = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [sys.executable, "-c", code], env=narrow, capture_output=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
