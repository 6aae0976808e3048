"""An outfit on loopback that sends: a weather office, a mail server, and the program as a child."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from support.book_workers import surroundings
from support.office import configured, office_routes, sound_grid
from support.server import WeatherServer

TO = ("ines@vellamoor.example", "truck@vellamoor.example")
ZONE = "America/Los_Angeles"


def mail_table(port: int, to: Sequence[str] = TO) -> str:
    addresses = ", ".join(f'"{address}"' for address in to)
    return f"""
[mail]
host = "127.0.0.1"
port = {port}
security = "none"
from = "office@vellamoor.example"
to = [{addresses}]
"""


def sending(folder: Path, weather: str, more: str, run_at: str = "06:00", zone: str = ZONE) -> Path:
    """A configuration of an outfit that has times to run at."""
    configured(folder, weather, more)
    path = folder / "outfit.toml"
    times = f'run_at = ["{run_at}"]\nzone = "{zone}"\n'
    path.write_text(times + path.read_text("utf-8"), encoding="utf-8")
    return folder


@contextmanager
def office_of_now() -> Iterator[WeatherServer]:
    """A weather office whose forecast was issued an hour ago by the machine's own clock."""
    now = datetime.now(UTC)
    start = now.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=1)
    grid = sound_grid(issued=now - timedelta(hours=1), start=start)
    with WeatherServer(office_routes(grid)) as server:
        yield server


def around_noon(ago: timedelta = timedelta(0)) -> tuple[str, str]:
    """A zone where it is about noon now, and what its clock showed some time ago.

    So a time around now is one that may be run at, whatever the machine's clock shows.
    """
    now = datetime.now(UTC)
    east_h = 12 - now.hour
    zone = f"Etc/GMT{-east_h:+d}" if east_h else "Etc/GMT"
    return f"{now + timedelta(hours=east_h) - ago:%H:%M}", zone


@contextmanager
def child(*words: object) -> Iterator[subprocess.Popen[str]]:
    """The program as a process of its own, gone at the end in any case."""
    command = [sys.executable, "-m", "windowcast", *map(str, words)]
    with subprocess.Popen(
        command, env=surroundings(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as running:
        try:
            yield running
        finally:
            if running.poll() is None:
                running.kill()


def until(true: Callable[[], bool], patience_s: float = 30.0) -> None:
    """Wait for something that must come."""
    ends = time.monotonic() + patience_s
    while not true():
        assert time.monotonic() < ends, "waited in vain"
        time.sleep(0.02)


def stopped(running: subprocess.Popen[str]) -> tuple[int, str]:
    """The status and the log of a process that is asked to end, within the time it has."""
    running.send_signal(signal.SIGTERM)
    _, log = running.communicate(timeout=30)
    return running.returncode, log
