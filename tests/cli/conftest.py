from __future__ import annotations

import pytest

from tests.cli.prompt import Prompt


@pytest.fixture
def prompt(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Prompt:
    monkeypatch.setenv("COLUMNS", "100")
    return Prompt(capsys)
