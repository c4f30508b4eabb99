"""``retrofit sheet`` at the prompt: what it writes, what it refuses, and in which words."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

PLAN = str(shipped("demo", "harbour-launch.json"))
DAY = ("--day", "2031-05-24")


@pytest.fixture
def prompt(capsys: pytest.CaptureFixture[str]) -> Prompt:
    return Prompt(capsys)


def test_that_a_sheet_is_written_here_under_the_plans_name(
    prompt: Prompt, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    said = prompt("sheet", PLAN, *DAY)
    assert (said.code, said.err) == (0, "")
    assert "harbour-launch.pdf" in said.out
    pages = PdfReader(tmp_path / "harbour-launch.pdf").pages
    assert "Harbour launch" in pages[0].extract_text()
    assert float(pages[0].mediabox.width) == pytest.approx(595.3, abs=0.5)


def test_that_letter_html_and_csv_are_had_on_request(prompt: Prompt, tmp_path: Path) -> None:
    out = tmp_path / "letter.pdf"
    assert prompt("sheet", PLAN, *DAY, "--paper", "Letter", "-o", str(out)).code == 0
    assert float(PdfReader(out).pages[0].mediabox.width) == pytest.approx(612.0, abs=0.5)
    page = tmp_path / "page.html"
    assert prompt("sheet", PLAN, *DAY, "--html", "-o", str(page)).code == 0
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    curve = tmp_path / "curve.csv"
    assert prompt("sheet", PLAN, "--csv", "-o", str(curve)).code == 0
    assert len(curve.read_text(encoding="utf-8").splitlines()) == 202


def test_that_the_same_day_gives_the_same_file(prompt: Prompt, tmp_path: Path) -> None:
    first, second = tmp_path / "1.pdf", tmp_path / "2.pdf"
    for out in (first, second):
        assert prompt("sheet", PLAN, *DAY, "-o", str(out)).code == 0
    assert first.read_bytes() == second.read_bytes()


def test_that_a_file_that_is_there_is_kept_unless_told(prompt: Prompt, tmp_path: Path) -> None:
    out = tmp_path / "kept.pdf"
    out.write_text("mine")
    said = prompt("sheet", PLAN, "-o", str(out))
    assert said.code == 1
    assert "is there already" in said.joined
    assert out.read_text() == "mine"
    assert prompt("sheet", PLAN, "-o", str(out), "--force").code == 0
    assert out.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--day", "tomorrow"), "is no day"),
        (("--pairing", "Z"), "Z"),
    ],
)
def test_that_bad_input_is_told_in_a_sentence(
    prompt: Prompt, tmp_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    out = tmp_path / "none.pdf"
    said = prompt("sheet", PLAN, *arguments, "-o", str(out))
    assert said.code == 1
    assert words in said.joined
    assert not out.exists()


def test_that_a_folder_that_is_not_there_is_told(prompt: Prompt, tmp_path: Path) -> None:
    out = tmp_path / "missing" / "sheet.pdf"
    said = prompt("sheet", PLAN, "-o", str(out))
    assert said.code == 1
    assert "sheet.pdf" in said.joined
    assert not out.parent.exists()


LIMITED = """
import resource, signal, sys
from retrofit.cli import main
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))
sys.exit(main(sys.argv[1:]))
"""


def test_that_a_disk_that_fills_up_leaves_the_old_file(tmp_path: Path) -> None:
    out = tmp_path / "old.pdf"
    out.write_text("old")
    command = [sys.executable, "-B", "-c", LIMITED, "sheet", PLAN, "-o", str(out), "--force"]
    found = subprocess.run(command, capture_output=True, text=True, env=os.environ, check=False)
    assert found.returncode == 1
    assert "old.pdf" in found.stderr
    assert "Traceback" not in found.stderr
    assert out.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["old.pdf"]


def test_that_html_and_csv_at_once_are_refused(prompt: Prompt) -> None:
    assert prompt("sheet", PLAN, "--html", "--csv").code == 2


def test_that_what_is_written_is_whole(prompt: Prompt, tmp_path: Path) -> None:
    out = tmp_path / "whole.pdf"
    assert prompt("sheet", PLAN, "-o", str(out)).code == 0
    assert len(PdfReader(io.BytesIO(out.read_bytes())).pages) == 3
