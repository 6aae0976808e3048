"""How a service is spared: so many requests a second, so many at once, none when it is out."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, as_completed
from contextlib import contextmanager
from functools import partial
from queue import Empty, SimpleQueue
from typing import Protocol, TypeVar

from windowcast.deadline import fulfil
from windowcast.problems import SourceDown, SourceProblem

T = TypeVar("T")
_Waiting = SimpleQueue[tuple[Future[T | SourceProblem], Callable[[], T]]]


class Watch(Protocol):
    """Somebody who follows the progress of a morning."""

    def expect(self, count: int) -> None:
        """So many more pieces of work are to come."""

    def done(self) -> None:
        """One of them is done."""


class Gate:
    """The one way to a service for all threads of a run.

    When a service gave no sign of life in all tries of one request, the gate is shut and further
    requests fail at once with the same sentence; any success opens it again. A service that
    answered another request meanwhile is not out, and the gate stays open.
    """

    def __init__(self, at_once: int, per_second: float, wait: Callable[[float], None]) -> None:
        self._at_once = threading.BoundedSemaphore(at_once)
        self.successes = 0
        self._every_s = 1.0 / per_second
        self._next = 0.0
        self._wait = wait
        self._lock = threading.Lock()
        self._trouble: SourceDown | None = None

    @contextmanager
    def passage(self) -> Iterator[None]:
        """Wait until one more request may go out; the way out lets the next one in."""
        with self._at_once:
            self._turn()
            yield

    def _turn(self) -> None:
        with self._lock:
            now = time.monotonic()
            at = max(now, self._next)
            self._next = at + self._every_s
        if at > now:
            self._wait(at - now)

    def hold_off(self, seconds: float) -> None:
        """Let no request out for so long: the service asked for it."""
        with self._lock:
            self._next = max(self._next, time.monotonic() + seconds)

    def check(self) -> None:
        """Raise what shut the gate, if anything did."""
        trouble = self._trouble
        if trouble is not None:
            raise SourceDown(str(trouble), status=trouble.status)

    def opened(self) -> None:
        """The service answered."""
        with self._lock:
            self.successes += 1
            self._trouble = None

    def shut(self, trouble: SourceDown, successes_before: int) -> None:
        """Shut the gate, unless the service answered somebody since that count was taken."""
        with self._lock:
            if self.successes == successes_before:
                self._trouble = trouble


def side_by_side(
    jobs: Sequence[Callable[[], T]], at_once: int, watch: Watch | None
) -> list[T | SourceProblem]:
    """What each job returned, or the problem of the service it raised, in the order of the jobs.

    The threads are daemons: an interrupted program does not wait for them.
    """
    outcomes: list[Future[T | SourceProblem]] = [Future() for _ in jobs]
    waiting: _Waiting[T] = SimpleQueue()
    for pair in zip(outcomes, jobs, strict=True):
        waiting.put(pair)
    for _ in range(min(at_once, len(jobs))):
        threading.Thread(target=_work_off, args=(waiting,), daemon=True).start()
    try:
        for _ in as_completed(outcomes):
            if watch is not None:
                watch.done()
    except BaseException:
        for outcome in outcomes:
            outcome.cancel()
        raise
    return [outcome.result() for outcome in outcomes]


def _work_off(waiting: _Waiting[T]) -> None:
    while True:
        try:
            outcome, job = waiting.get_nowait()
        except Empty:
            return
        fulfil(outcome, partial(_answered, job))


def _answered(job: Callable[[], T]) -> T | SourceProblem:
    try:
        return job()
    except SourceProblem as problem:
        return problem
