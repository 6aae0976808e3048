"""The weather of one hour of an outlook, as a visit keeps it."""

from __future__ import annotations

import math

import numpy as np

from windowcast.terms.outlook import FORECAST, PLAUSIBLE, Origin, Outlook
from windowcast.terms.visit import WEATHER_NAMES, VisitWeather
from windowcast.times import as_datetime

_DECIMALS = 3  # float32 tells no more of a temperature
_LONGEST = 200


def weather_of_hour(outlook: Outlook, hour: np.datetime64) -> VisitWeather | None:
    """What an outlook tells about one hour.

    Parameters
    ----------
    outlook
        Hourly weather; of an ensemble the first member is taken.
    hour
        A UTC hour of the index.

    Returns
    -------
    VisitWeather or None
        None where the hour is not among those told, or where it lacks a temperature.

    Notes
    -----
    Rule of this project: values as they were told, to three decimals, and the source by its name,
    with the word forecast where it is one; what is not told, or cannot be, is None.
    """
    at = np.flatnonzero(outlook.hours == hour)
    if not at.size or outlook.origin_of_hour[at[0]] < 0:
        return None
    column = int(at[0])
    told = {name: _told(name, float(outlook.arrays[name][0, column])) for name in WEATHER_NAMES}
    if told["temp_c"] is None:
        return None
    origin = outlook.origins[int(outlook.origin_of_hour[column])]
    return VisitWeather(hour=as_datetime(hour), source=_source(origin), **told)


def _told(name: str, value: float) -> float | None:
    low, high = PLAUSIBLE[name]
    plain = round(value, _DECIMALS)
    return plain if math.isfinite(plain) and low <= plain <= high else None


def _source(origin: Origin) -> str:
    """The words for an origin: "nws forecast, grid XYZ 59,84", or "nws, station KXYZ, 12 km"."""
    name = f"{origin.name} forecast" if origin.kind == FORECAST else origin.name
    name = f"{name} kept in the book" if origin.kept else name
    text = f"{name}, {origin.detail}" if origin.detail else name
    plain = "".join(char if char.isprintable() else " " for char in text)
    return " ".join(plain.split())[:_LONGEST]
