"""The US National Weather Service: forecast grids, and what nearby stations measured.

A place leads to a grid cell, the cell to its forecast and to its stations. Offices redefine their
grids without notice, so where a cell is gone, or lies elsewhere than the yard, the place is looked
up once more.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from typing import TypeVar
from urllib.parse import urlsplit

from windowcast.problems import SourceDown, SourceGarbled, SourceProblem
from windowcast.science.distance import distance_km
from windowcast.sources.fetch import Fetched, Fetcher, Service
from windowcast.sources.nws_past import NEAREST, Heard, Past, pasts_of, until
from windowcast.sources.wire.cells import km_outside
from windowcast.sources.wire.nws_grid import Grid, read_grid
from windowcast.sources.wire.nws_observations import StationHours, read_observations
from windowcast.sources.wire.nws_points import GridPoint, read_point
from windowcast.sources.wire.nws_stations import Station, read_stations
from windowcast.terms.outlook import PAST, Answer, Origin, Outlook, outlook_of
from windowcast.terms.yard import Place, Yard
from windowcast.times import as_datetime

BASE_URL = "https://api.weather.gov"
HOME_HOSTS = ("api.weather.gov",)
ACCEPT = "application/geo+json"  # named, since answers without it were seen stale

KEEP_PLACES_H = 14 * 24.0  # a place's cell and a cell's stations: grids are redefined now and then
NEAR_KM = 3.0  # a yard this far outside the cell, which is 2.5 km wide, is still its neighbour
SAME_PLACE_KM = 5.0  # a point answer repeats the place that was asked for, to four decimals
PAST_D = 7  # the service keeps about seven days of observations
_NOT_FOUND = 404
_POINTS = "/points/"
_CELL = re.compile(r"/gridpoints/([A-Za-z]{3,4})/(\d{1,5}),(\d{1,5})", re.ASCII)

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cell:
    """A yard's cell with its forecast."""

    point: GridPoint
    grid: Grid


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lost:
    """No forecast for a yard: why, and whether its place may have got another cell since."""

    why: str
    may_have_moved: bool = False


class Nws:
    """Forecasts of the US National Weather Service, with the past if ``observations`` is set."""

    name = "nws"
    reach_h = 192

    def __init__(
        self, fetcher: Fetcher, base_url: str | None = None, observations: bool = True
    ) -> None:
        self._fetcher = fetcher
        self._observations = observations
        self._service = Service(
            name=self.name, base_url=(base_url or BASE_URL).rstrip("/"), home_hosts=HOME_HOSTS
        )

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """Forecast and past of each yard, or one sentence of trouble for it."""
        found = self._look_up(yards, now)
        moved = [yard for yard in yards if _may_have_moved(found[yard.key])]
        if moved:
            self._forget(moved)
            found |= self._look_up(moved, now)
        cells = {key: cell for key, cell in found.items() if isinstance(cell, _Cell)}
        lost = {key: cell for key, cell in found.items() if isinstance(cell, _Lost)}
        pasts, about_pasts = self._pasts(cells, now) if self._observations else ({}, ())
        about_grids = (remark for cell in cells.values() for remark in cell.grid.remarks)
        return Answer(
            outlooks={key: _forecast(key, cell.grid, self.name) for key, cell in cells.items()},
            pasts=pasts,
            places={
                key: Place(tz=cell.point.tz, elev_m=cell.grid.elev_m) for key, cell in cells.items()
            },
            trouble={key: cell.why for key, cell in lost.items()},
            remarks=tuple(dict.fromkeys((*about_grids, *about_pasts))),
        )

    # --- forecasts ----------------------------------------------------------------------------

    def _look_up(self, yards: Sequence[Yard], now: datetime) -> dict[str, _Cell | _Lost]:
        """The cell of each yard; one request a place, one a cell."""
        points = self._each((_point_path(yard) for yard in yards), self._point, now)
        at = {yard.key: points[_point_path(yard)] for yard in yards}
        links = [point.grid_link for point in at.values() if isinstance(point, GridPoint)]
        grids = self._each(links, self._grid, now)
        return {yard.key: self._cell(yard, at[yard.key], grids) for yard in yards}

    def _cell(
        self,
        yard: Yard,
        point: GridPoint | SourceProblem,
        grids: Mapping[str, Grid | SourceProblem],
    ) -> _Cell | _Lost:
        if isinstance(point, SourceProblem):
            return _Lost(why=str(point))
        grid = grids[point.grid_link]
        if isinstance(grid, SourceProblem):
            gone = isinstance(grid, SourceDown) and grid.status == _NOT_FOUND
            return _Lost(why=str(grid), may_have_moved=gone)
        off_km = km_outside(grid.polygon, yard.lat_deg, yard.lon_deg) if grid.polygon else 0.0
        if off_km > NEAR_KM:
            return _Lost(
                why=f"{self.name}: grid {grid.cell} lies {off_km:.0f} km from the yard at"
                f" {yard.lat_deg:g}, {yard.lon_deg:g} that it was named for; its forecast is not"
                " used",
                may_have_moved=True,
            )
        return _Cell(point=point, grid=grid)

    def _forget(self, yards: Iterable[Yard]) -> None:
        for path in dict.fromkeys(_point_path(yard) for yard in yards):
            self._fetcher.forget(self._service, path, accept=ACCEPT)

    # --- the past -----------------------------------------------------------------------------

    def _pasts(
        self, cells: Mapping[str, _Cell], now: datetime
    ) -> tuple[dict[str, Outlook], tuple[str, ...]]:
        """The past of each yard, and remarks on cells that have none."""
        links = {key: cell.point.stations_link for key, cell in cells.items()}
        listed = self._each((link for link in links.values() if link), self._stations, now)
        near = {link: told for link, told in listed.items() if not isinstance(told, SourceProblem)}
        found: dict[str, Past | str] = {
            link: str(told) for link, told in listed.items() if isinstance(told, SourceProblem)
        }
        found |= pasts_of(near, partial(self._hear, now=now))
        pasts: dict[str, Outlook] = {}
        remarks: list[str] = []
        for key, cell in cells.items():
            past = found.get(links[key] or "", "the service names no stations for it")
            if isinstance(past, Past):
                pasts[key] = _measured(key, past, cell.grid, self.name)
                remarks.extend(past.told.remarks)
            else:
                why = past.removeprefix(f"{self.name}: ")
                remarks.append(f"{self.name}: grid {cell.grid.cell} has no past weather: {why}")
        return pasts, tuple(remarks)

    def _hear(self, stations: Sequence[str], now: datetime) -> Heard:
        return self._each(stations, self._observed, now)

    # --- requests -----------------------------------------------------------------------------

    def _each(
        self, asked: Iterable[str], ask: Callable[[str, datetime], T], now: datetime
    ) -> dict[str, T | SourceProblem]:
        """What ``ask`` returns for each different word, some at a time."""
        unique = list(dict.fromkeys(asked))
        jobs = [partial(ask, word, now) for word in unique]
        return dict(zip(unique, self._fetcher.all(self._service, jobs), strict=True))

    def _point(self, path: str, now: datetime) -> GridPoint:
        return self._get(path, now, partial(_point_at, path), keep_h=KEEP_PLACES_H).value

    def _grid(self, link: str, now: datetime) -> Grid:
        """The grid that a link leads to; SourceGarbled if another cell answers."""
        path = self._service.path_of(link)
        fetched = self._get(path, now, read_grid)
        # A cell may be redirected to another; then the address that answered names the cell.
        wanted = _cell_named(urlsplit(fetched.url).path) or _cell_named(path)
        if wanted and wanted != fetched.value.cell:
            self._fetcher.forget(self._service, path, accept=ACCEPT)
            raise SourceGarbled(
                f"{self.name}: {path} holds grid {fetched.value.cell}, expected {wanted}; it is"
                " not used"
            )
        return fetched.value

    def _stations(self, link: str, now: datetime) -> tuple[Station, ...]:
        path = self._service.path_of(link)
        limit = {"limit": str(NEAREST)}
        return self._get(path, now, read_stations, params=limit, keep_h=KEEP_PLACES_H).value

    def _observed(self, station: str, now: datetime) -> StationHours:
        """Hours of a station up to now; SourceGarbled if another one answers."""
        end = now.replace(minute=0, second=0, microsecond=0)  # one address an hour, for the cache
        span = {"start": _stamp(end - timedelta(days=PAST_D)), "end": _stamp(end)}
        path = f"/stations/{station}/observations"
        told = self._get(path, now, read_observations, params=span).value
        if told.station_id not in ("", station):
            raise SourceGarbled(
                f"{self.name}: {path} holds reports of {told.station_id}, expected {station}"
            )
        return until(told, now)

    def _get(
        self,
        path: str,
        now: datetime,
        read: Callable[[bytes], T],
        params: Mapping[str, str] | None = None,
        keep_h: float = 0.0,
    ) -> Fetched[T]:
        return self._fetcher.get(
            self._service, path, params=params, now=now, read=read, accept=ACCEPT, keep_h=keep_h
        )


def _may_have_moved(found: _Cell | _Lost) -> bool:
    return isinstance(found, _Lost) and found.may_have_moved


def _point_path(yard: Yard) -> str:
    """``/points/43.61,-116.2``: the service wants at most four decimals and no zeros at the end."""
    return f"{_POINTS}{_decimals(yard.lat_deg)},{_decimals(yard.lon_deg)}"


def _point_at(path: str, body: bytes) -> GridPoint:
    """The point of an answer to ``path``; SourceGarbled if it is about another place."""
    point = read_point(body)
    if point.lat_deg is None or point.lon_deg is None:
        return point
    asked = path.removeprefix(_POINTS)
    lat_deg, lon_deg = (float(text) for text in asked.split(","))
    if distance_km(lat_deg, lon_deg, point.lat_deg, point.lon_deg) > SAME_PLACE_KM:
        raise SourceGarbled(
            f"nws point: the service answers for {_decimals(point.lat_deg)},"
            f"{_decimals(point.lon_deg)}, asked for {asked}; it is not used"
        )
    return point


def _cell_named(path: str) -> str:
    """The cell that an address names, as ``Grid.cell`` does; "" where it names none."""
    named = _CELL.search(path)
    return f"{named[1].upper()} {int(named[2])},{int(named[3])}" if named else ""


def _decimals(angle_deg: float) -> str:
    text = f"{angle_deg:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _stamp(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _forecast(key: str, grid: Grid, name: str) -> Outlook:
    origin = Origin(name=name, issued_at=grid.updated_at, detail=f"grid {grid.cell}")
    return outlook_of(key, grid.hours, grid.arrays, origin, grid.hazards)


def _measured(key: str, past: Past, grid: Grid, name: str) -> Outlook:
    """A yard's past; the distance is that of the station from a corner of the yard's cell."""
    station, told = past.station, past.told
    detail = f"station {station.id}"
    if grid.polygon:
        lon_deg, lat_deg = grid.polygon[0]
        off_km = distance_km(lat_deg, lon_deg, station.lat_deg, station.lon_deg)
        detail += f", {off_km:.0f} km"
    issued_at = as_datetime(told.hours[-1])
    origin = Origin(name=name, kind=PAST, issued_at=issued_at, detail=detail)
    return outlook_of(key, told.hours, told.arrays, origin)
