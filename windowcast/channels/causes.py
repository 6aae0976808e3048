"""What lies behind a failure, and what is said of one that may pass by itself."""

from __future__ import annotations

import ssl
from collections.abc import Iterator

AGAIN = "it will be tried again with the next run"
_DEEP = 8

# A server that starts anew ends a handshake in the middle; every other fault of TLS stays.
_BROKEN_OFF = (ssl.SSLEOFError, ssl.SSLZeroReturnError, ssl.SSLSyscallError)


def is_insecure(cause: BaseException) -> bool:
    """Whether a secure connection failed for a reason that another try will meet again."""
    return isinstance(cause, ssl.SSLError) and not isinstance(cause, _BROKEN_OFF)


def causes_of(problem: BaseException) -> Iterator[BaseException]:
    """A problem and what lies behind it, the nearest first."""
    cause: BaseException | None = problem
    for _ in range(_DEEP):
        if cause is None:
            return
        yield cause
        cause = cause.__cause__ or cause.__context__
