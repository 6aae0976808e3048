"""Which of the recorded answers is about a yard: the nearest, and of one place the newest.

No answer from after ``now`` is taken where there is another, so that a folder may hold many
mornings.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import inf

import numpy as np

from windowcast.science.distance import distance_km
from windowcast.sources.nws_past import until
from windowcast.sources.recordings import Recordings
from windowcast.sources.wire.cells import km_outside
from windowcast.sources.wire.nws_grid import Grid
from windowcast.sources.wire.nws_observations import StationHours
from windowcast.sources.wire.open_meteo import PointForecast
from windowcast.sources.wire.open_meteo_issue import issue_day_begins
from windowcast.terms.yard import Yard
from windowcast.times import as_datetime

CELL_KM = 3.0  # a cell is 2.5 km wide; beyond its neighbour the ground may be another
OPEN_METEO_KM = 15.0
STATION_KM = 80.0
_SAME_PLACE_KM = 0.1  # Open-Meteo's coordinates of one place drift in the fifth decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The reports of a station up to now, and where it stands."""

    told: StationHours
    lat_deg: float
    lon_deg: float


def grid_at(yard: Yard, recorded: Recordings, now: datetime) -> Grid | None:
    """The newest grid of the nearest cell within reach of a yard."""
    newest: dict[str, Grid] = {}
    for grid in sorted(recorded.grids, key=lambda one: _newness(one.updated_at, now)):
        if km_to_grid(yard, grid, recorded) <= CELL_KM:
            newest[grid.cell] = grid
    return min(
        newest.values(),
        key=lambda one: (km_to_grid(yard, one, recorded), one.cell),
        default=None,
    )


def _newness(at: datetime, now: datetime) -> tuple[bool, float]:
    """Sorts the newest time last, and times after ``now`` before all others, the least wrong last.

    A time from the future is taken only where there is no other, so that its refusal is told.
    """
    age_s = (now - at).total_seconds()
    return (age_s >= 0, -abs(age_s))


def km_to_grid(yard: Yard, grid: Grid, recorded: Recordings) -> float:
    """How far a yard lies outside a cell; by point answers where the grid has no outline."""
    if grid.polygon:
        return km_outside(grid.polygon, yard.lat_deg, yard.lon_deg)
    return min(_km_to_points(yard, recorded, grid), default=inf)


def _km_to_points(yard: Yard, recorded: Recordings, grid: Grid) -> Iterable[float]:
    for placed in recorded.points:
        is_of_cell = placed.cell == grid.cell
        if is_of_cell and placed.lat_deg is not None and placed.lon_deg is not None:
            yield distance_km(yard.lat_deg, yard.lon_deg, placed.lat_deg, placed.lon_deg)


def zone_at(yard: Yard, recorded: Recordings, grid: Grid | None) -> str | None:
    """The zone that the nearest point answer tells, or one for the same cell."""
    near = [
        (distance_km(yard.lat_deg, yard.lon_deg, placed.lat_deg, placed.lon_deg), placed.point.tz)
        for placed in recorded.points
        if placed.lat_deg is not None and placed.lon_deg is not None and placed.point.tz
    ]
    off_km, tz = min(near, default=(inf, None))
    if off_km <= CELL_KM:
        return tz
    of_cell = (p.point.tz for p in recorded.points if grid is not None and p.cell == grid.cell)
    return next((zone for zone in of_cell if zone), None)


def point_at(yard: Yard, recorded: Recordings, now: datetime) -> PointForecast | None:
    """The nearest Open-Meteo answer; of those about one place the one issued last.

    The days tell when; of answers of one day the one that begins last is taken.
    """
    near = [
        (off_km, _newness_of(point, now), point)
        for point in recorded.forecasts
        if (off_km := km_to_point(yard, point)) <= OPEN_METEO_KM
    ]
    nearest_km = min((off_km for off_km, _, _ in near), default=inf)
    same = [(age, point) for off_km, age, point in near if off_km <= nearest_km + _SAME_PLACE_KM]
    return max(same, key=lambda pair: pair[0])[1] if same else None


def _newness_of(point: PointForecast, now: datetime) -> tuple[tuple[bool, float], ...]:
    first = as_datetime(point.hours[0])
    return (_newness(issue_day_begins(point), now), _newness(first, now))


def km_to_point(yard: Yard, point: PointForecast) -> float:
    """How far a yard is from the place that an Open-Meteo answer is about."""
    return distance_km(yard.lat_deg, yard.lon_deg, point.lat_deg, point.lon_deg)


def measured_by(recorded: Recordings, now: datetime) -> list[Measured]:
    """Reports that tell a temperature up to now and whose station has a known place."""
    measured = []
    for reports in recorded.reports:
        told, listed = until(reports, now), recorded.stations.get(reports.station_id)
        lat_deg = told.lat_deg if listed is None else listed.lat_deg
        lon_deg = told.lon_deg if listed is None else listed.lon_deg
        tells = bool(np.isfinite(told.arrays["temp_c"]).any())
        if tells and lat_deg is not None and lon_deg is not None:
            measured.append(Measured(told=told, lat_deg=lat_deg, lon_deg=lon_deg))
    return measured


def station_at(yard: Yard, measured: Sequence[Measured]) -> tuple[Measured, float] | None:
    """The nearest station, by its newest reports where there are several, and how far it is."""
    near = [
        (off_km, -as_datetime(one.told.hours[-1]).timestamp(), number)
        for number, one in enumerate(measured)
        if (off_km := distance_km(yard.lat_deg, yard.lon_deg, one.lat_deg, one.lon_deg))
        <= STATION_KM
    ]
    if not near:
        return None
    off_km, _, number = min(near)
    return measured[number], off_km
