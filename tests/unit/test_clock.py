"""Ticks that never overlap, and children that end."""

from __future__ import annotations

import logging
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

import pytest

from windowcast.clock import event, run_child, tick_until


def now() -> datetime:
    return datetime.now(UTC)


@pytest.fixture
def lines(caplog: pytest.LogCaptureFixture) -> Callable[[], list[str]]:
    caplog.set_level(logging.INFO, logger="windowcast.serve")
    return lambda: [record.message for record in caplog.records]


@contextmanager
def ticking(act: Callable[[], None], every_s: float) -> Iterator[threading.Event]:
    """Ticks in a thread, as main() has them, stopped and waited for at the end."""
    stopped = threading.Event()
    thread = threading.Thread(target=tick_until, args=(stopped, act, now(), every_s))
    thread.start()
    try:
        yield stopped
    finally:
        stopped.set()
        thread.join(10)
        assert not thread.is_alive()


def until(true: Callable[[], bool]) -> None:
    ends = time.monotonic() + 10
    while not true():
        assert time.monotonic() < ends, "waited in vain"
        time.sleep(0.01)


def python(code: str) -> list[str]:
    return [sys.executable, "-u", "-c", code]


def test_it_ticks_at_once_and_goes_on() -> None:
    ticks: list[float] = []
    began = time.monotonic()
    with ticking(lambda: ticks.append(time.monotonic() - began), 0.1):
        until(lambda: len(ticks) >= 3)
    assert ticks[0] < 0.1 + 0.5


def test_a_tick_never_begins_before_the_last_has_ended() -> None:
    under_way, most = [0], [0]

    def slow() -> None:
        under_way[0] += 1
        most.append(under_way[0])
        time.sleep(0.15)
        under_way[0] -= 1

    with ticking(slow, 0.02):
        until(lambda: len(most) > 4)
    assert max(most) == 1


def test_a_stop_waits_for_the_tick_that_is_under_way() -> None:
    begun, ended = threading.Event(), threading.Event()

    def slow() -> None:
        begun.set()
        time.sleep(0.3)
        ended.set()

    with ticking(slow, 60):
        assert begun.wait(5)
    assert ended.is_set()


def test_a_tick_that_breaks_is_logged_and_followed_by_the_next(lines) -> None:
    ticks: list[int] = []

    def broken() -> None:
        ticks.append(1)
        raise ZeroDivisionError("nothing to divide")

    with ticking(broken, 0.05):
        until(lambda: len(ticks) >= 3)
    assert lines()[0] == 'tick_fault kind=ZeroDivisionError text="nothing to divide"'


def test_a_child_is_waited_for_and_its_status_returned(lines) -> None:
    assert run_child(python("raise SystemExit(5)"), threading.Event()) == 5
    assert lines() == []


def test_what_a_child_says_is_logged_without_addresses(lines) -> None:
    code = (
        "import sys; print('the notice'); "
        "print('Not sent: mail to <ines.b@vellamoor.example>: no', file=sys.stderr)"
    )
    assert run_child(python(code), threading.Event()) == 0
    assert lines() == ['run_said line="Not sent: mail to <(address)>: no"']


def test_a_child_that_hangs_is_killed_after_the_patience(lines) -> None:
    began = time.monotonic()
    status = run_child(python("import time; time.sleep(60)"), threading.Event(), patience_s=0.3)
    assert status < 0
    assert time.monotonic() - began < 5
    assert lines()[0].startswith("run_killed after_s=0.")


FINISHING = """
import signal, sys, time
signal.signal(signal.SIGTERM, lambda *_: None)
print('ready', file=sys.stderr)
signal.pause()
time.sleep(0.3)
raise SystemExit(5)
"""


def stop_once_ready(lines: Callable[[], list[str]], stopped: threading.Event) -> threading.Thread:
    def wait() -> None:
        until(lambda: "run_said line=ready" in lines())
        stopped.set()

    thread = threading.Thread(target=wait)
    thread.start()
    return thread


def test_a_stop_is_passed_on_and_the_child_may_finish(lines) -> None:
    stopped = threading.Event()
    thread = stop_once_ready(lines, stopped)
    assert run_child(python(FINISHING), stopped) == 5
    thread.join()
    assert lines() == ["run_said line=ready"]


def test_a_child_that_does_not_finish_in_time_is_killed(lines) -> None:
    stopped = threading.Event()
    thread = stop_once_ready(lines, stopped)
    stubborn = FINISHING.replace("time.sleep(0.3)", "time.sleep(60)")
    assert run_child(python(stubborn), stopped, grace_s=0.3) < 0
    thread.join()
    assert lines()[-1].startswith("run_killed after_s=")


@pytest.mark.parametrize(
    ("value", "line"),
    [
        (5, "x value=5"),
        ("2027-01-12T06:00", "x value=2027-01-12T06:00"),
        ("two\nlines", 'x value="two lines"'),
        ('a "quote"', 'x value="a \\"quote\\""'),
        ("", 'x value=""'),
        ("ask office@vellamoor.example, please", 'x value="ask (address), please"'),
    ],
)
def test_an_event_is_one_line_of_keys_and_values(lines, value: object, line: str) -> None:
    event("x", value=value)
    assert lines() == [line]
