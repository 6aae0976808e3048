"""An archive of Open-Meteo answers as they were issued, day after day, and what came.

One JSON object on each line, plain or gzip: ``issued_local``, the time of asking by the clock of
the place, and ``response``, the answer itself as the service gave it. The truth is a table beside
it (``open_meteo_came``).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.gzip_body import unpacked
from windowcast.sources.wire.json_body import as_object, as_text, plain, read_json, refuse
from windowcast.sources.wire.open_meteo import SOURCE, PointForecast, read_forecasts
from windowcast.sources.wire.open_meteo_came import TABLE, Came, read_came
from windowcast.terms.outlook import Floats
from windowcast.terms.skill import ForecastArchive
from windowcast.times import YEARS, Hours, as_hour

ARCHIVE = "the archive"
LARGEST_BYTES = 1024 * 2**20  # three winters are about 15 MB
SAME_PLACE_DEG = 0.05  # answers of one place name one cell, or the one beside it
REMARKS_AT_MOST = 20


class _Issue(NamedTuple):
    line: int
    hour: np.datetime64
    point: PointForecast
    units: Mapping[str, str]


def read_archive(forecasts: bytes, came: bytes) -> ForecastArchive:
    """Every forecast that can be read, with what came in its hours where that is told.

    A line that holds no forecast (archives keep errors in their place) is left out with a remark.
    Raises SourceGarbled where no line is left, the places differ, or nothing is told to compare.
    """
    issues, remarks = _issues(forecasts)
    truth = read_came(came, _common_units(issues))
    archive = _assembled(issues, truth, (*remarks, *truth.remarks))
    if all(np.isnan(array).all() for array in archive.came.values()):
        raise SourceGarbled(
            f"{TABLE}: it tells of {truth.hours[0]} to {truth.hours[-1]} UTC, and no forecast of"
            f" the archive, issued from {archive.issued[0]} to {archive.issued[-1]} UTC, does"
        )
    return archive


# --- lines ------------------------------------------------------------------------------------


def _issues(body: bytes) -> tuple[list[_Issue], tuple[str, ...]]:
    """Readable lines by their hour of issue, the later line where two have the same one."""
    by_hour: dict[np.datetime64, _Issue] = {}
    remarks: list[str] = []
    first: PointForecast | None = None
    for number, line in _lines(body):
        try:
            issue = _issue(line, number)
            first = first or issue.point
            _demand_same_place(issue, first)
        except SourceGarbled as problem:
            remarks.append(f"{problem}; the line is left out")
            continue
        if issue.hour in by_hour:
            remarks.append(f"{ARCHIVE}, line {number}: issued in the hour of an earlier line too")
        by_hour[issue.hour] = issue
        remarks += [_moved(remark, number) for remark in issue.point.remarks]
    if not by_hour:
        why = remarks[0] if remarks else f"{ARCHIVE}: it is empty"
        raise SourceGarbled(f"{why}; no forecast is in the archive")
    return [by_hour[hour] for hour in sorted(by_hour)], _few(remarks)


def _lines(body: bytes) -> Iterator[tuple[int, bytes]]:
    """Lines with their numbers; only a line feed ends one."""
    whole = unpacked(body, LARGEST_BYTES, ARCHIVE)
    for number, line in enumerate(whole.split(b"\n"), 1):
        if line.strip():
            yield number, line


def _issue(line: bytes, number: int) -> _Issue:
    name = f"{ARCHIVE}, line {number}"
    told = as_object(read_json(line, name), name)
    response = as_object(told.get("response"), name, "response")
    point = _point(response, name)
    if point.tz is None:
        refuse((name, "response", "timezone"), response.get("timezone"), "the zone of the place")
    if point.utc_offset_s is None:
        offset = response.get("utc_offset_seconds")
        refuse((name, "response", "utc_offset_seconds"), offset, "seconds")
    hour = _issue_hour(told.get("issued_local"), point.utc_offset_s, name)
    if not point.hours[0] <= hour <= point.hours[-1]:
        expected = f"a time within its hours, {point.hours[0]} to {point.hours[-1]} UTC"
        refuse((name, "issued_local"), told.get("issued_local"), expected)
    units = as_object(response.get("hourly_units"), name, "response", "hourly_units")
    return _Issue(number, hour, point, {k: u for k, u in units.items() if isinstance(u, str)})


def _point(response: Mapping[str, object], name: str) -> PointForecast:
    try:
        (point,) = read_forecasts(json.dumps(response).encode())
    except SourceGarbled as problem:
        raise SourceGarbled(f"{name}: {str(problem).removeprefix(f'{SOURCE}: ')}") from None
    return point


def _issue_hour(value: object, offset_s: int, name: str) -> np.datetime64:
    """The UTC hour of asking, from the clock of the place whose offset the answer tells."""
    text = as_text(value, name, "issued_local")
    try:
        clock = datetime.fromisoformat(text)
    except ValueError:
        clock = None
    if clock is None or clock.year not in YEARS:
        refuse((name, "issued_local"), text, "a time such as 2027-01-12T06:00")
    if clock.tzinfo is not None:
        return as_hour(clock)
    return as_hour(clock.replace(tzinfo=UTC) - timedelta(seconds=offset_s))


def _demand_same_place(issue: _Issue, first: PointForecast) -> None:
    point = issue.point
    away = max(abs(point.lat_deg - first.lat_deg), abs(point.lon_deg - first.lon_deg))
    if away > SAME_PLACE_DEG or point.tz != first.tz:
        raise SourceGarbled(
            f"{ARCHIVE}, line {issue.line}: it is about {point.lat_deg:g}, {point.lon_deg:g}"
            f" ({point.tz}), the first one about {first.lat_deg:g}, {first.lon_deg:g} ({first.tz})"
        )


def _moved(remark: str, number: int) -> str:
    return f"{ARCHIVE}, line {number}: {remark.removeprefix(f'{SOURCE}: ')}"


def _few(remarks: Sequence[str]) -> tuple[str, ...]:
    kept = [plain(remark, 400) for remark in remarks[:REMARKS_AT_MOST]]
    more = len(remarks) - len(kept)
    return (*kept, f"{ARCHIVE}: {more} more remarks like these") if more else tuple(kept)


def _common_units(issues: Sequence[_Issue]) -> Mapping[str, str]:
    """The unit of each variable, which all forecasts must share: the table names none."""
    common: dict[str, str] = {}
    for issue in issues:
        for key, unit in issue.units.items():
            if common.setdefault(key, unit) != unit:
                raise SourceGarbled(
                    f"{ARCHIVE}, line {issue.line}: hourly_units.{plain(key)}: found"
                    f" {plain(unit)}, expected {plain(common[key])} as in earlier lines, since"
                    f" {TABLE} names no units"
                )
    return common


# --- arrays -----------------------------------------------------------------------------------


def _assembled(issues: Sequence[_Issue], truth: Came, remarks: tuple[str, ...]) -> ForecastArchive:
    issued = np.array([issue.hour for issue in issues], "datetime64[h]")
    firsts = _whole(np.array([issue.point.hours[0] for issue in issues]) - issued)
    sizes = np.array([issue.point.hours.size for issue in issues])
    lead_h = np.arange(firsts.min(), (firsts + sizes).max())
    names = dict.fromkeys(name for issue in issues for name in issue.point.arrays)
    forecast = {name: np.full((issued.size, lead_h.size), np.nan) for name in names}
    for row, issue in enumerate(issues):
        start = int(firsts[row] - lead_h[0])
        for name, told in issue.point.arrays.items():
            forecast[name][row, start : start + told.size] = told
    point = issues[0].point
    return ForecastArchive(
        lat_deg=point.lat_deg,
        lon_deg=point.lon_deg,
        tz=str(point.tz),
        issued=issued,
        lead_h=lead_h,
        forecast=forecast,
        came=_came_at(truth, issued[:, None] + lead_h[None, :]),
        remarks=remarks,
    )


def _came_at(truth: Came, hours: Hours) -> Mapping[str, Floats]:
    place = _whole(hours - truth.hours[0])
    inside = (place >= 0) & (place < truth.hours.size)
    at = np.where(inside, place, 0)
    return {name: np.where(inside, told[at], np.nan) for name, told in truth.arrays.items()}


def _whole(span: NDArray[np.timedelta64]) -> NDArray[np.int64]:
    return span.astype("timedelta64[h]").astype(np.int64)
