"""The resident way to run mornings: a tick that asks what is due, and a child that does it.

APScheduler only ticks, in memory. What is due follows from wall time and the book, so sleep, a
restart, a clock that was set and a second process are all harmless.
"""

from __future__ import annotations

import json
import logging
import re
import signal
import subprocess
import threading
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import IO

from apscheduler.events import EVENT_JOB_ERROR, JobExecutionEvent
from apscheduler.schedulers.background import BackgroundScheduler

TICK_S = 30.0
PATIENCE_S = 30 * 60.0  # a morning that takes longer hangs
GRACE_S = 25.0  # for a child to finish its letter once we are asked to stop

_POLL_S = 0.05
_ADDRESS = re.compile(r"[^\s<>\"'(),;:]+@[^\s<>\"'(),;:]+")

log = logging.getLogger("windowcast.serve")


def event(name: str, **told: object) -> None:
    """One line of the log: ``event key=value``; addresses of people stay out of it."""
    words = [name, *(f"{key}={_quoted(value)}" for key, value in told.items())]
    log.info(" ".join(words))


def tick_until(
    stopped: threading.Event, act: Callable[[], None], first: datetime, every_s: float = TICK_S
) -> None:
    """Call ``act`` at ``first`` and then every so many seconds, never twice at once.

    Returns once ``stopped`` is set and a call that was under way has ended.
    """
    logging.getLogger("apscheduler").setLevel(logging.CRITICAL)  # a tick left out is no news
    scheduler = BackgroundScheduler(timezone=UTC)
    scheduler.add_listener(_say_fault, EVENT_JOB_ERROR)
    scheduler.add_job(
        act, "interval", seconds=every_s, next_run_time=first,
        max_instances=1, coalesce=True, misfire_grace_time=None,
    )  # fmt: skip
    scheduler.start()
    try:
        stopped.wait()
    finally:
        scheduler.shutdown(wait=True)


def run_child(
    command: Sequence[str],
    stopped: threading.Event,
    patience_s: float = PATIENCE_S,
    grace_s: float = GRACE_S,
) -> int:
    """Run a command to its end and return its status, negative where it had to be killed.

    What it says goes into the log. Once ``stopped`` is set it is asked to end, and killed after
    the grace; after the patience it is killed at once.
    """
    began = time.monotonic()
    # A session of its own, so that Ctrl-C reaches it through us.
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        errors="replace",
        start_new_session=True,
    ) as child:
        ear = threading.Thread(target=_listen, args=(child.stderr,), daemon=True)
        ear.start()
        ends, asked = began + patience_s, False
        while child.poll() is None:
            if stopped.is_set() and not asked:
                child.send_signal(signal.SIGTERM)
                ends, asked = min(ends, time.monotonic() + grace_s), True
            if time.monotonic() > ends:
                event("run_killed", after_s=round(time.monotonic() - began, 1))
                child.kill()
                child.wait()
                break
            time.sleep(_POLL_S)
        ear.join(timeout=1.0)
    return child.returncode


def _listen(stream: IO[str]) -> None:
    for line in stream:
        if line.strip():
            event("run_said", line=line.strip())


def _say_fault(fault: JobExecutionEvent) -> None:
    kind = type(fault.exception).__name__
    event("tick_fault", kind=kind, text=fault.exception)


def _quoted(value: object) -> str:
    text = _ADDRESS.sub("(address)", " ".join(str(value).split()))
    return text if re.fullmatch(r"[\w.:+/-]+", text) else json.dumps(text, ensure_ascii=False)
