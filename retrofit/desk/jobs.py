"""Long work: a plain function with progress and a way to stop, run elsewhere or at once.

Services know only ``Progress``. The window runs a job in a thread (``retrofit.desk.threads``),
tests run it inline. Whoever starts a job anew numbers its runs and drops the end of a stale one.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

T = TypeVar("T")


class CancelledError(Exception):
    """The user stopped the work."""


def _tell_nobody(done: int, total: int) -> None:
    """Swallow progress that nobody wants to see."""
    del done, total


@dataclass
class Progress:
    """How far a job is, and whether it should stop.

    Attributes
    ----------
    tell : callable
        Called with (done, total) from the thread of the work.
    """

    tell: Callable[[int, int], None] = _tell_nobody
    _stop: threading.Event = field(default_factory=threading.Event)

    def step(self, done: int, total: int) -> None:
        """Say how far the work is.

        Raises
        ------
        CancelledError
            When the user has stopped it.
        """
        if self._stop.is_set():
            raise CancelledError
        self.tell(done, total)

    def cancel(self) -> None:
        """Ask the work to stop at its next step."""
        self._stop.set()

    @property
    def cancelled(self) -> bool:
        """Whether the work was asked to stop."""
        return self._stop.is_set()


@dataclass
class Job(Generic[T]):
    """One piece of work with what to do with its end.

    Attributes
    ----------
    work : callable
        From progress to the result; runs in another thread.
    succeed : callable
        Gets the result, in the thread of the window.
    fail : callable
        Gets the error, in the thread of the window; never for a stopped job.
    progress : Progress
        Shared with the work.
    """

    work: Callable[[Progress], T]
    succeed: Callable[[T], None]
    fail: Callable[[Exception], None]
    progress: Progress = field(default_factory=Progress)


class Executor(Protocol):
    """Whatever runs jobs."""

    def run(self, job: Job[T]) -> None:
        """Run a job and report its end."""

    def close(self) -> None:
        """Stop what runs and wait for it."""


class InlineExecutor:
    """Runs each job at once, in the same thread: for tests and for the command line."""

    def run(self, job: Job[T]) -> None:
        """Run a job and report its end before returning."""
        if job.progress.cancelled:
            return
        try:
            result = job.work(job.progress)
        except CancelledError:
            job.progress.cancel()
            return
        except Exception as error:  # the job runner is one of three places that may
            if not job.progress.cancelled:
                job.fail(error)
            return
        if not job.progress.cancelled:
            job.succeed(result)

    def close(self) -> None:
        """Do nothing: no job outlives `run`."""
