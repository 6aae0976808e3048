"""Cells of a daily station file: dates, values with their flags, times of reading.

Every function takes a whole column; texts that repeat are read once.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import shown
from windowcast.terms.outlook import Floats

MIDNIGHT_MIN = 1440

_DATE = re.compile(r"(\d{4})(-?)(\d\d)\2(\d\d)(?:[T ]00:00(?::00)?)?", re.ASCII)
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_TIME = re.compile(r"(\d{1,2}):?(\d\d)(?:\.0)?", re.ASCII)
_FIRST_YEAR, _LAST_YEAR = 1700, 2199
_NO_VALUE = ("", "M", "NA", "NaN", "nan")
_MISSING = (-9999.0, 9999.0, -999.9, 9999.9)
# Measurement flags of the archive: a trace is no measurable amount. "Missing, presumed zero" is
# not told, and neither is the total of several days under the last day's name (from memory).
_TRACE, _UNTOLD_FLAGS = "T", ("P", "A")
_AMOUNTS = ("PRCP", "SNOW")


class Element(NamedTuple):
    """One element: days since 1970 in order, raw numbers, minute of the reading (NaN untold).

    ``disputed`` are days that the file tells twice, and differently.
    """

    days: NDArray[np.int64]
    values: Floats
    read_at_min: Floats
    disputed: tuple[int, ...] = ()


def days_of(dates: pd.Series[str]) -> NDArray[np.int64]:
    """Days since 1970 of a column of dates; SourceGarbled names the first that is none."""
    texts, which = np.unique(dates.str.strip().to_numpy(dtype=str), return_inverse=True)
    days = [_day(text) for text in texts]
    return np.array(days, np.int64)[which]


def _day(text: str) -> int:
    match = _DATE.fullmatch(text)
    try:
        iso = "-".join(match.group(1, 3, 4)) if match else ""
        day = np.datetime64(iso, "D")
        if match and _FIRST_YEAR <= int(match.group(1)) <= _LAST_YEAR:
            return int(day.astype(np.int64))
    except ValueError:
        pass
    raise SourceGarbled(f"DATE: {shown(text)} is not a date; expected 2027-01-12 or 20270112")


def flags_of(
    attributes: pd.Series[str] | None, index: pd.Index[int]
) -> tuple[pd.Series[str], pd.Series[str], pd.Series[str]]:
    """Measurement flag, quality flag and time of reading from "M,Q,S,time"."""
    if attributes is None:
        blank = pd.Series("", index=index)
        return blank, blank, blank
    texts, which = np.unique(attributes.to_numpy(dtype=str), return_inverse=True)
    parts = [(*text.split(","), "", "", "", "")[:4] for text in texts]
    measured, quality, read_at = (
        pd.Series(np.array([part[n].strip() for part in parts])[which], index=index)
        for n in (0, 1, 3)
    )
    return measured, quality, read_at


def element_of(
    name: str,
    days: NDArray[np.int64],
    cells: pd.Series[str],
    measured: pd.Series[str],
    quality: pd.Series[str],
    read_at: pd.Series[str],
) -> Element:
    """An element from its value cells and their flags; what failed a check is not told."""
    values = _values(name, cells)
    values[(measured.str.strip() == _TRACE).to_numpy()] = 0.0
    untold = measured.str.strip().isin(_UNTOLD_FLAGS) | (quality.str.strip() != "")
    values[untold.to_numpy()] = np.nan
    return _in_order(days, values, _minutes(read_at))


def _values(name: str, cells: pd.Series[str]) -> Floats:
    texts, which = np.unique(cells.str.strip().to_numpy(dtype=str), return_inverse=True)
    return np.array([_value(name, text) for text in texts])[which]


def _value(name: str, text: str) -> float:
    if text in _NO_VALUE:
        return np.nan
    if text == _TRACE and name in _AMOUNTS:
        return 0.0
    value = float(text) if _NUMBER.fullmatch(text) else np.inf
    if not np.isfinite(value):
        raise SourceGarbled(f"{name}: {shown(text)} is not a number")
    return np.nan if value in _MISSING else value


def _minutes(read_at: pd.Series[str]) -> Floats:
    """Minutes after local midnight; the midnight of a reading is the one that ends the day."""
    texts, which = np.unique(read_at.str.strip().to_numpy(dtype=str), return_inverse=True)
    minutes = np.full(texts.size, np.nan)
    for n, text in enumerate(texts):
        match = _TIME.fullmatch(text)
        if match:
            told = int(match.group(1)) * 60 + int(match.group(2))
            minutes[n] = np.nan if told > MIDNIGHT_MIN else told or MIDNIGHT_MIN
    return minutes[which]


def _in_order(days: NDArray[np.int64], values: Floats, read_at_min: Floats) -> Element:
    """One value a day; a day told twice keeps what both tell alike."""
    order = np.argsort(days, kind="stable")
    days, values, read_at_min = days[order], values[order], read_at_min[order]
    unique, first, counts = np.unique(days, return_index=True, return_counts=True)
    if unique.size == days.size:
        return Element(days, values, read_at_min)
    low, high = np.fmin.reduceat(values, first), np.fmax.reduceat(values, first)
    differs = (counts > 1) & (low != high) & np.isfinite(low)
    kept = np.where(differs, np.nan, low)
    minutes = np.fmax.reduceat(read_at_min, first)
    return Element(unique, kept, minutes, tuple(int(day) for day in unique[differs]))


def coordinate(cells: pd.Series[str] | None, name: str, most: float) -> float | None:
    """Degrees that the station's rows tell, None where they tell nothing."""
    texts = [] if cells is None else [text for text in cells.str.strip().unique() if text]
    if not texts:
        return None
    value = _value(name, texts[-1])
    if np.isnan(value):
        return None
    if abs(value) > most:
        raise SourceGarbled(f"{name}: {shown(texts[-1])} is not from -{most:g} to {most:g}")
    return value
