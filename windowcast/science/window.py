"""One yard-hour -> named parts with a credit each -> its score.

An hour's score is the product of the credits; a credit of 0 is a veto. Every function takes
arrays of any shape and works on each element alone. Credits are computed in float64 and rounded
to 1e-6 before anything is compared with them, so that a grid's 35 °F (1.6667 °C, a float32) is
exactly the threshold that it means.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from windowcast.science.air import flight_frac
from windowcast.terms.advice import FLIGHT, LIGHT, RAIN, TEMPERATURE, WIND
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.practice import (
    FlightPractice,
    Practice,
    RainPractice,
    TemperaturePractice,
    WindPractice,
)

DECIMALS = 6

# Services write whole °F as °C with four decimals or more (10.5556 is 51 °F), so a temperature this
# close to a threshold is the threshold. Rule of this project.
SAME_DC = 5.1e-5


def rounded(values: ArrayLike) -> Floats:
    """float64 to 1e-6: what thresholds are compared with.

    Parameters
    ----------
    values
        Any shape, any float type.

    Returns
    -------
    ndarray
        float64 of the same shape.

    Notes
    -----
    Rule of this project: float32 weather and sums of thirds must not fall off a threshold.
    """
    return np.asarray(np.round(np.asarray(values, np.float64), DECIMALS))


def temperature_credit(temp_c: Floats, practice: TemperaturePractice) -> Floats:
    """Credit of air temperature.

    Parameters
    ----------
    temp_c
        Any shape; NaN where not told. [°C]
    practice
        Thresholds.

    Returns
    -------
    ndarray
        0 to 1, same shape, NaN where not told.

    Notes
    -----
    Rule of this project on common practice: 1 in the best band, ``edge_credit`` at both edges,
    0 outside, straight lines between. A temperature within ``SAME_DC`` of a threshold is it.
    """
    steps = [
        practice.none_low_c,
        practice.edge_low_c,
        practice.best_low_c,
        practice.best_high_c,
        practice.edge_high_c,
        practice.none_high_c,
    ]
    edge = practice.edge_credit
    temp = np.asarray(temp_c, np.float64)
    for step in steps:
        temp = np.where(np.abs(temp - step) <= SAME_DC, step, temp)
    return rounded(np.interp(temp, steps, [0.0, edge, 1.0, 1.0, edge, 0.0]))


def rain_credit(rain_mm: Floats, rain_prob_frac: Floats, practice: RainPractice) -> Floats:
    """Credit of rain.

    Parameters
    ----------
    rain_mm
        Rain of the hour, any shape; NaN where not told. [mm]
    rain_prob_frac
        Chance of rain in the period that holds the hour; NaN where not told. [0-1]
    practice
        Thresholds.

    Returns
    -------
    ndarray
        0 to 1, same shape, never NaN.

    Notes
    -----
    Rule of this project. Amount told: 0 from ``wet_from_mm``, also 0 if any is told and the
    period is likely wet, else 1. Amount missing: one less the chance, 0 from ``likely_from_frac``.
    Neither told: ``untold_credit``.
    """
    amount, chance = rounded(rain_mm), rounded(rain_prob_frac)
    likely = chance >= rounded(practice.likely_from_frac)
    wet = (amount >= rounded(practice.wet_from_mm)) | ((amount > 0.0) & likely)
    by_chance = np.where(likely, 0.0, 1.0 - np.nan_to_num(chance))
    without_amount = np.where(np.isnan(chance), practice.untold_credit, by_chance)
    credit = np.where(np.isnan(amount), without_amount, np.where(wet, 0.0, 1.0))
    return rounded(credit)


def rain_untold(rain_mm: Floats, rain_prob_frac: Floats) -> Bools:
    """Where neither an amount nor a chance of rain is told.

    Parameters
    ----------
    rain_mm, rain_prob_frac
        As in ``rain_credit``.

    Returns
    -------
    ndarray
        bool, same shape.

    Notes
    -----
    Rule of this project: a day whose run holds such an hour is at most workable.
    """
    return np.asarray(np.isnan(rain_mm) & np.isnan(rain_prob_frac))


def wind_credit(wind_mps: Floats, practice: WindPractice) -> Floats:
    """Credit of wind at 10 m.

    Parameters
    ----------
    wind_mps
        Any shape; NaN where not told. [m/s]
    practice
        Thresholds.

    Returns
    -------
    ndarray
        0 to 1, same shape, NaN where not told.

    Notes
    -----
    Rule of this project on common practice: 1 up to ``calm_to_mps``, 0 from ``none_from_mps``, a
    straight line between.
    """
    wind = np.asarray(wind_mps, np.float64)
    credit = np.interp(wind, [practice.calm_to_mps, practice.none_from_mps], [1.0, 0.0])
    return rounded(credit)


def light_credit(lit_frac: Floats) -> Floats:
    """1 where the hour lies wholly between sunrise and sunset, else 0.

    Parameters
    ----------
    lit_frac
        Share of the hour between sunrise and sunset, any shape. [0-1]

    Returns
    -------
    ndarray
        0 or 1, same shape.

    Notes
    -----
    Rule of this project: no work with acid and hot metal in the dark.
    """
    return np.where(rounded(lit_frac) >= 1.0, 1.0, 0.0)


def flight_credit(flight: Floats, practice: FlightPractice) -> Floats:
    """Credit of bees staying in.

    Parameters
    ----------
    flight
        Flight factor, any shape; NaN where not known. [0-1]
    practice
        Thresholds.

    Returns
    -------
    ndarray
        1 without flight, 1 - ``cost`` in full flight; NaN where not known.

    Notes
    -----
    Rule of this project: bees in the air miss the vapour and meet the crew.
    """
    return rounded(1.0 - practice.cost * np.asarray(flight, np.float64))


def hour_credits(
    weather: Mapping[str, Floats], lit_frac: Floats, practice: Practice
) -> dict[str, Floats]:
    """Credits of every part, by code, in the order of ``PART_CODES``.

    Parameters
    ----------
    weather
        Arrays by name (``terms.outlook.VARIABLES``), shape (..., hour).
    lit_frac
        Share of each hour in light, broadcasts with them. [0-1]
    practice
        Thresholds.

    Returns
    -------
    dict
        Part code to credits, shape (..., hour); NaN where what it rests on is not told.

    Notes
    -----
    Rule of this project: the parts are independent reasons, so their credits multiply.
    """
    wind = np.asarray(weather["wind_mps"], np.float64)
    flight = lit_frac * flight_frac(
        np.asarray(weather["temp_c"], np.float64),
        wind,
        np.asarray(weather["sun_wm2"], np.float64),
        np.asarray(weather["cloud_frac"], np.float64),
        practice.flight,
    )
    return {
        TEMPERATURE: temperature_credit(weather["temp_c"], practice.temperature),
        RAIN: rain_credit(weather["rain_mm"], weather["rain_prob_frac"], practice.rain),
        WIND: wind_credit(wind, practice.wind),
        LIGHT: np.broadcast_to(light_credit(lit_frac), wind.shape),
        FLIGHT: flight_credit(flight, practice.flight),
    }


def hour_scores(credits: Mapping[str, Floats]) -> Floats:
    """Product of the credits; NaN where temperature or wind is not told.

    Parameters
    ----------
    credits
        Part code to credits, all of one shape.

    Returns
    -------
    ndarray
        0 to 1 or NaN, same shape.

    Notes
    -----
    Rule of this project: no score without parts that add up to it.
    """
    score = np.ones(())
    for credit in credits.values():
        score = score * credit
    return np.asarray(score)


def usable_hours(credits: Mapping[str, Floats], workable: Bools, practice: Practice) -> Bools:
    """Hours in which a crew can treat.

    Parameters
    ----------
    credits
        Part code to credits, shape (..., hour).
    workable
        Whether an hour lies wholly inside working hours and begins at or after now; broadcasts.
    practice
        Thresholds.

    Returns
    -------
    ndarray
        bool, shape (..., hour).

    Notes
    -----
    Rule of this project: temperature and wind told, temperature credit at least that of the edge,
    no part 0. NaN compares as false, so that what is not told is never usable.
    """
    usable = workable & (credits[TEMPERATURE] >= rounded(practice.temperature.edge_credit))
    for credit in credits.values():
        usable = usable & (credit > 0.0)
    return np.asarray(usable)
