"""Jobs without threads: what is told at the end, what is not."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from retrofit.desk.jobs import CancelledError, InlineExecutor, Job, Progress
from tests.desk.executors import HeldExecutor


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


@dataclass
class Told:
    """What a job told at its end."""

    results: list[int] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def fail(self, error: Exception) -> None:
        self.errors.append(str(error))


def count_to(limit: int, progress: Progress) -> int:
    """Work as a service does it: a step, then some work."""
    for done in range(limit):
        progress.step(done, limit)
    return limit


def test_that_a_job_tells_its_result_once_and_its_progress_on_the_way() -> None:
    told, steps = Told(), list[tuple[int, int]]()
    progress = Progress(lambda done, total: steps.append((done, total)))
    InlineExecutor().run(Job(lambda p: count_to(3, p), told.results.append, told.fail, progress))
    assert (told.results, told.errors) == ([3], [])
    assert steps == [(0, 3), (1, 3), (2, 3)]


def test_that_a_job_that_fails_tells_its_error_and_no_result() -> None:
    told = Told()

    def work(progress: Progress) -> int:
        progress.step(0, 1)
        raise ValueError("no such part")

    InlineExecutor().run(Job(work, told.results.append, told.fail))
    assert (told.results, told.errors) == ([], ["no such part"])


def test_that_a_stopped_job_ends_at_its_next_step_and_tells_nothing() -> None:
    told, done = Told(), list[int]()
    progress = Progress(
        lambda at, total: progress.cancel() if at == total // 2 else done.append(at)
    )
    InlineExecutor().run(Job(lambda p: count_to(10, p), told.results.append, told.fail, progress))
    assert (told.results, told.errors) == ([], [])
    assert done == [0, 1, 2, 3, 4]
    assert progress.cancelled
    with pytest.raises(CancelledError):
        progress.step(0, 1)


def test_that_a_job_stopped_in_its_last_step_tells_neither_result_nor_error() -> None:
    told = Told()

    def ends(progress: Progress) -> int:
        progress.cancel()
        return 1

    def breaks(progress: Progress) -> int:
        progress.cancel()
        raise ValueError("while ending")

    for work in (ends, breaks):
        InlineExecutor().run(Job(work, told.results.append, told.fail))
    assert (told.results, told.errors) == ([], [])


def test_that_a_job_stopped_before_it_began_does_no_work() -> None:
    told, worked = Told(), list[int]()
    executor = HeldExecutor()

    def work(progress: Progress) -> int:
        worked.append(1)
        return count_to(1, progress)

    job = Job(work, told.results.append, told.fail)
    executor.run(job)
    job.progress.cancel()
    executor.let_go()
    assert (worked, told.results, told.errors) == ([], [], [])


def test_that_a_mistake_in_what_follows_a_job_is_not_taken_for_an_error_of_its_work() -> None:
    told = Told()

    def succeed(result: int) -> None:
        raise RuntimeError(f"cannot show {result}")

    with pytest.raises(RuntimeError, match="cannot show 2"):
        InlineExecutor().run(Job(lambda p: count_to(2, p), succeed, told.fail))
    assert told.errors == []
