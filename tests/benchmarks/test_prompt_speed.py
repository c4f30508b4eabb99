"""How long ``retrofit assess`` takes from the prompt, against importing NumPy alone."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from retrofit.shipped import path as shipped

RUNS = 5
MOST = 6.0
"""Twice the claimed ratio of 3: a busy machine must not fail the test."""


def fastest(command: list[str], environment: dict[str, str]) -> float:
    """Seconds of the fastest of some runs, after one that compiles what is imported."""
    seconds = []
    for _ in range(RUNS + 1):
        begun = time.perf_counter()
        subprocess.run(command, env=environment, check=True, capture_output=True)
        seconds.append(time.perf_counter() - begun)
    return min(seconds[1:])


def test_that_an_assessment_from_the_prompt_costs_little_more_than_importing_numpy(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(tmp_path)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    plan = str(shipped("demo", "harbour-launch.json"))
    numpy = fastest([sys.executable, "-c", "import numpy"], environment)
    prompt = fastest([sys.executable, "-m", "retrofit", "assess", plan], environment)
    with capsys.disabled():
        print(f"\nretrofit assess {prompt:.3f} s, numpy {numpy:.3f} s: {prompt / numpy:.1f} times")
    assert prompt < MOST * numpy
