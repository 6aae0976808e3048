"""One polite GET: who asks is said, nothing is asked twice, and nothing waits for ever.

``Fetcher.get`` returns what the parser made of the answer, or raises SourceDown or SourceGarbled
with one sentence. A body is kept only after the parser took it, so the last good copy survives
whatever a service sends. An old copy never stands in for a service that failed.
"""

from __future__ import annotations

import hashlib
import logging
import random
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Generic, Self, TypeVar

from windowcast.problems import SourceDown, SourceGarbled, SourceProblem
from windowcast.sources.body import is_web_page
from windowcast.sources.cache import AnswerCache
from windowcast.sources.failure import Failure, Misread, reason_told, refused, retry_after_s
from windowcast.sources.kept import Kept, kept_of, may_be_kept
from windowcast.sources.pace import Gate, Watch, side_by_side
from windowcast.sources.service import Service
from windowcast.sources.transport import Answer, Ask, Limits, Transport

__all__ = ["AnswerCache", "Fetched", "Fetcher", "Limits", "Service", "Watch"]

T = TypeVar("T")
log = logging.getLogger(__name__)

_OK, _NOT_MODIFIED = 200, 304
_MOST_GARBLED = 1
_JITTER = (0.7, 1.3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched(Generic[T]):
    """What the parser made of an answer.

    ``url`` is where it came from in the end, without secrets. ``fetched_at`` is when its content
    was last confirmed by the service; ``asked`` is False where a kept copy was fresh enough.
    """

    value: T
    url: str
    fetched_at: datetime
    asked: bool


class Fetcher:
    """Polite access to weather services for one run; may be used from several threads.

    ``requests_made`` counts the requests that went out, redirects and repeats included.
    """

    def __init__(
        self,
        *,
        user_agent: str,
        cache: AnswerCache | None,
        limits: Limits = Limits(),  # noqa: B008  frozen
        watch: Watch | None = None,
        wait: Callable[[float], None] = time.sleep,
    ) -> None:
        self._cache = cache
        self._limits = limits
        self._watch = watch
        self._wait = wait
        self._transport = Transport(user_agent, limits)
        self._gates: dict[Service, Gate] = {}
        self._gates_lock = threading.Lock()

    @property
    def requests_made(self) -> int:
        """Requests that went out so far."""
        return self._transport.requests_made

    @property
    def limits(self) -> Limits:
        """How patient it is."""
        return self._limits

    def close(self) -> None:
        """Close the connections that were kept alive."""
        self._transport.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def get(  # noqa: PLR0913  the request is five words, the rest is how to read it
        self,
        service: Service,
        path: str,
        *,
        params: Mapping[str, str] | None = None,
        now: datetime,
        read: Callable[[bytes], T],
        accept: str = "application/json",
        keep_h: float = 0.0,
    ) -> Fetched[T]:
        """What ``read`` makes of the answer for a path; SourceDown or SourceGarbled without one.

        A kept copy is used without asking while it is younger than ``keep_h`` or, where that is
        0, than the service's own max-age, at most six hours. Otherwise the service is asked
        whether the copy still holds.
        """
        ask = Ask(service=service, path=path, params=dict(params or {}), accept=accept)
        kept = None if self._cache is None else self._cache.load(_key(ask))
        if kept is not None and kept.is_fresh(now, keep_h):
            try:
                value = read(kept.body)
                return Fetched(value=value, url=kept.url, fetched_at=kept.fetched_at, asked=False)
            except SourceGarbled:
                kept = None  # an older version of the program could read it
        return self._persistently(_Errand(ask=ask, kept=kept, now=now, read=read))

    def forget(
        self,
        service: Service,
        path: str,
        *,
        params: Mapping[str, str] | None = None,
        accept: str = "application/json",
    ) -> None:
        """Drop the kept copy of an answer, for instance of a grid that moved."""
        if self._cache is not None:
            asked = Ask(service=service, path=path, params=dict(params or {}), accept=accept)
            self._cache.drop(_key(asked))

    def all(self, service: Service, jobs: Sequence[Callable[[], T]]) -> list[T | SourceProblem]:
        """What each job returned, or the SourceProblem it raised, in order; some at a time."""
        if self._watch is not None:
            self._watch.expect(len(jobs))
        return side_by_side(jobs, service.at_once, self._watch)

    def _gate(self, service: Service) -> Gate:
        with self._gates_lock:
            if service not in self._gates:
                self._gates[service] = Gate(service.at_once, service.per_second, self._wait)
            return self._gates[service]

    def _persistently(self, errand: _Errand[T]) -> Fetched[T]:
        """Try until there is an answer, no hope or no time left."""
        gate = self._gate(errand.ask.service)
        gate.check()
        seen, began = gate.successes, time.monotonic()
        failures: list[Failure] = []
        while True:
            left_s = self._limits.budget_s - (time.monotonic() - began)
            try:
                fetched = self._once(errand, gate, min(self._limits.deadline_s, left_s))
            except Failure as failure:
                failures.append(failure)
            else:
                gate.opened()
                return fetched
            left_s = self._limits.budget_s - (time.monotonic() - began)
            pause_s = self._pause_s(failures)
            if pause_s is None or pause_s >= left_s:
                break
            self._rest(gate, failures[-1], pause_s)
        problem = _problem(errand.ask, failures)
        is_out = failures[-1].shuts or all(failure.silent for failure in failures)
        if is_out and isinstance(problem, SourceDown):
            gate.shut(problem, seen)
        raise problem

    def _pause_s(self, failures: Sequence[Failure]) -> float | None:
        """How long to wait before the next try, None where there is none."""
        last, count = failures[-1], len(failures)
        garbled = sum(failure.garbled for failure in failures)
        if not last.again or count >= self._limits.tries or garbled > _MOST_GARBLED:
            return None
        waits = self._limits.waits_s or (0.0,)
        backoff_s = waits[min(count, len(waits)) - 1] * random.uniform(*_JITTER)
        return max(backoff_s, last.wait_s or 0.0)

    def _rest(self, gate: Gate, failure: Failure, pause_s: float) -> None:
        log.info("event=retry why=%r wait_s=%.1f", failure.why, pause_s)
        if failure.wait_s:
            gate.hold_off(pause_s)  # the service asked everybody to wait, not this request alone
        else:
            self._wait(pause_s)

    def _once(self, errand: _Errand[T], gate: Gate, deadline_s: float) -> Fetched[T]:
        """One try; a Failure where it failed."""
        began = time.monotonic()
        conditions = {} if errand.kept is None else errand.kept.conditions
        answer = self._transport.follow(errand.ask, conditions, deadline_s, gate.passage)
        if answer.status == _NOT_MODIFIED:
            confirmed = self._confirmed(errand, answer)
            if confirmed is not None:
                return confirmed
            left_s = deadline_s - (time.monotonic() - began)
            answer = self._transport.follow(errand.ask, {}, left_s, gate.passage)
        return self._accepted(errand, answer)

    def _confirmed(self, errand: _Errand[T], answer: Answer) -> Fetched[T] | None:
        """The kept copy that the service says still holds, None if there is no readable one."""
        if errand.kept is None:
            return None
        try:
            value = errand.read(errand.kept.body)
        except SourceGarbled:
            return None
        kept = errand.kept.confirmed(answer.headers, errand.now)
        self._keep(errand.ask, answer, kept)
        return Fetched(value=value, url=kept.url, fetched_at=errand.now, asked=True)

    def _accepted(self, errand: _Errand[T], answer: Answer) -> Fetched[T]:
        """A whole answer that the parser took, kept for the next time."""
        if answer.status != _OK:
            reason = errand.ask.quoted(reason_told(answer.body))
            wait_s = retry_after_s(answer.headers, errand.now)
            raise refused(answer.status, reason, wait_s, self._limits.retry_after_to_s)
        if not answer.body.strip():
            raise Failure("an empty answer", again=True, garbled=True)
        if is_web_page(answer.body):
            wanted = errand.ask.accept
            raise Failure(f"a web page where {wanted} is expected", again=True, garbled=True)
        try:
            value = errand.read(answer.body)
        except SourceGarbled as problem:
            raise Misread(str(problem)) from None
        url = errand.ask.url_of(answer.path)
        kept = kept_of(answer.body, url, answer.headers, errand.now)
        self._keep(errand.ask, answer, kept)
        return Fetched(value=value, url=kept.url, fetched_at=errand.now, asked=True)

    def _keep(self, ask: Ask, answer: Answer, kept: Kept) -> None:
        if self._cache is not None and may_be_kept(answer.headers):
            self._cache.store(_key(ask), kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Errand(Generic[T]):
    """One ``get``: what is asked, the copy there is, the time, and how an answer is read."""

    ask: Ask
    kept: Kept | None
    now: datetime
    read: Callable[[bytes], T]


def _key(ask: Ask) -> str:
    return hashlib.sha256(ask.identity.encode()).hexdigest()


def _problem(ask: Ask, failures: Sequence[Failure]) -> SourceDown | SourceGarbled:
    """The one sentence about all tries."""
    last, count = failures[-1], len(failures)
    if isinstance(last, Misread):
        return SourceGarbled(f"{last.why} (in the answer of {ask})")
    head = "no answer" if last.silent else "no usable answer"
    tries = f"{count} tries (last: {last.why})" if count > 1 else f"1 try ({last.why})"
    sentence = f"{ask.service.name}: {head} from {ask} in {tries}"
    return SourceGarbled(sentence) if last.garbled else SourceDown(sentence, status=last.status)
