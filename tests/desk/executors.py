"""An executor that runs a job when the test says so."""

from __future__ import annotations

from typing import Any, TypeVar

from retrofit.desk.jobs import InlineExecutor, Job

T = TypeVar("T")


class HeldExecutor:
    """Keeps jobs until `let_go`."""

    def __init__(self) -> None:
        self.jobs: list[Job[Any]] = []

    def run(self, job: Job[T]) -> None:
        self.jobs.append(job)

    def let_go(self, index: int = 0) -> None:
        """Run one of the jobs, however long ago it was started."""
        InlineExecutor().run(self.jobs.pop(index))

    def let_all_go(self) -> None:
        while self.jobs:
            self.let_go()

    def close(self) -> None:
        self.jobs.clear()
