"""A table of hours as they came, in the columns and units of Open-Meteo's answers.

CSV, plain or gzip: ``time_utc`` and a column for each variable by the service's own name. The
table has no units; they are those in which the forecasts beside it were asked for.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.gzip_body import unpacked
from windowcast.sources.wire.json_body import plain, shown
from windowcast.sources.wire.open_meteo import SOURCE, PointForecast, read_forecasts
from windowcast.sources.wire.open_meteo_layers import (
    OPTIONAL,
    PRECIPITATION,
    RAIN,
    REQUIRED,
    SHOWERS,
    WEATHER,
)
from windowcast.terms.outlook import Floats
from windowcast.times import Hours, hour_index

TABLE = "the table of what came"
TIME = "time_utc"
LARGEST_BYTES = 256 * 2**20  # ten years of hours are about 10 MB

_STAMP = re.compile(r"\d{4}-\d\d-\d\dT\d\d:00(?::00)?(?:Z|\+00:00)", re.ASCII)
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_UNTOLD = ("", "null", "NaN", "nan", "NA")
_ROWS = 2400  # in one reading: as many hours as an answer may hold, with room for holes
_HOLE_H = 24  # a longer hole parts two readings
_MOST_YEARS = 50
# Of what came there is no chance any more; the column repeats what a forecast said.
_NOT_OF_THE_PAST = ("rain_prob_frac",)

# The columns that are read; others may hold what they like.
_LAYERS = (*REQUIRED.values(), *OPTIONAL.values(), PRECIPITATION, RAIN, SHOWERS, WEATHER)
READ = {key for layer in _LAYERS for key in layer.keys}


class Came(NamedTuple):
    """Hours without a hole in their index, and arrays of ``VARIABLES``, each of shape (hour,)."""

    hours: Hours
    arrays: Mapping[str, Floats]
    remarks: tuple[str, ...]


def read_came(body: bytes, units: Mapping[str, str]) -> Came:
    """The hours of the table; ``units`` are those of its columns, by the service's names.

    Where it tells an hour twice (day by day put together, across a clock change) the later row
    counts. Raises SourceGarbled for a table without hours or with cells that are no number.
    """
    rows = _rows(unpacked(body, LARGEST_BYTES, TABLE))
    hour, kept = _hours(rows[TIME])
    remarks = _about_twice(len(rows) - hour.size)
    read = READ & units.keys() & set(rows.columns)
    columns = {name: _numbers(rows[name]) for name in sorted(read)}
    readings = []
    for span in _spans(hour):
        mine = {name: [told[n] for n in kept[span]] for name, told in columns.items()}
        readings.append(_reading(hour[span], mine, units))
    return _joined(hour, readings, remarks)


# --- cells ------------------------------------------------------------------------------------


def _rows(body: bytes) -> pd.DataFrame:
    """All cells as text; a row has as many as the header, since one cell too few shifts values."""
    try:
        lines = csv.reader(io.StringIO(body.decode("utf-8-sig"), newline=""), strict=True)
        rows = [[cell.strip() for cell in row] for row in lines if row]
    except UnicodeDecodeError:
        raise SourceGarbled(f"{TABLE}: it is not UTF-8 text, expected CSV") from None
    except csv.Error as error:
        raise SourceGarbled(f"{TABLE}: it cannot be read: {plain(str(error))}") from None
    header = rows[0] if rows else []
    if header.count(TIME) != 1:
        raise SourceGarbled(f"{TABLE}: no column {TIME} is there, expected one of hours in UTC")
    if len(set(header)) < len(header):
        twice = next(name for name in header if header.count(name) > 1)
        raise SourceGarbled(f"{TABLE}: the header names the column {shown(twice)} twice")
    odd = next((n for n, row in enumerate(rows, 1) if len(row) != len(header)), None)
    if odd is not None:
        raise SourceGarbled(
            f"{TABLE}: row {odd}: found {len(rows[odd - 1])} cells, expected {len(header)}"
        )
    if len(rows) == 1:
        raise SourceGarbled(f"{TABLE}: it has a header and no rows")
    return pd.DataFrame(rows[1:], columns=header, dtype=object)


def _hours(stamps: pd.Series[str]) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """Hours since 1970, rising, and the row of each; the later one where two are of one hour."""
    told = np.array([_hour(text, n) for n, text in enumerate(stamps)], np.int64)
    order = np.argsort(told, kind="stable")
    last = np.append(np.diff(told[order]) > 0, True)
    kept = order[last]
    hours = told[kept]
    if hours[-1] - hours[0] > _MOST_YEARS * 366 * 24:
        raise SourceGarbled(f"{TABLE}: its hours span more than {_MOST_YEARS} years")
    return hours, kept


def _about_twice(count: int) -> tuple[str, ...]:
    if not count:
        return ()
    rows = "a row tells an hour" if count == 1 else f"{count} rows tell hours"
    return (f"{TABLE}: {rows} that another row tells too; the later row counts",)


def _hour(text: str, n: int) -> int:
    try:
        if _STAMP.fullmatch(text):
            return int(np.datetime64(text[:13], "h").astype(np.int64))
    except ValueError:
        pass
    raise SourceGarbled(
        f"{TABLE}: row {n + 2}: {TIME}: found {shown(text)}, expected an hour such as"
        " 2027-01-12T06:00:00Z"
    )


def _numbers(cells: pd.Series[str]) -> list[float | None]:
    return [_number(text, n, str(cells.name)) for n, text in enumerate(cells)]


def _number(text: str, n: int, name: str) -> float | None:
    if text in _UNTOLD:
        return None
    value = float(text) if _NUMBER.fullmatch(text) else math.inf
    if not math.isfinite(value):
        raise SourceGarbled(
            f"{TABLE}: row {n + 2}: {name}: found {shown(text)}, expected a number or nothing"
        )
    return value


# --- readings ---------------------------------------------------------------------------------


def _spans(hour: NDArray[np.int64]) -> Iterator[slice]:
    """Rows to read at once; each takes the next row along, which tells of the hour before it."""
    parts = np.flatnonzero(np.diff(hour) > _HOLE_H) + 1
    for first, end in zip([0, *parts], [*parts, hour.size], strict=True):
        for start in range(int(first), int(end), _ROWS):
            yield slice(start, min(start + _ROWS + 1, int(end)))


def _reading(
    hour: NDArray[np.int64],
    columns: Mapping[str, list[float | None]],
    units: Mapping[str, str],
) -> PointForecast:
    """Some rows, read as the service's own answer is."""
    answer = {
        "latitude": 0.0,
        "longitude": 0.0,
        "hourly_units": dict(units),
        "hourly": {"time": (hour * 3600).tolist(), **columns},
    }
    try:
        (point,) = read_forecasts(json.dumps(answer).encode())
    except SourceGarbled as problem:
        clause = str(problem).removeprefix(f"{SOURCE}: ")
        first = np.datetime64(int(hour[0]), "h")
        raise SourceGarbled(f"{TABLE}: counted from {first} UTC on: {clause}") from None
    return point


def _joined(
    hour: NDArray[np.int64], readings: list[PointForecast], remarks: tuple[str, ...]
) -> Came:
    hours = hour_index(np.datetime64(int(hour[0]), "h"), int(hour[-1] - hour[0]) + 1)
    names = dict.fromkeys(name for reading in readings for name in reading.arrays)
    arrays = {name: np.full(hours.size, np.nan) for name in names if name not in _NOT_OF_THE_PAST}
    for reading in readings:
        start = int((reading.hours[0] - hours[0]).astype(np.int64))
        for name in arrays.keys() & reading.arrays.keys():
            whole = arrays[name][start : start + reading.hours.size]
            arrays[name][start : start + reading.hours.size] = np.where(
                np.isnan(whole), reading.arrays[name], whole
            )
    about = [
        remark.replace(f"{SOURCE}: ", f"{TABLE}: ", 1)
        for reading in readings
        for remark in reading.remarks
    ]
    return Came(hours, arrays, tuple(dict.fromkeys((*remarks, *about))))
