"""Sunshine from sky cover, the flight of bees, and the mean of wind directions."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from windowcast.terms.outlook import Floats
from windowcast.terms.practice import FlightPractice
from windowcast.times import Hours, Ints

SOLAR_CONSTANT_MJ_M2_MIN = 0.0820  # FAO-56, Eq. 21 and 28
WM2_PER_MJ_M2_H = 1e6 / 3600.0


def extraterrestrial_wm2(lat_deg: ArrayLike, lon_deg: ArrayLike, hours: Hours) -> Floats:
    """Radiation on a horizontal plane above the atmosphere, mean of each hour.

    Parameters
    ----------
    lat_deg, lon_deg
        Place, north and east positive, shape (...). [deg]
    hours
        UTC hours, shape (hour,).

    Returns
    -------
    ndarray
        Mean over [t, t + 1 h), shape (..., hour). [W/m2]

    Notes
    -----
    FAO-56 Eq. 28 with 23 (inverse relative distance), 24 (declination), 31-33 (solar time angle
    and season correction). Its solar time angle is written for a clock at a zone's meridian; here
    that meridian is Greenwich. The hour's angles are cut at sunset and sunrise (Eq. 25), so that
    the hours of sunrise and sunset hold only their lit part.

    References
    ----------
    Allen, Pereira, Raes & Smith (1998): Crop evapotranspiration, FAO Irrigation and Drainage
    Paper 56, chapter 3, Eq. 23-25, 28, 31-33.
    """
    lat = np.deg2rad(np.asarray(lat_deg, np.float64))[..., np.newaxis]
    lon = np.asarray(lon_deg, np.float64)[..., np.newaxis]
    utc_hour = hours.astype("datetime64[h]").astype(np.int64)
    # The day of the year at the place: solar noon and not midnight in Greenwich is its middle.
    solar_h = utc_hour + 0.5 + lon / 15.0
    day_of_year = _day_of_year(np.floor(solar_h / 24.0).astype(np.int64))
    distance = 1.0 + 0.033 * np.cos(2.0 * np.pi * day_of_year / 365.0)
    declination = 0.409 * np.sin(2.0 * np.pi * day_of_year / 365.0 - 1.39)
    season = 2.0 * np.pi * (day_of_year - 81) / 364.0
    correction_h = 0.1645 * np.sin(2 * season) - 0.1255 * np.cos(season) - 0.025 * np.sin(season)
    angle = np.pi / 12.0 * (np.mod(solar_h + correction_h, 24.0) - 12.0)
    sunset = np.arccos(np.clip(-np.tan(lat) * np.tan(declination), -1.0, 1.0))
    begin = np.clip(angle - np.pi / 24.0, -sunset, sunset)
    end = np.clip(angle + np.pi / 24.0, -sunset, sunset)
    mj_m2_h = (
        (12.0 * 60.0 / np.pi)
        * SOLAR_CONSTANT_MJ_M2_MIN
        * distance
        * (
            (end - begin) * np.sin(lat) * np.sin(declination)
            + np.cos(lat) * np.cos(declination) * (np.sin(end) - np.sin(begin))
        )
    )
    return np.asarray(np.maximum(mj_m2_h, 0.0) * WM2_PER_MJ_M2_H)


def _day_of_year(days: Ints) -> Ints:
    stamps = days.astype("datetime64[D]")
    first = stamps.astype("datetime64[Y]").astype("datetime64[D]")
    return np.asarray((stamps - first).astype(np.int64) + 1)


def clear_sky_wm2(extraterrestrial: Floats, elev_m: ArrayLike) -> Floats:
    """Radiation at the ground under a clear sky.

    Parameters
    ----------
    extraterrestrial
        Radiation above the atmosphere, shape (..., hour). [W/m2]
    elev_m
        Height of the place above the sea, shape (...). [m]

    Returns
    -------
    ndarray
        Shape (..., hour). [W/m2]

    References
    ----------
    Allen et al. (1998): FAO-56, Eq. 37.
    """
    return (0.75 + 2e-5 * np.asarray(elev_m, np.float64)[..., np.newaxis]) * extraterrestrial


def sun_under_cloud_wm2(clear_wm2: Floats, cloud_frac: Floats) -> Floats:
    """Global radiation at the ground from clear-sky radiation and sky cover.

    Parameters
    ----------
    clear_wm2
        Radiation under a clear sky, shape (..., hour). [W/m2]
    cloud_frac
        Share of the sky that is covered, same shape; NaN where not told. [0-1]

    Returns
    -------
    ndarray
        Shape (..., hour), NaN where the cover is not told. [W/m2]

    Notes
    -----
    G = G0 (1 - 0.75 N^3.4), N the cover as a fraction. Fitted in Hamburg to total cloud amount
    seen by observers; a model's or a forecaster's sky cover is not quite the same thing.

    References
    ----------
    Kasten & Czeplak (1980): Solar and terrestrial radiation dependent on the amount and type of
    cloud. Solar Energy 24:177-189, Eq. 2. doi:10.1016/0038-092X(80)90391-6 (from memory).
    """
    return clear_wm2 * (1.0 - 0.75 * np.asarray(cloud_frac, np.float64) ** 3.4)


def flight_frac(
    temp_c: Floats,
    wind_mps: Floats,
    sun_wm2: Floats,
    cloud_frac: Floats,
    practice: FlightPractice,
) -> Floats:
    """How much bees fly in full daylight, from 0 to 1, leaving rain aside.

    Parameters
    ----------
    temp_c, wind_mps
        Air temperature [°C] and wind at 10 m [m/s], shape (..., hour).
    sun_wm2
        Global radiation, same shape; NaN where neither told nor derived. [W/m2]
    cloud_frac
        Sky cover, same shape; NaN where not told. [0-1]
    practice
        Thresholds.

    Returns
    -------
    ndarray
        g_T g_R g_W, shape (..., hour), NaN where temperature or wind is. [0-1]

    Notes
    -----
    Rule of this project: three ramps, clipped to 0-1. g_T rises over ``full_over_dc`` from
    ``none_below_c``. g_R is sun / ``full_sun_wm2``, at least ``dark_factor``; without sunshine
    1 - (1 - ``overcast_factor``) of the cloud beyond ``cloud_from_frac``; with neither it is 1,
    so that what is not known never makes an hour look calmer. g_W falls to 0 at
    ``none_from_mps``. Multiply by the lit share of the hour.

    References
    ----------
    Shape after Burrill & Dietz (1981) as cited in the COLOSS BEEBOOK, and Vicens & Bosch (2000),
    Environmental Entomology 29:413-420; no paper gives these ramps.
    """
    ramp_t = np.clip((temp_c - practice.none_below_c) / practice.full_over_dc, 0.0, 1.0)
    ramp_w = np.clip((practice.none_from_mps - wind_mps) / practice.wind_over_mps, 0.0, 1.0)
    by_sun = np.clip(sun_wm2 / practice.full_sun_wm2, practice.dark_factor, 1.0)
    beyond = np.clip(
        (cloud_frac - practice.cloud_from_frac) / (1.0 - practice.cloud_from_frac), 0.0, 1.0
    )
    by_cloud = np.nan_to_num(1.0 - (1.0 - practice.overcast_factor) * beyond, nan=1.0)
    flight = ramp_t * np.where(np.isfinite(sun_wm2), by_sun, by_cloud) * ramp_w
    return np.asarray(flight)


def mean_direction_deg(from_deg: ArrayLike, wind_mps: ArrayLike) -> float | None:
    """Mean of directions as unit vectors, over the hours in which air moves.

    Parameters
    ----------
    from_deg
        Where the wind comes from, shape (hour,); NaN where not told. [deg]
    wind_mps
        Wind, shape (hour,). A calm has no direction and is left out. [m/s]

    Returns
    -------
    float or None
        0 <= mean < 360, None when every hour is calm or not told, or when directions cancel. [deg]

    Notes
    -----
    Rule of this project: unit vectors, so that a strong hour does not hide where the others come
    from; 350 and 10 give 0.
    """
    angles = np.asarray(from_deg, np.float64)
    moving = np.isfinite(angles) & (np.nan_to_num(np.asarray(wind_mps, np.float64)) > 0.0)
    if not moving.any():
        return None
    turns = np.deg2rad(angles[moving])
    east, north = np.sin(turns).mean(), np.cos(turns).mean()
    if np.hypot(east, north) < 1e-6:
        return None
    return float(np.round(np.rad2deg(np.arctan2(east, north)) % 360.0, 6) % 360.0)


def turn_deg(one_deg: ArrayLike, other_deg: ArrayLike) -> Floats:
    """Angle between two directions, 0 to 180.

    Parameters
    ----------
    one_deg, other_deg
        Directions, shapes that broadcast. [deg]

    Returns
    -------
    ndarray
        The smaller angle between them. [deg]

    Notes
    -----
    Rule of this project: 350 and 10 are 20 apart.
    """
    gap = np.mod(np.asarray(other_deg, np.float64) - np.asarray(one_deg, np.float64), 360.0)
    return np.asarray(np.minimum(gap, 360.0 - gap))
