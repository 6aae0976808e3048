"""The past of a grid cell from the stations near it: the nearest that tells a temperature."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

import numpy as np

from windowcast.problems import SourceProblem
from windowcast.sources.wire.nws_observations import StationHours
from windowcast.sources.wire.nws_stations import Station
from windowcast.times import as_hour

NEAREST = 3  # stations that are tried for a cell, nearest first

K = TypeVar("K")
Heard = Mapping[str, StationHours | SourceProblem]


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """The station that stands for a cell, and its hours."""

    station: Station
    told: StationHours


def pasts_of(
    near: Mapping[K, Sequence[Station]], hear: Callable[[Sequence[str]], Heard]
) -> dict[K, Past | str]:
    """For each cell its past, or the clause that says why it has none.

    ``hear`` answers for stations by their identifier; each is asked once, whoever lies near it.
    """
    heard: dict[str, StationHours | SourceProblem] = {}
    pasts: dict[K, Past | str] = {}
    for turn in range(NEAREST):
        open_cells = {
            cell: stations[turn]
            for cell, stations in near.items()
            if turn < len(stations) and not isinstance(pasts.get(cell), Past)
        }
        wanted = dict.fromkeys(station.id for station in open_cells.values())
        heard |= hear([key for key in wanted if key not in heard])
        pasts |= {cell: _past(station, heard[station.id]) for cell, station in open_cells.items()}
    silent: Past | str = "the service names no station near it"
    return {cell: pasts.get(cell, silent) for cell in near}


def _past(station: Station, heard: StationHours | SourceProblem) -> Past | str:
    if isinstance(heard, SourceProblem):
        return str(heard)
    if not np.isfinite(heard.arrays["temp_c"]).any():
        return f"station {station.id} tells no temperature, nor do nearer ones"
    return Past(station=station, told=heard)


def until(told: StationHours, now: datetime) -> StationHours:
    """Without the hours that begin after ``now``, and without empty hours at the end."""
    any_told = np.any([np.isfinite(array) for array in told.arrays.values()], axis=0)
    kept = np.flatnonzero(any_told & (told.hours <= as_hour(now)))
    count = int(kept[-1]) + 1 if kept.size else 0
    return replace(
        told,
        hours=told.hours[:count],
        arrays={name: array[:count] for name, array in told.arrays.items()},
    )
