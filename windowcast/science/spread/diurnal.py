"""How far an hour lies from a day's lowest to its highest temperature."""

from __future__ import annotations

import numpy as np

from windowcast.terms.climate import CLOCK, DAYS
from windowcast.terms.outlook import Floats

WARMEST_H = 14.0  # two hours after solar noon
SUNRISE_BOUNDS_H = (2.0, 11.0)  # so that days without sunrise or sunset keep a course


def warmth_of_hour(lat_deg: float) -> Floats:
    """Where each hour stands between the day's lowest (0) and highest temperature (1).

    Parameters
    ----------
    lat_deg
        Latitude. [deg]

    Returns
    -------
    ndarray
        0 to 1 at the middle of each solar hour, shape (day of a leap year, hour).

    Notes
    -----
    A sine from sunrise to two hours after solar noon, a quarter cosine from there to the next
    sunrise. Sunrise from the declination and sunset angle of FAO-56 Eq. 24 and 25.

    References
    ----------
    Allen, Pereira, Raes & Smith (1998): Crop evapotranspiration, FAO Irrigation and Drainage
    Paper 56, chapter 3, Eq. 24-25. Parton & Logan (1981): A model for diurnal variation in soil
    and air temperature. Agricultural Meteorology 23:205-216 (the idea of a sine by day and a fall
    by night; from memory, the shapes are ours).
    """
    day_no = np.arange(1, DAYS + 1)
    declination = 0.409 * np.sin(2.0 * np.pi * day_no / 365.0 - 1.39)
    sunset = np.arccos(np.clip(-np.tan(np.deg2rad(lat_deg)) * np.tan(declination), -1.0, 1.0))
    sunrise_h = np.clip(12.0 - 12.0 / np.pi * sunset, *SUNRISE_BOUNDS_H)[:, np.newaxis]
    clock = np.arange(CLOCK) + 0.5
    rise = np.sin(0.5 * np.pi * (clock - sunrise_h) / (WARMEST_H - sunrise_h))
    after = np.where(clock < sunrise_h, clock + 24.0, clock) - WARMEST_H
    fall = np.cos(0.5 * np.pi * after / (24.0 + sunrise_h - WARMEST_H))
    rising = (clock >= sunrise_h) & (clock <= WARMEST_H)
    return np.asarray(np.clip(np.where(rising, rise, fall), 0.0, 1.0))
