import socket
import threading
import time
from collections.abc import Iterator

import pytest

from windowcast.deadline import DeadlinePassed, Leash, within


@pytest.fixture
def wire() -> Iterator[tuple[socket.socket, socket.socket]]:
    here, there = socket.socketpair()
    with here, there:
        there.settimeout(2.0)
        yield here, there


def test_work_done_in_time_returns_what_it_returns() -> None:
    assert within(2.0, lambda: 5) == 5


def test_work_that_raises_raises_where_it_was_asked_for() -> None:
    with pytest.raises(TimeoutError, match="its own"):
        within(2.0, lambda: _raise(TimeoutError("its own")))
    with pytest.raises(SystemExit):
        within(2.0, lambda: _raise(SystemExit()))


def _raise(problem: BaseException) -> None:
    raise problem


def test_work_that_hangs_is_left_at_the_deadline() -> None:
    done = threading.Event()
    began = time.monotonic()
    with pytest.raises(DeadlinePassed):
        within(0.1, done.wait)
    assert 0.1 <= time.monotonic() - began < 1.0
    done.set()


def test_a_connection_is_cut_for_both_sides(wire: tuple[socket.socket, socket.socket]) -> None:
    here, there = wire
    leash = Leash()
    leash.hold(here)
    leash.cut()
    assert (here.recv(1), there.recv(1)) == (b"", b"")


def test_a_connection_that_comes_after_the_deadline_is_cut_at_once(
    wire: tuple[socket.socket, socket.socket],
) -> None:
    here, there = wire
    leash = Leash()
    leash.cut()
    leash.hold(here)
    assert there.recv(1) == b""


def test_a_connection_that_ended_by_itself_needs_no_cut(
    wire: tuple[socket.socket, socket.socket],
) -> None:
    leash = Leash()
    leash.hold(wire[0])
    wire[0].close()
    leash.cut()
    assert wire[1].recv(1) == b""


def test_only_the_connection_in_use_is_cut() -> None:
    first, second = socket.socketpair(), socket.socketpair()
    leash = Leash()
    leash.hold(first[0])
    leash.hold(second[0])
    leash.cut()
    second[1].settimeout(2.0)
    assert second[1].recv(1) == b""
    first[0].sendall(b"x")
    assert first[1].recv(1) == b"x"
    for end in (*first, *second):
        end.close()
