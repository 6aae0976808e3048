"""Stated climates for places without records: every output that leans on one says so.

Means of the year and of the day from memory of published normals of US cities; they can be 3 °C
out, and in mountain valleys more.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from windowcast.science.spread.diurnal import warmth_of_hour
from windowcast.terms.climate import DAYS, Climate
from windowcast.terms.outlook import Floats
from windowcast.terms.spread import SpreadPractice

COLDEST_DAY = 19  # 20 January
LAPSE_DC_PER_M = 0.002  # found between plains and plateau; far less than in free air
LATITUDES_DEG = (22.0, 55.0)  # between which the straight lines hold
PACIFIC = ((32.0, 60.0), (-130.0, -121.0))  # latitudes and longitudes west of the Cascades


def continental_climate(lat_deg: float, elev_m: float | None, practice: SpreadPractice) -> Climate:
    """Climate of a place inland, without any record.

    Parameters
    ----------
    lat_deg
        Latitude. [deg]
    elev_m
        Height; None counts as sea level. [m]
    practice
        Spread and rain where no climate is known.

    Returns
    -------
    Climate
        Not local.

    Notes
    -----
    Rule of this project (uncalibrated): mean of the year 42.5 - 0.75 lat, half the range of the
    year 0.55 (lat - 15), range of a day 10 °C.
    """
    lat = _within(lat_deg)
    course = _means(42.5 - 0.75 * lat, 0.55 * (lat - 15.0), lat_deg, elev_m)
    spread_dc = practice.continental_spread_dc
    stated = _stated(course, lat_deg, range_dc=10.0, spread_dc=spread_dc, practice=practice)
    return replace(stated, source="continental default")


def maritime_climate(lat_deg: float, elev_m: float | None, practice: SpreadPractice) -> Climate:
    """Climate of a place on the Pacific side, without any record.

    Parameters
    ----------
    lat_deg
        Latitude. [deg]
    elev_m
        Height; None counts as sea level. [m]
    practice
        Spread and rain where no climate is known.

    Returns
    -------
    Climate
        Not local.

    Notes
    -----
    Rule of this project (uncalibrated): mean of the year 24 - 0.26 lat, half the range of the year
    7 °C, range of a day 7 °C.
    """
    course = _means(24.0 - 0.26 * _within(lat_deg), 7.0, lat_deg, elev_m)
    spread_dc = practice.maritime_spread_dc
    stated = _stated(course, lat_deg, range_dc=7.0, spread_dc=spread_dc, practice=practice)
    return replace(stated, source="maritime default")


def is_maritime(lat_deg: float, lon_deg: float) -> bool:
    """Whether a place lies on the Pacific side of North America.

    Parameters
    ----------
    lat_deg, lon_deg
        Place. [deg]

    Returns
    -------
    bool
        True west of 121 degrees, from 32 to 60 degrees north.

    Notes
    -----
    Rule of this project: a meridian near the Cascades and the Sierra Nevada.
    """
    (south, north), (west, east) = PACIFIC
    return south <= lat_deg <= north and west <= lon_deg <= east


def _within(lat_deg: float) -> float:
    return min(max(abs(lat_deg), LATITUDES_DEG[0]), LATITUDES_DEG[1])


def _means(year_c: float, half_dc: float, lat_deg: float, elev_m: float | None) -> Floats:
    """Daily means over a leap year; the south has its winter in July."""
    coldest = COLDEST_DAY if lat_deg >= 0 else COLDEST_DAY + DAYS / 2
    wave = np.cos(2.0 * np.pi * (np.arange(DAYS) - coldest) / DAYS)
    return np.asarray(year_c - (elev_m or 0.0) * LAPSE_DC_PER_M - half_dc * wave)


def _stated(
    mean_c: Floats, lat_deg: float, *, range_dc: float, spread_dc: float, practice: SpreadPractice
) -> Climate:
    course = warmth_of_hour(lat_deg)
    high = mean_c + 0.5 * range_dc
    return Climate(
        mean_c=high[:, np.newaxis] - range_dc * (1.0 - course),
        spread_dc=np.full(course.shape, spread_dc),
        high_c=high,
        high_spread_dc=np.full(DAYS, spread_dc),
        wet_frac=np.full(DAYS, practice.default_wet_frac),
        wet_day_mm=np.full(DAYS, practice.default_wet_day_mm),
        dry_warm_frac=np.full(DAYS, np.nan),
        warm_wet_corr=np.zeros(DAYS),
        lag_corr=practice.default_lag_corr,
        local=False,
        source="",
    )
