"""What holds for every test: fresh seeds, own settings, no stray log records, no silent skips."""

from __future__ import annotations

import itertools
import logging
import os
import secrets
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

ALLOWED_SKIPS = Path(__file__).with_name("allowed_skips.txt")

# CI=true makes Hypothesis load a profile that always tries the same examples; ours stays random.
settings.register_profile(
    "quick", max_examples=12, deadline=None, derandomize=False, database=None, print_blob=True
)
settings.register_profile("full", settings.get_profile("quick"), max_examples=1000)
settings.load_profile("quick")

# Before any module under test is imported: doctests get neither the fixtures below.
_home = tempfile.TemporaryDirectory(prefix="retrofit-tests-")
_homes = itertools.count()
os.environ["RETROFIT_HOME"] = _home.name
os.environ["RETROFIT_STRICT"] = "1"

_skipped: dict[str, str] = {}


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--hypothesis-seed") is None:
        config.option.hypothesis_seed = str(secrets.randbits(32))


def pytest_report_header(config: pytest.Config) -> str:
    return f"repeat the random examples with --hypothesis-seed={config.option.hypothesis_seed}"


def pytest_unconfigure() -> None:
    _home.cleanup()


# --- skips --------------------------------------------------------------------------------------


def _note_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.skipped and not hasattr(report, "wasxfail"):
        where = report.longrepr
        reason = where[2] if isinstance(where, tuple) else str(where)
        _skipped[report.nodeid] = reason


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    _note_skip(report)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    _note_skip(report)


def allowed_skips(text: str) -> dict[str, str]:
    """Node ids and reasons of a list of allowed skips; a line without a reason is an error."""
    allowed = {}
    for line in text.splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        node, separator, reason = line.partition(" # ")
        if not separator or not reason.strip():
            raise pytest.UsageError(f"{ALLOWED_SKIPS.name}: no reason given in {line!r}")
        allowed[node.strip()] = reason.strip()
    return allowed


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Fail a CI run in which a test was skipped that may not be."""
    if os.environ.get("CI") != "true":
        return
    allowed = allowed_skips(ALLOWED_SKIPS.read_text(encoding="utf-8"))
    unlisted = {node: reason for node, reason in _skipped.items() if node not in allowed}
    if unlisted and session.exitstatus in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if os.environ.get("CI") != "true":
        return
    allowed = allowed_skips(ALLOWED_SKIPS.read_text(encoding="utf-8"))
    for node, reason in sorted(_skipped.items()):
        if node not in allowed:
            terminalreporter.write_line(
                f"{node} was skipped ({reason}): make it run, or list it with its reason in "
                f"tests/{ALLOWED_SKIPS.name}.",
                red=True,
            )


# --- isolation ----------------------------------------------------------------------------------


@pytest.fixture(autouse=True)
def settings_home(monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give each test a settings folder of its own, which the program makes when it needs it."""
    home = Path(_home.name) / f"home-{next(_homes)}"
    monkeypatch.setenv("RETROFIT_HOME", str(home))
    return home


class _Records(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.seen: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.seen.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def _no_stray_log_records(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test in which the program logged a warning that the test did not expect."""
    records = _Records()
    loggers = [logging.getLogger(name) for name in ("catalog", "retrofit")]
    for logger in loggers:
        logger.addHandler(records)
    yield
    for logger in loggers:
        logger.removeHandler(records)
    if records.seen and request.node.get_closest_marker("logs_expected") is None:
        pytest.fail("the program logged:\n" + "\n".join(records.seen))
