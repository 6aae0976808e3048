"""A fetcher without a wire: answers from a table, and remembers what it was asked.

It has the interface of the program's Fetcher, and like it hands the bytes to the parser, keeps
nothing from a parser that refuses, and returns the problems of jobs in their place.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import TypeVar

from windowcast.problems import SourceDown, SourceProblem
from windowcast.sources.fetch import Fetched, Service

T = TypeVar("T")
Canned = bytes | SourceProblem | list[bytes | SourceProblem]


class CannedFetcher:
    """Answers by path; of a list one after the other, the last for ever; 404 for other paths."""

    def __init__(self, answers: Mapping[str, Canned]) -> None:
        self.answers = dict(answers)
        self.asked: list[str] = []
        self.params: dict[str, dict[str, str]] = {}
        self.kept_h: dict[str, float] = {}
        self.accepted: set[str] = set()
        self.forgotten: list[str] = []

    def get(
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
        self.asked.append(path)
        self.params[path] = dict(params or {})
        self.kept_h[path] = keep_h
        self.accepted.add(accept)
        answer = self._answer(service, path)
        if isinstance(answer, SourceProblem):
            raise answer
        return Fetched(value=read(answer), url=service.base_url + path, fetched_at=now, asked=True)

    def _answer(self, service: Service, path: str) -> bytes | SourceProblem:
        answer = self.answers.get(path, SourceDown(f"{service.name}: no {path}", status=404))
        if not isinstance(answer, list):
            return answer
        return answer.pop(0) if len(answer) > 1 else answer[0]

    def forget(
        self,
        service: Service,
        path: str,
        *,
        params: Mapping[str, str] | None = None,
        accept: str = "application/json",
    ) -> None:
        self.forgotten.append(path)

    def all(self, service: Service, jobs: Sequence[Callable[[], T]]) -> list[T | SourceProblem]:
        return [_outcome(job) for job in jobs]


def _outcome(job: Callable[[], T]) -> T | SourceProblem:
    try:
        return job()
    except SourceProblem as problem:
        return problem
