"""A hard wall-clock deadline around one request, whatever the other side does.

The timeouts of requests and of sockets count from one piece of data to the next, and looking up a
name has none at all, so a server that drips a byte at a time holds them open for ever. Here the
request runs in a thread of its own and the caller waits for it so long and no longer. At the
deadline the caller cuts the connection, which ends the thread at once. A thread that still looks
up a name cannot be cut: it is a daemon, does not hold up the end of the program, and drops its
connection as soon as it has one.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from concurrent.futures import Future, wait
from typing import Any, TypeVar

from requests.adapters import HTTPAdapter
from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.connectionpool import HTTPConnectionPool, HTTPSConnectionPool

T = TypeVar("T")
_CONNECTIONS_KEPT = 16


class DeadlinePassed(Exception):
    """The work was not done in time; what it held was cut."""


class Leash:
    """The connection that a piece of work uses just now, so that it can be cut from outside."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._socket: socket.socket | None = None
        self._is_cut = False

    def hold(self, connection: socket.socket) -> None:
        """Take note of a connection; it is cut at once if the deadline has already passed."""
        with self._lock:
            self._socket = connection
            if self._is_cut:
                _cut(connection)

    def let_go(self) -> None:
        """The work is done: its connection goes back to the pool and is cut no more."""
        with self._lock:
            self._socket = None

    def cut(self) -> None:
        """End the connection, now or as soon as there is one."""
        with self._lock:
            self._is_cut = True
            if self._socket is not None:
                _cut(self._socket)


def _cut(connection: socket.socket) -> None:
    # the plain socket's own method: the one of an SSL socket would wait for the other side
    try:
        socket.socket.shutdown(connection, socket.SHUT_RDWR)
    except OSError:
        return  # it had ended by itself


_of_this_thread = threading.local()


def within(deadline_s: float, work: Callable[[], T]) -> T:
    """What ``work`` returns or raises, or DeadlinePassed after so many seconds."""
    leash = Leash()

    def leashed() -> T:
        _of_this_thread.leash = leash
        try:
            return work()
        finally:
            leash.let_go()

    outcome = errand(leashed)
    if not wait([outcome], deadline_s).done:
        leash.cut()
        raise DeadlinePassed
    return outcome.result()


def errand(work: Callable[[], T]) -> Future[T]:
    """Work begun in a daemon thread of its own."""
    outcome: Future[T] = Future()
    threading.Thread(target=fulfil, args=(outcome, work), daemon=True).start()
    return outcome


def fulfil(outcome: Future[T], work: Callable[[], T]) -> None:
    """Do work and leave what it returned or raised where its caller looks for it."""
    if not outcome.set_running_or_notify_cancel():
        return
    try:
        outcome.set_result(work())
    except BaseException as problem:  # carried over to the caller's thread, not swallowed
        outcome.set_exception(problem)


class _Leashed:
    """What both kinds of connection add: they show their socket to the leash of their thread."""

    sock: socket.socket | None

    def connect(self) -> None:
        super().connect()  # type: ignore[misc]
        self._show()

    def request(self, *args: Any, **kwargs: Any) -> None:
        self._show()  # one that was kept alive has its socket from an earlier request
        super().request(*args, **kwargs)  # type: ignore[misc]

    def _show(self) -> None:
        leash = getattr(_of_this_thread, "leash", None)
        if leash is not None and isinstance(self.sock, socket.socket):
            leash.hold(self.sock)


class _Plain(_Leashed, HTTPConnection):
    """A leashed HTTP connection."""


class _Secure(_Leashed, HTTPSConnection):
    """A leashed HTTPS connection."""


class _PlainPool(HTTPConnectionPool):
    ConnectionCls = _Plain


class _SecurePool(HTTPSConnectionPool):
    ConnectionCls = _Secure


class LeashedAdapter(HTTPAdapter):
    """The transport of requests with connections that a deadline can cut."""

    def __init__(self) -> None:
        super().__init__(pool_connections=_CONNECTIONS_KEPT, pool_maxsize=_CONNECTIONS_KEPT)

    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        """Let direct connections be leashed."""
        super().init_poolmanager(*args, **kwargs)
        self.poolmanager.pool_classes_by_scheme = _POOLS

    def proxy_manager_for(self, *args: Any, **kwargs: Any) -> Any:
        """Let connections through a proxy be leashed."""
        manager = super().proxy_manager_for(*args, **kwargs)
        manager.pool_classes_by_scheme = _POOLS
        return manager


_POOLS = {"http": _PlainPool, "https": _SecurePool}
