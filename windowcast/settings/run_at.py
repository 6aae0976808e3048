"""``run_at``: at which local times the morning runs by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import time
from typing import Any

from windowcast.settings.readings import clock
from windowcast.settings.spelling import Slip, shown

MOST = 8
EARLIEST, LATEST = time(3), time(23)


def run_time(value: object) -> time:
    """A local time that every day of every zone has once, or at least has a first of."""
    at = clock(value)
    if not EARLIEST <= at <= LATEST:
        raise Slip(
            f"{shown(f'{at:%H:%M}')} lies in the night, in which a change of the clocks skips or"
            " repeats an hour",
            f'write one from "{EARLIEST:%H:%M}" to "{LATEST:%H:%M}"',
        )
    return at


def run_at_slips(table: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], Slip]]:
    """What the times say wrong together, and with the rest of the file; asked of the raw table."""
    told = table.get("run_at")
    if not isinstance(told, list) or not told:
        return
    if "zone" not in table:
        cure = 'write zone = "America/Boise" with yours; run_at is read on its clock'
        yield ("zone",), Slip("is missing", cure)
    seen: set[time] = set()
    for number, value in enumerate(told):
        at = _read(value)
        if at in seen:
            yield ("run_at", number), Slip(f"{shown(f'{at:%H:%M}')} stands twice", "keep one")
        elif at is not None:
            seen.add(at)


def _read(value: object) -> time | None:
    try:
        return clock(value)
    except Slip:  # faulty by itself, and said so
        return None
