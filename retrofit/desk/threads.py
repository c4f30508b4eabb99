"""Jobs in threads: the work runs aside, its end is told in the thread of the window."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Qt, Signal

from retrofit.desk.jobs import CancelledError, Job

T = TypeVar("T")

_WORKERS = 2


@dataclass(frozen=True)
class _Ended:
    """A job that has ended: its result, or the error that ended it."""

    job: Job[Any]
    result: object
    error: Exception | None = None


class ThreadExecutor(QObject):
    """Runs jobs in a few threads and tells their ends in its own thread, that of the window.

    A stopped job tells nothing. The threads start with the first job.

    Parameters
    ----------
    workers : int
        Most jobs at a time; others wait their turn.
    parent : QObject, optional
        Owner; `close` has to be called before it goes.
    """

    _ended = Signal(object)

    def __init__(self, workers: int = _WORKERS, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._threads = ThreadPoolExecutor(workers, thread_name_prefix="retrofit-job")
        self._jobs: list[Job[Any]] = []
        self._closed = False
        # The signal is emitted in a worker; queued, so that the slot runs where this object lives.
        self._ended.connect(self._tell, Qt.ConnectionType.QueuedConnection)

    @property
    def busy(self) -> bool:
        """Whether a job runs or waits."""
        return bool(self._jobs)

    def run(self, job: Job[T]) -> None:
        """Run a job when a thread is free; after `close` nothing runs any more."""
        if self._closed:
            return
        self._jobs.append(job)
        self._threads.submit(self._work, job)

    def close(self) -> None:
        """Stop what runs, forget what waits, and wait for the threads to end."""
        self._closed = True
        for job in self._jobs:
            job.progress.cancel()
        self._threads.shutdown(wait=True, cancel_futures=True)
        self._jobs.clear()

    def _work(self, job: Job[Any]) -> None:
        """Do a job; runs in a worker."""
        ended = _Ended(job, None)
        try:
            if not job.progress.cancelled:
                ended = _Ended(job, job.work(job.progress))
        except CancelledError:
            job.progress.cancel()
        except Exception as error:  # the job runner is one of three places that may
            ended = _Ended(job, None, error)
        self._ended.emit(ended)

    def _tell(self, ended: _Ended) -> None:
        """Tell the end of a job; runs in the thread of the window."""
        if self._closed:
            return
        self._jobs = [job for job in self._jobs if job is not ended.job]
        if ended.job.progress.cancelled:
            return
        if ended.error is not None:
            ended.job.fail(ended.error)
        else:
            ended.job.succeed(ended.result)
