"""Hours from the reports of one station: ``/stations/{id}/observations``.

Which hour does a report stand for? Routine reports are made at minute 51 to 56, and our hour
[t, t + 1 h) holds the state at its start. So the state of 13:53 is that of the hour beginning at
14:00, seven minutes later, and not of the hour beginning at 13:00, 53 minutes before. The rain of
the last hour at 13:53 fell from 12:53 on, so it belongs to the hour beginning at 13:00. Other
reports fill what the routine one leaves open, nearest first, if they lie within half an hour of
the start; rain is taken from the routine report alone, since others count from that on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import as_list, as_object, dotted
from windowcast.sources.wire.nws_feature import read_feature, read_point_geometry, station_id
from windowcast.sources.wire.nws_layers import HOUR_S
from windowcast.sources.wire.nws_reports import NAMES, Report, read_report
from windowcast.terms.outlook import Floats
from windowcast.times import Hours, hour_index

_SOURCE = "nws station"
_REPORTS_AT_MOST = 10_000  # a month of a report every five minutes
_MOST_HOURS = 31 * 24
_ROUTINE_S = (51 * 60, 56 * 60)  # routine reports, seconds into the hour before the one they open
_RAIN_WITHIN_S = 6 * 60  # from minute 45 to minute 2 a report's rain is that of about an hour


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StationHours:
    """What a station measured, by hour without a gap; arrays of shape (hour,), NaN for not told."""

    station_id: str
    lat_deg: float | None
    lon_deg: float | None
    hours: Hours
    arrays: Mapping[str, Floats]
    remarks: tuple[str, ...] = ()


def read_observations(body: bytes) -> StationHours:
    """The hours of a station's answer; SourceGarbled with source, field and value."""
    answer = read_feature(body, _SOURCE)
    features = as_list(answer.get("features"), _SOURCE, "features", most=_REPORTS_AT_MOST)
    told = [as_object(feature, _SOURCE, "features", n) for n, feature in enumerate(features)]
    station = _station(told)
    source = f"{_SOURCE} {station}".rstrip()
    reports = []
    for n, feature in enumerate(told):
        place = (source, "features", n, "properties")
        reports.append(read_report(as_object(feature.get("properties"), *place), place))
    positions = (
        read_point_geometry(feature.get("geometry"), source, "features", n, "geometry")
        for n, feature in enumerate(told)
    )
    lon, lat = next((p for p in positions if p is not None), (None, None))
    hours, arrays = _hourly(reports, source)
    remarks = dict.fromkeys(remark for report in reports for remark in report.remarks)
    return StationHours(
        station_id=station,
        lat_deg=lat,
        lon_deg=lon,
        hours=hours,
        arrays=arrays,
        remarks=_first_of_each_field(tuple(remarks)),
    )


def _station(features: Sequence[Mapping[str, object]]) -> str:
    """The one station that all reports are of; "" where there is no report."""
    keys = set()
    for n, feature in enumerate(features):
        place = (_SOURCE, "features", n, "properties")
        properties = as_object(feature.get("properties"), *place)
        keys.add(station_id(properties.get("station"), *place, "station"))
    if len(keys) > 1:
        raise SourceGarbled(
            f"{dotted((_SOURCE, 'features'))}: reports of {len(keys)} stations, expected one"
        )
    return keys.pop() if keys else ""


def _first_of_each_field(remarks: tuple[str, ...]) -> tuple[str, ...]:
    """One remark a field: what follows is the same slip with another number."""
    by_field = {remark.split(": ", 2)[1]: remark for remark in reversed(remarks)}
    return tuple(reversed(by_field.values()))


def _hourly(reports: Sequence[Report], source: str) -> tuple[Hours, dict[str, Floats]]:
    told = _told(reports)
    every_hour = {hour for by_hour in told.values() for hour in by_hour}
    if not every_hour:
        return hour_index(np.datetime64(0, "h"), 0), {name: np.empty(0) for name in NAMES}
    first, count = min(every_hour), max(every_hour) + 1 - min(every_hour)
    if count > _MOST_HOURS:
        raise SourceGarbled(f"{source}: reports span {count} hours, expected at most {_MOST_HOURS}")
    arrays = {name: np.full(count, np.nan) for name in NAMES}
    for name, by_hour in told.items():
        arrays[name][np.array(list(by_hour)) - first] = list(by_hour.values())
    return hour_index(np.datetime64(first, "h"), count), arrays


def _told(reports: Sequence[Report]) -> dict[str, dict[int, float]]:
    """Value by our name and hour since 1970."""
    told: dict[str, dict[int, float]] = defaultdict(dict)
    for hour, near in _by_hour(reports).items():
        states = (pair for report in near for pair in report.values.items())
        for name, value in states:
            if name != "rain_mm":
                told[name].setdefault(hour, value)
        rain = _rain(near, hour)
        if rain is not None:
            told["rain_mm"][hour - 1] = rain
    return told


def _by_hour(reports: Sequence[Report]) -> dict[int, list[Report]]:
    """The reports within half an hour of each full hour, the one that stands for it first."""
    by_hour: dict[int, list[Report]] = defaultdict(list)
    for report in reports:
        by_hour[(report.at_s + HOUR_S // 2) // HOUR_S].append(report)
    return {
        hour: sorted(near, key=lambda r: (_off_routine_s(r, hour), not r.has_raw, r.at_s))
        for hour, near in by_hour.items()
    }


def _off_routine_s(report: Report, hour: int) -> int:
    """Seconds between a report and the minutes at which the routine one is made."""
    into_s = report.at_s - (hour - 1) * HOUR_S
    first, last = _ROUTINE_S
    return max(first - into_s, into_s - last, 0)


def _rain(near: Sequence[Report], hour: int) -> float | None:
    """Rain of the hour before, from the routine report; None where it tells none.

    Of several the greatest: a special report just after the routine one counts from that on.
    """
    nearest = _off_routine_s(near[0], hour)
    if nearest > _RAIN_WITHIN_S:
        return None
    amounts = [
        report.values["rain_mm"]
        for report in near
        if _off_routine_s(report, hour) == nearest and "rain_mm" in report.values
    ]
    return max(amounts, default=None)
