"""What lies behind a failure, and what is said of one that may pass by itself."""

from __future__ import annotations

from collections.abc import Iterator

AGAIN = "it will be tried again with the next run"
_DEEP = 8


def causes_of(problem: BaseException) -> Iterator[BaseException]:
    """A problem and what lies behind it, the nearest first."""
    cause: BaseException | None = problem
    for _ in range(_DEEP):
        if cause is None:
            return
        yield cause
        cause = cause.__cause__ or cause.__context__
