"""A daily station file as days in SI: extremes, rain and new snow, each with its time of reading.

Reading is strict where a slip would be silent: units are found out or the file is refused, values
that failed the archive's own checks are left out, and nothing missing becomes a zero.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.ghcn_cells import MIDNIGHT_MIN, Element
from windowcast.sources.wire.ghcn_file import StationFile, read_station_file
from windowcast.sources.wire.ghcn_units import (
    CUSTOMARY,
    METRIC,
    SYSTEMS,
    TENTHS,
    Evidence,
    UnitSystem,
    decide,
    odd_weather,
)
from windowcast.terms.outlook import PLAUSIBLE, Bools, Floats

# A day's most: rain 1825 mm (Foc-Foc 1966, WMO), snow 1.93 m (Silver Lake 1921); rounded up.
DAY_BOUNDS = {
    "tmax_c": PLAUSIBLE["temp_c"],
    "tmin_c": PLAUSIBLE["temp_c"],
    "rain_mm": (0.0, 1900.0),
    "snow_mm": (0.0, 2000.0),
}
MOST_DAYS_OF_TOTAL = 31
HABIT_DAYS = 7

_FAHRENHEIT = re.compile(r"(?:°|DEG(?:REES?)?)?\s*F(?:AHRENHEIT)?", re.ASCII | re.IGNORECASE)
_CELSIUS = re.compile(r"(?:°|DEG(?:REES?)?)?\s*C(?:ELSIUS)?", re.ASCII | re.IGNORECASE)
_TENTHS = re.compile(r"(?:TENTHS? OF|0\.1|1/10)\s*(.+)", re.ASCII | re.IGNORECASE)
_INCH, _MM = ("IN", "INCH", "INCHES", '"'), ("MM", "MILLIMETERS", "MILLIMETRES")


class Dropped(NamedTuple):
    """A value that was left out, and why, in one sentence."""

    day: date
    said: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StationDays:
    """The days of one station.

    ``table`` is indexed by ``date`` and has ``tmax_c``, ``tmin_c``, ``rain_mm`` and ``snow_mm``;
    beside each the minute after local midnight at which it was read (``tmax_read_min`` ..., 1440
    is the midnight that ends the day), and ``rain_days``, how many days the rain is the total of.
    ``units`` says in what the file speaks.
    """

    station: str | None
    lat_deg: float | None
    lon_deg: float | None
    units: str
    table: pd.DataFrame
    dropped: tuple[Dropped, ...] = ()


def read_station_daily(body: bytes, *, place: str, station: str | None = None) -> StationDays:
    """The days that a file tells about a station; ``place`` names the file in every sentence.

    Raises SourceGarbled for what is no such file, another station, or unclear units.
    """
    try:
        file = read_station_file(body, station)
        days = np.unique(np.concatenate([e.days for e in file.elements.values()]))
        raw = {name: _on(days, element) for name, element in file.elements.items()}
        system = _system(file, days, raw)
    except SourceGarbled as problem:
        raise SourceGarbled(f"{place}: {problem}") from None
    table = _table(days, raw, file.elements, system)
    kept, dropped = _believable(table, place)
    disputed = [
        Dropped(_date(day), f"{place}: {_date(day)}: {name} is told twice, differently; left out")
        for name, element in file.elements.items()
        for day in element.disputed
    ]
    return StationDays(
        station=file.station or station,
        lat_deg=file.lat_deg,
        lon_deg=file.lon_deg,
        units=system.says,
        table=kept,
        dropped=(*disputed, *dropped),
    )


def days_between(days: StationDays, first: date, last: date, *, place: str) -> StationDays:
    """The days from ``first`` to ``last``, both included.

    Raises SourceGarbled where these alone are no weather in the units of the whole: a file whose
    units change on the way.
    """
    index = days.table.index
    inside = days.table[(index >= pd.Timestamp(first)) & (index <= pd.Timestamp(last))]
    reason = odd_weather(
        Evidence(
            days=inside.index.to_numpy().astype("datetime64[D]").astype(np.int64),
            highs=inside["tmax_c"].to_numpy(),
            lows=inside["tmin_c"].to_numpy(),
            rain=inside["rain_mm"].where(inside["rain_days"] == 1).to_numpy(),
        )
    )
    if reason is not None:
        raise SourceGarbled(
            f"{place}: from {first} on the values are no weather in {days.units}, the units of the"
            f" whole file: {reason}; check whether two files were put together"
        )
    return StationDays(
        station=days.station,
        lat_deg=days.lat_deg,
        lon_deg=days.lon_deg,
        units=days.units,
        table=inside,
        dropped=tuple(drop for drop in days.dropped if first <= drop.day <= last),
    )


def _date(day: int) -> date:
    found: date = np.datetime64(int(day), "D").astype(object)
    return found


def _on(days: NDArray[np.int64], element: Element) -> Floats:
    """An element's values on a common axis of days."""
    full = np.full(days.size, np.nan)
    full[np.searchsorted(days, element.days)] = element.values
    return full


# --- units ------------------------------------------------------------------------------------


def _system(file: StationFile, days: NDArray[np.int64], raw: Mapping[str, Floats]) -> UnitSystem:
    """The unit system of a file: documented, named in the header, or found from all values."""
    nothing = np.full(days.size, np.nan)
    seen = Evidence(
        days=days,
        highs=raw.get("TMAX", nothing),
        lows=raw.get("TMIN", nothing),
        rain=raw.get("PRCP", nothing),
        has_attributes=file.has_attributes,
    )
    if file.is_long:
        return decide(seen, (TENTHS,))
    told = SYSTEMS
    for name, unit in file.header_units.items():
        meant = _meant_by(name, unit)
        told = tuple(system for system in told if system in meant)
    if not told:
        units = ", ".join(f"{name} ({unit})" for name, unit in file.header_units.items())
        raise SourceGarbled(
            f"the header mixes units: {units}; expected °F and inches, °C and mm, or their tenths"
        )
    return decide(seen, told)


def _meant_by(name: str, unit: str) -> tuple[UnitSystem, ...]:
    """The systems in which an element has that unit."""
    tenth = _TENTHS.fullmatch(unit)
    bare = (tenth.group(1) if tenth else unit).strip().upper()
    metric = TENTHS if tenth else METRIC
    if name in ("TMAX", "TMIN"):
        if _CELSIUS.fullmatch(bare):
            return (metric,)
        if _FAHRENHEIT.fullmatch(bare) and not tenth:
            return (CUSTOMARY,)
    elif bare in _MM:
        return (TENTHS, METRIC) if name == "SNOW" else (metric,)
    elif bare in _INCH and not tenth:
        return (CUSTOMARY,)
    elif name == "DAPR":
        return SYSTEMS
    raise SourceGarbled(
        f'the header gives {name} in "{unit}"; expected °F, °C, inches, mm or tenths of °C or mm'
    )


# --- the table --------------------------------------------------------------------------------


def _table(
    days: NDArray[np.int64],
    raw: Mapping[str, Floats],
    elements: Mapping[str, Element],
    system: UnitSystem,
) -> pd.DataFrame:
    nothing = np.full(days.size, np.nan)
    rain, rain_days, is_total = _with_totals(days, raw, nothing)
    columns = {
        "tmax_c": system.to_c(raw.get("TMAX", nothing)),
        "tmin_c": system.to_c(raw.get("TMIN", nothing)),
        "rain_mm": system.to_mm(rain),
        "snow_mm": raw.get("SNOW", nothing) * system.snow_step,
        "rain_days": rain_days,
    }
    read = _read_minutes(days, elements)
    for column, name in (("tmax", "TMAX"), ("tmin", "TMIN"), ("snow", "SNOW")):
        columns[f"{column}_read_min"] = read[name]
    columns["rain_read_min"] = np.where(is_total, read["MDPR"], read["PRCP"])
    index = pd.DatetimeIndex(days.astype("datetime64[D]").astype("datetime64[s]"), name="date")
    return pd.DataFrame(columns, index=index)


def _read_minutes(days: NDArray[np.int64], elements: Mapping[str, Element]) -> dict[str, Floats]:
    """Minutes at which each element was read.

    One that is not told is that of another element of the day, or of the days just before (one
    observer has one habit), else the midnight that ends the day, as automatic stations have it.
    """
    nothing = np.full(days.size, np.nan)
    told = {
        name: _on(days, element._replace(values=element.read_at_min))
        for name, element in elements.items()
    }
    of_day = nothing
    for minutes in told.values():
        of_day = np.where(np.isnan(of_day), minutes, of_day)
    habit = pd.Series(of_day, index=days).reindex(range(int(days[0]), int(days[-1]) + 1))
    usual = habit.ffill(limit=HABIT_DAYS).fillna(float(MIDNIGHT_MIN)).to_numpy()[days - days[0]]
    return {
        name: np.where(np.isnan(told.get(name, nothing)), usual, told.get(name, nothing))
        for name in ("TMAX", "TMIN", "PRCP", "SNOW", "MDPR")
    }


def _with_totals(
    days: NDArray[np.int64], raw: Mapping[str, Floats], nothing: Floats
) -> tuple[Floats, Floats, Bools]:
    """Rain, of how many days each amount is the total, and whether it comes from MDPR.

    A total of several days stands on their last; it counts where its number of days is told and
    none of them has an amount of its own.
    """
    rain = raw.get("PRCP", nothing).copy()
    rain_days = np.ones(days.size)
    is_total = np.zeros(days.size, np.bool_)
    totals, counts = raw.get("MDPR", nothing), raw.get("DAPR", nothing)
    own = days[np.isfinite(rain)]
    for n in np.flatnonzero(np.isfinite(totals) & (counts >= 1) & np.isnan(rain)):
        count = int(counts[n])
        first, last = np.searchsorted(own, [days[n] - count + 1, days[n] + 1])
        if count == counts[n] and count <= MOST_DAYS_OF_TOTAL and first == last:
            rain[n], rain_days[n], is_total[n] = totals[n], count, True
    return rain, rain_days, is_total


def _believable(table: pd.DataFrame, place: str) -> tuple[pd.DataFrame, list[Dropped]]:
    """The table without values that cannot be, and a sentence for each of those."""
    kept, dropped = table.copy(), []
    for column, (low, high) in DAY_BOUNDS.items():
        days = table["rain_days"] if column == "rain_mm" else 1.0
        wild = (table[column] < low) | (table[column] > high * days)
        for day, value in table.loc[wild, column].items():
            said = f"{column} {value:g} cannot be (possible is {low:g} to {high:g})"
            dropped.append(_dropped(day, said, place))
        kept[column] = table[column].mask(wild)
    crossed = kept["tmin_c"] > kept["tmax_c"]
    for day, row in kept[crossed].iterrows():
        said = f"the lowest, {row['tmin_c']:.1f} °C, is above the highest, {row['tmax_c']:.1f} °C"
        dropped.append(_dropped(day, said, place))
    kept.loc[crossed, ["tmin_c", "tmax_c"]] = np.nan
    return kept, dropped


def _dropped(day: object, said: str, place: str) -> Dropped:
    moment = pd.Timestamp(str(day)).date()
    return Dropped(moment, f"{place}: {moment}: {said}; left out")
