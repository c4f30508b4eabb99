"""The house rules that no linter knows: sizes, docstrings, top level, start-up imports."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from catalog.errors import BugError
from retrofit import shipped
from tests.conftest import allowed_skips
from tests.sources import ROOT, parsed, sources

TOP_LEVEL = {
    "DEVELOPERS.md",
    "README.md",
    "catalog",
    "pyproject.toml",
    "resources",
    "retrofit",
    "tests",
}
SLOW_TO_IMPORT = ("PySide6", "alembic", "pint", "pyqtgraph", "schemdraw", "scipy", "typst")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@cache
def public_functions() -> tuple[tuple[str, Function], ...]:
    return tuple(_public_functions())


def _public_functions() -> Iterator[tuple[str, Function]]:
    for file in sources("catalog", "retrofit"):
        tree = parsed(file)
        bodies = [tree.body]
        bodies += [
            node.body
            for node in tree.body
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
        ]
        for body in bodies:
            for node in body:
                if isinstance(node, Function) and not node.name.startswith("_"):
                    yield f"{file.relative_to(ROOT)}:{node.lineno} {node.name}", node


def handles_arrays(function: Function) -> bool:
    arguments = function.args
    given = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    annotations = [argument.annotation for argument in given] + [function.returns]
    names = (node for found in annotations if found is not None for node in ast.walk(found))
    return any("Array" in str(getattr(node, "id", getattr(node, "attr", ""))) for node in names)


def test_that_every_public_function_has_a_docstring() -> None:
    bare = [where for where, function in public_functions() if not ast.get_docstring(function)]
    assert bare == []


def test_that_every_public_array_function_states_shape_and_unit() -> None:
    silent = []
    for where, function in public_functions():
        text = ast.get_docstring(function) or ""
        if handles_arrays(function) and not ("shape" in text and "[" in text):
            silent.append(where)
    assert silent == []


def test_that_no_module_is_longer_than_500_lines() -> None:
    lengths = {
        str(file.relative_to(ROOT)): len(file.read_text(encoding="utf-8").splitlines())
        for file in sources("catalog", "retrofit", "tests")
    }
    assert {name: length for name, length in lengths.items() if length > 500} == {}


def test_that_the_top_level_holds_only_what_it_may_hold() -> None:
    found = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")}
    assert found == TOP_LEVEL


def test_that_every_room_of_the_program_has_its_place_in_the_layers() -> None:
    house = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = house["tool"]["importlinter"]["contracts"]
    placed = {
        room.strip(" ()")
        for contract in contracts
        for layer in contract.get("layers", [])
        for room in re.split("[|:]", layer)
    }
    rooms = {
        f"retrofit.{entry.stem}"
        for entry in (ROOT / "retrofit").iterdir()
        if entry.suffix == ".py" or (entry.is_dir() and any(entry.rglob("*.py")))
    }
    assert rooms - placed == {"retrofit.__init__"}


def test_that_tests_are_named_as_sentences() -> None:
    short = []
    for file in sources("tests"):
        text = file.read_text(encoding="utf-8")
        for found in re.finditer(r"^ *(?:async )?def test_(\w+)", text, re.MULTILINE):
            words = found[1].split("_")
            if len(words) < 4 or words[-1] in ("works", "ok"):
                short.append(f"{file.relative_to(ROOT)} test_{found[1]}")
    assert short == []


def test_that_the_accessor_finds_the_shipped_files() -> None:
    assert shipped.path("texts", "english.json").is_file()
    assert shipped.path("demo").is_dir()


def test_that_a_missing_shipped_file_is_named_with_what_to_do() -> None:
    with pytest.raises(BugError, match=r"no-such\.json is missing\. Install the program again\."):
        shipped.path("texts", "no-such.json")


def test_that_an_installation_without_resources_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shipped, "_PACKAGE", tmp_path / "retrofit")
    with pytest.raises(BugError, match="installation is incomplete"):
        shipped.path("demo")


def test_that_the_wheel_s_files_win_over_a_checkout_s(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "retrofit" / "resources"
    (inside / "texts").mkdir(parents=True)
    (tmp_path / "resources" / "texts").mkdir(parents=True)
    monkeypatch.setattr(shipped, "_PACKAGE", tmp_path / "retrofit")
    assert shipped.resources() == inside


def test_that_start_up_imports_nothing_slow() -> None:
    code = (
        "import sys, retrofit.__main__, retrofit.cli\n"
        f"print([name for name in {SLOW_TO_IMPORT!r} if name in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (run.returncode, run.stdout.strip(), run.stderr) == (0, "[]", "")


def test_that_a_list_of_allowed_skips_needs_a_reason_for_each() -> None:
    listed = allowed_skips("# heading\n\ntests/test_a.py::test_b # no such machine\n")
    assert listed == {"tests/test_a.py::test_b": "no such machine"}
    with pytest.raises(pytest.UsageError, match="no reason"):
        allowed_skips("tests/test_a.py::test_b")


@pytest.mark.parametrize(
    ("listed", "code"), [(False, 1), (True, 0)], ids=["unlisted", "listed with its reason"]
)
def test_that_a_skipped_test_fails_ci_unless_it_is_listed(
    tmp_path: Path, listed: bool, code: int
) -> None:
    conftest = (ROOT / "tests" / "conftest.py").read_text(encoding="utf-8")
    (tmp_path / "conftest.py").write_text(conftest, encoding="utf-8")
    (tmp_path / "allowed_skips.txt").write_text(
        "test_it.py::test_one # waits for a rig\n" if listed else "", encoding="utf-8"
    )
    (tmp_path / "test_it.py").write_text(
        "import pytest\n\n@pytest.mark.skip(reason='no rig')\ndef test_one(): pass\n\n"
        "def test_two(): pass\n",
        encoding="utf-8",
    )
    (tmp_path / "pytest.ini").write_text(
        "[pytest]\nmarkers =\n    logs_expected: x\n", encoding="utf-8"
    )
    # Of all plugins only the one whose option the conftest reads: the rest takes a second to load.
    plugins = ["-p", "_hypothesis_pytestplugin", "-p", "no:cacheprovider"]
    alone = {**os.environ, "CI": "true", "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    command = [sys.executable, "-m", "pytest", "-q", *plugins, str(tmp_path)]
    run = subprocess.run(command, cwd=tmp_path, env=alone, capture_output=True, text=True)
    assert run.returncode == code, run.stdout + run.stderr
    assert ("test_it.py::test_one was skipped" in run.stdout) is not listed
