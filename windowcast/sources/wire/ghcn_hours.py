"""Daily extremes and totals spread over the hours of the days they belong to.

A value belongs to the 24 hours that end when it was read. A reading at 07:00 tells the highest of
the afternoon *before*, the lowest of the dawn just over, and rain that mostly fell the day before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from windowcast.science.sun import sun_times
from windowcast.sources.wire.ghcn_cells import MIDNIGHT_MIN
from windowcast.terms.outlook import Floats
from windowcast.times import Hours, hour_index, local_day_bounds

HOUR_S, DAY_S = 3600, 86_400
# Clocks change before this local hour: later minutes are counted back from the day's end.
CLOCKS_CHANGED_BY_MIN = 180
# Solar noon + 2 h is the warmest moment; bloom.md 3.2 and Linvill 1990 (HortScience 25:14-16).
WARMEST_AFTER_NOON_S = 2 * HOUR_S
# A reading this long before sunrise already holds nearly the whole fall of the night. Ours.
DAWN_READ_EARLY_S = 3 * HOUR_S

Seconds = Floats  # seconds since 1970


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpreadHours:
    """Hours of a record of days: ``temp_c``, ``rain_mm``, ``snow_mm``, each of shape (hour,).

    ``last_read`` is when the newest of the told values was read.
    """

    hours: Hours
    arrays: Mapping[str, Floats]
    last_read: datetime


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Days:
    """Consecutive local days: their midnights (one more than days) and the sun over them.

    All in seconds since 1970; ``dawn`` and ``warmest`` have one element a day.
    """

    midnight: Seconds
    dawn: Seconds
    warmest: Seconds

    def at(self, read_min: Floats, back: int = 0) -> Seconds:
        """The instant of a local minute on each day, or so many days before."""
        count = self.midnight.size - 1
        day = np.arange(count) - back
        inside = np.clip(day, 0, count - 1)
        start, end = self.midnight[inside], self.midnight[inside + 1]
        moment = np.where(
            read_min >= CLOCKS_CHANGED_BY_MIN,
            end - (MIDNIGHT_MIN - read_min) * 60,
            start + read_min * 60,
        )
        return np.asarray(moment + (day - inside) * DAY_S)


def spread_over_hours(
    table: pd.DataFrame, spot: tuple[float, float, str], first: date, until: datetime
) -> SpreadHours | None:
    """The hours of a table of days (as in ``StationDays``) at a latitude, longitude and zone.

    They begin with the local day ``first``, of which the table should hold the day before too.
    Values read after ``until`` are not known yet and left out. None where nothing is told.

    Temperature rises from sunrise to two hours after solar noon as the first quarter of a sine
    and falls to the next sunrise as a quarter of a cosine; rain and snow are even over their hours.
    """
    table = _without_gaps(table)
    days = _days_of(table, spot)
    columns = ("tmax_c", "tmin_c", "rain_mm", "snow_mm")
    read = {name: days.at(_column(table, f"{name.rsplit('_', 1)[0]}_read_min")) for name in columns}
    known = {
        name: np.where(read[name] <= until.timestamp(), _column(table, name), np.nan)
        for name in columns
    }
    begin_s = local_day_bounds(first, spot[2])[0].timestamp()
    told_s = np.concatenate([read[name][np.isfinite(known[name])] for name in columns])
    if not told_s.size or told_s.max() <= begin_s:
        return None
    last_s = float(told_s.max())
    first_h = int(max(begin_s, days.midnight[0]) // HOUR_S)
    hours = hour_index(np.datetime64(first_h, "h"), int(-(-last_s // HOUR_S)) - first_h)
    edges = np.asarray((first_h + np.arange(hours.size + 1)) * float(HOUR_S))
    arrays = {
        "temp_c": _temperature(edges[:-1], days, known, read),
        "rain_mm": _amounts(edges, days, table, known["rain_mm"], "rain"),
        "snow_mm": _amounts(edges, days, table, known["snow_mm"], "snow"),
    }
    last_read = datetime.fromtimestamp(last_s, UTC)
    return SpreadHours(hours=hours, arrays=arrays, last_read=last_read)


def _column(table: pd.DataFrame, name: str) -> Floats:
    return np.asarray(table[name].to_numpy(dtype=np.float64))


def _without_gaps(table: pd.DataFrame) -> pd.DataFrame:
    """Every day from the one before the first to the one after the last; absent ones untold."""
    span = pd.date_range(
        table.index[0] - pd.Timedelta(days=1), table.index[-1] + pd.Timedelta(days=1), freq="D"
    )
    full = table.reindex(span)
    usual = {name: float(MIDNIGHT_MIN) for name in table.columns if name.endswith("_read_min")}
    return full.fillna({**usual, "rain_days": 1.0})


def _days_of(table: pd.DataFrame, spot: tuple[float, float, str]) -> _Days:
    lat_deg, lon_deg, tz = spot
    dates: list[date] = [stamp.date() for stamp in table.index]
    bounds = [local_day_bounds(day, tz) for day in dates]
    sun = [sun_times(lat_deg, lon_deg, day, tz) for day in dates]
    rise, fall = (np.array([pair[n].timestamp() for pair in sun]) for n in (0, 1))
    has_day = fall > rise
    return _Days(
        midnight=np.array([*(b[0].timestamp() for b in bounds), bounds[-1][1].timestamp()]),
        dawn=rise,
        warmest=np.where(has_day, (rise + fall) / 2 + WARMEST_AFTER_NOON_S, np.nan),
    )


# --- temperature ------------------------------------------------------------------------------


def _temperature(
    moments: Seconds, days: _Days, known: Mapping[str, Floats], read: Mapping[str, Seconds]
) -> Floats:
    """Temperature at each moment, NaN where an extreme beside it is not told."""
    early = days.dawn <= read["tmin_c"] + DAWN_READ_EARLY_S
    low = _on_its_day(known["tmin_c"], early, np.fmin)
    high = _on_its_day(known["tmax_c"], days.warmest <= read["tmax_c"], np.fmax)
    day = np.searchsorted(days.dawn, moments, side="right") - 1
    inside = (day >= 0) & (day < days.dawn.size - 1)
    day = np.where(inside, day, 0)
    dawn, warmest, next_dawn = days.dawn[day], days.warmest[day], days.dawn[day + 1]
    rising = np.clip((moments - dawn) / (warmest - dawn), 0.0, 1.0)
    falling = np.clip((moments - warmest) / (next_dawn - warmest), 0.0, 1.0)
    rise = low[day] + (high[day] - low[day]) * np.sin(np.pi / 2 * rising)
    fall = low[day + 1] + (high[day] - low[day + 1]) * np.cos(np.pi / 2 * falling)
    return np.where(inside, np.where(moments < warmest, rise, fall), np.nan)


def _on_its_day(values: Floats, is_same_day: NDArray[np.bool_], pick: np.ufunc) -> Floats:
    """Values moved to the day before where the reading came too early in its own.

    Where two readings claim one day, as when the hour of reading changes, ``pick`` decides.
    """
    same = np.where(is_same_day, values, np.nan)
    before = np.append(np.where(is_same_day, np.nan, values)[1:], np.nan)
    return np.asarray(pick(same, before))


# --- amounts ----------------------------------------------------------------------------------


def _amounts(edges: Seconds, days: _Days, table: pd.DataFrame, known: Floats, name: str) -> Floats:
    """Amounts in each hour between ``edges``; NaN for an hour that is told only in part or not."""
    read_min = _column(table, f"{name}_read_min")
    span = _column(table, "rain_days").astype(np.int64) if name == "rain" else np.ones(known.size)
    end = days.at(read_min)
    told = np.isfinite(known)
    begin = _begins(days, read_min, span.astype(np.int64), told, end)
    begin, end, amount = begin[told], end[told], known[told]
    if not amount.size:
        return np.full(edges.size - 1, np.nan)
    knots = np.column_stack([begin, end]).ravel()
    zero = np.zeros(amount.size)
    fallen = np.cumsum(np.column_stack([zero, amount]).ravel())
    covered = np.cumsum(np.column_stack([zero, end - begin]).ravel())
    per_hour = np.diff(np.interp(edges, knots, fallen))
    covered_s = np.diff(np.interp(edges, knots, covered))
    return np.where(covered_s >= HOUR_S - 1, np.maximum(per_hour, 0.0), np.nan)


def _begins(
    days: _Days,
    read_min: Floats,
    span: NDArray[np.int64],
    told: NDArray[np.bool_],
    end: Seconds,
) -> Seconds:
    """When the hours of each amount begin: at the reading before, else at the same clock time."""
    begin = np.empty(end.size)
    for count in np.unique(span):
        mine = span == count
        same_clock = days.at(read_min, back=int(count))
        before = np.roll(np.where(told, end, np.nan), int(count))
        before[: int(count)] = np.nan
        is_read = np.isfinite(before) & (before < end)
        begin[mine] = np.where(is_read, before, same_clock)[mine]
    latest = np.fmax.accumulate(np.where(told, end, -np.inf))
    return np.asarray(np.maximum(begin, np.append(-np.inf, latest[:-1])))
