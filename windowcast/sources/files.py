"""Recorded answers in a folder, in place of the services themselves: for a rehearsal or the demo.

A grid serves every yard in its cell or within 3 km of it, an Open-Meteo answer every yard within
15 km, a station's reports every yard within 80 km. Of several answers about one place the newest
that is not from after ``now`` is taken, so a folder may hold many mornings.

An Open-Meteo answer does not tell when it was issued. Its days bound that: the outlook has the end
of the day of issue, or now on that day, and a remark says that it is at least so old.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import inf
from pathlib import Path

from windowcast.sources.nearest import (
    CELL_KM,
    OPEN_METEO_KM,
    STATION_KM,
    Measured,
    grid_at,
    km_to_grid,
    km_to_point,
    measured_by,
    point_at,
    station_at,
    zone_at,
)
from windowcast.sources.recordings import Recordings, read_folder
from windowcast.sources.wire.open_meteo import PointForecast
from windowcast.sources.wire.open_meteo_issue import issue_of
from windowcast.terms.outlook import PAST, Answer, Origin, Outlook, outlook_of
from windowcast.terms.yard import Place, Yard
from windowcast.times import as_datetime

# The line that Open-Meteo's licence asks for wherever its data are shown, recorded or not.
OPEN_METEO_CREDIT = "Weather data by Open-Meteo.com (CC BY 4.0)"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """A yard's forecast with what else its answer tells."""

    outlook: Outlook
    place: Place
    remarks: tuple[str, ...]


class Files:
    """The weather that is recorded in a folder."""

    name = "files"
    reach_h = 16 * 24

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """What the folder tells about each yard, or one sentence of trouble for it."""
        recorded = read_folder(self._folder)
        told = {yard.key: _told(yard, recorded, now) for yard in yards}
        measured = measured_by(recorded, now)
        pasts = {yard.key: _past(yard, measured) for yard in yards}
        lost = [yard for yard in yards if told[yard.key] is None]
        seen = {key: one for key, one in told.items() if one is not None}
        return Answer(
            outlooks={key: one.outlook for key, one in seen.items()},
            pasts={key: past for key, past in pasts.items() if past is not None},
            places={key: one.place for key, one in seen.items()},
            trouble={yard.key: _trouble(yard, recorded) for yard in lost},
            remarks=tuple(
                dict.fromkeys(
                    (
                        *recorded.remarks,
                        *_unplaced(recorded),
                        *(remark for one in seen.values() for remark in one.remarks),
                        *_without_past(recorded, pasts),
                    )
                )
            ),
        )


# --- forecasts --------------------------------------------------------------------------------


def _told(yard: Yard, recorded: Recordings, now: datetime) -> _Told | None:
    """The yard's forecast: the cell that it lies in, else the nearest answer for a point."""
    grid = grid_at(yard, recorded, now)
    if grid is not None:
        origin = Origin(
            name=Files.name, issued_at=grid.updated_at, detail=f"recorded nws grid {grid.cell}"
        )
        return _Told(
            outlook=outlook_of(yard.key, grid.hours, grid.arrays, origin, grid.hazards),
            place=Place(tz=zone_at(yard, recorded, grid), elev_m=grid.elev_m),
            remarks=grid.remarks,
        )
    point = point_at(yard, recorded, now)
    return None if point is None else _told_by_point(yard, recorded, point, now)


def _told_by_point(yard: Yard, recorded: Recordings, point: PointForecast, now: datetime) -> _Told:
    where = f"{point.lat_deg:.2f}, {point.lon_deg:.2f}"
    issue = issue_of(point, now, now)
    age_h = (now - issue.at).total_seconds() / 3600
    how_old = f"at least {age_h:.0f} h old" if age_h >= 0 else issue.clause
    origin = Origin(
        name=Files.name,
        issued_at=issue.at,
        detail=f"recorded open-meteo answer for {where}, issue time not told, {how_old}",
        credit=OPEN_METEO_CREDIT,
    )
    answer = f"files: the recorded open-meteo answer for {where}"
    untimed = f"{answer} does not tell when it was issued; it is {how_old}"
    silent = () if point.tells_thunder else (f"{answer}: thunder and freezing rain are not told",)
    return _Told(
        outlook=outlook_of(yard.key, point.hours, point.arrays, origin),
        place=Place(tz=point.tz or zone_at(yard, recorded, None), elev_m=point.elev_m),
        remarks=(untimed, *silent, *point.remarks),
    )


# --- the past ---------------------------------------------------------------------------------


def _past(yard: Yard, measured: Sequence[Measured]) -> Outlook | None:
    found = station_at(yard, measured)
    if found is None:
        return None
    station, off_km = found
    told = station.told
    origin = Origin(
        name=Files.name,
        kind=PAST,
        issued_at=as_datetime(told.hours[-1]),
        detail=f"recorded nws station {told.station_id}, {off_km:.0f} km",
    )
    return outlook_of(yard.key, told.hours, told.arrays, origin)


# --- what is missing --------------------------------------------------------------------------


def _trouble(yard: Yard, recorded: Recordings) -> str:
    """Why a yard has no forecast: the nearest that there is, and the first file of no use."""
    grids = ((km_to_grid(yard, grid, recorded), f"nws grid {grid.cell}") for grid in recorded.grids)
    points = (
        (km_to_point(yard, point), f"open-meteo {point.lat_deg:.2f}, {point.lon_deg:.2f}")
        for point in recorded.forecasts
    )
    off_km, what = min((*grids, *points), default=(inf, ""))
    near = f"the nearest, {what}, is {off_km:.0f} km away" if off_km < inf else "there is none"
    sentence = (
        f"files: no recorded nws grid within {CELL_KM:.0f} km of the yard and no open-meteo answer"
        f" within {OPEN_METEO_KM:.0f} km; {near}"
    )
    if not recorded.remarks:
        return sentence
    more = f" (and {len(recorded.remarks) - 1} more)" if len(recorded.remarks) > 1 else ""
    return f"{sentence}; {recorded.remarks[0].removeprefix('files: ')}{more}"


def _unplaced(recorded: Recordings) -> Iterable[str]:
    for grid in recorded.grids:
        if not grid.polygon and all(placed.cell != grid.cell for placed in recorded.points):
            yield (
                f"files: recorded nws grid {grid.cell} does not say where it lies, and no recorded"
                " point answer leads to it; it is not used"
            )
    for reports in recorded.reports:
        if reports.lat_deg is None and reports.station_id not in recorded.stations:
            yield (
                f"files: recorded reports of nws station {reports.station_id} do not say where it"
                " stands, and no recorded list of stations names it; they are not used"
            )


def _without_past(recorded: Recordings, pasts: dict[str, Outlook | None]) -> Iterable[str]:
    bare = [key for key, past in pasts.items() if past is None]
    if bare and recorded.reports:
        yield (
            f"files: no recorded station within {STATION_KM:.0f} km tells the past temperature of"
            f" yard {', '.join(bare)}"
        )
