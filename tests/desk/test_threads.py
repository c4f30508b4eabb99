"""Jobs in threads: where their ends are told, what is dropped, that closing waits."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from retrofit.desk.jobs import Job, Progress
from retrofit.desk.threads import ThreadExecutor

WAIT = 5000


@pytest.fixture
def executor() -> Iterator[ThreadExecutor]:
    made = ThreadExecutor()
    yield made
    made.close()


class Ends:
    """What a job told at its end, and in which thread."""

    def __init__(self) -> None:
        self.results: list[object] = []
        self.errors: list[Exception] = []
        self.threads: list[threading.Thread] = []

    def succeed(self, result: object) -> None:
        self.results.append(result)
        self.threads.append(threading.current_thread())

    def fail(self, error: Exception) -> None:
        self.errors.append(error)
        self.threads.append(threading.current_thread())


def test_that_work_runs_aside_and_its_result_is_told_in_the_thread_of_the_window(
    qtbot: QtBot, executor: ThreadExecutor
) -> None:
    ends = Ends()
    executor.run(Job(lambda _: threading.current_thread(), ends.succeed, ends.fail))
    qtbot.waitUntil(lambda: bool(ends.results), timeout=WAIT)
    assert ends.results != [threading.main_thread()]
    assert ends.threads == [threading.main_thread()]
    assert not executor.busy


def test_that_an_error_of_the_work_is_told_in_the_thread_of_the_window(
    qtbot: QtBot, executor: ThreadExecutor
) -> None:
    ends = Ends()

    def work(_: Progress) -> None:
        raise ValueError("no such part")

    executor.run(Job(work, ends.succeed, ends.fail))
    qtbot.waitUntil(lambda: bool(ends.errors), timeout=WAIT)
    assert str(ends.errors[0]) == "no such part"
    assert ends.threads == [threading.main_thread()]


def test_that_a_job_stopped_on_its_way_tells_nothing(
    qtbot: QtBot, executor: ThreadExecutor
) -> None:
    ends, other = Ends(), Ends()
    begun, go_on = threading.Event(), threading.Event()

    def work(progress: Progress) -> int:
        begun.set()
        go_on.wait()
        progress.step(1, 2)
        return 1

    job = Job(work, ends.succeed, ends.fail)
    executor.run(job)
    begun.wait()
    job.progress.cancel()
    go_on.set()
    executor.run(Job(lambda _: 2, other.succeed, other.fail))
    qtbot.waitUntil(lambda: other.results == [2] and not executor.busy, timeout=WAIT)
    assert (ends.results, ends.errors) == ([], [])


def test_that_a_result_that_came_in_before_the_stop_is_dropped_too(
    qtbot: QtBot, executor: ThreadExecutor
) -> None:
    ends = Ends()
    done = threading.Event()

    def work(_: Progress) -> int:
        done.set()
        return 1

    job = Job(work, ends.succeed, ends.fail)
    executor.run(job)
    done.wait()
    job.progress.cancel()
    qtbot.waitUntil(lambda: not executor.busy, timeout=WAIT)
    assert ends.results == []


def test_that_closing_stops_what_runs_waits_for_it_and_forgets_what_waits(qtbot: QtBot) -> None:
    del qtbot
    executor = ThreadExecutor(workers=1)
    ends = Ends()
    begun = threading.Event()
    ended: list[str] = []

    def work(progress: Progress) -> None:
        begun.set()
        try:
            while True:
                progress.step(0, 1)
        finally:
            ended.append("the first")

    executor.run(Job(work, ends.succeed, ends.fail))
    executor.run(Job(lambda _: ended.append("the second"), ends.succeed, ends.fail))
    begun.wait()
    executor.close()
    assert ended == ["the first"]
    executor.run(Job(lambda _: ended.append("too late"), ends.succeed, ends.fail))
    assert (ended, ends.results, ends.errors) == (["the first"], [], [])
