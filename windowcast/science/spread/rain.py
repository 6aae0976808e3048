"""Rain of members: falls where a member's draw is below its chance, and keeps the told mean."""

from __future__ import annotations

import numpy as np

from windowcast.science.spread.frame import Frame, at_own_day
from windowcast.science.spread.lattice import TIMING, normal_field
from windowcast.science.spread.usual import ClimateAt
from windowcast.terms.outlook import Floats
from windowcast.terms.spread import SpreadPractice

LEAST_SHARE = 0.05  # of the mean amount, for a member that has to be wet against its draw


def rain_chance(
    rain_mm: Floats, rain_prob_frac: Floats, rho: Floats, usual: ClimateAt, frame: Frame
) -> Floats:
    """Chance of rain in each hour, where it is told or can be taken from the amount.

    Parameters
    ----------
    rain_mm, rain_prob_frac
        Forecast, shape (yard, 1, hour); NaN where not told. [mm], [0-1]
    rho
        Correlation of forecast and truth, shape (yard, day).
    usual
        Climate of the yards.
    frame
        Where the hours lie.

    Returns
    -------
    ndarray
        float64, shape (yard, 1, hour), NaN where neither is told. [0-1]

    Notes
    -----
    Rule of this project: a told chance is taken as calibrated. An amount without a chance is yes
    or no, shrunk by rho towards the share of wet hours, a third of the share of wet days.
    """
    skill = at_own_day(rho[:, np.newaxis], frame)
    usually = at_own_day(usual.wet_frac[:, np.newaxis], frame) / 3.0
    by_amount = skill * (rain_mm > 0.0) + (1.0 - skill) * usually
    inferred = np.where(np.isnan(rain_mm), np.nan, by_amount)
    told = np.asarray(rain_prob_frac, np.float64)
    return np.asarray(np.where(np.isnan(told), inferred, told))


def dressed_rain(
    rain_mm: Floats,
    chance_frac: Floats,
    wetness: Floats,
    usual: ClimateAt,
    frame: Frame,
    practice: SpreadPractice,
) -> tuple[Floats, Floats]:
    """Rain of every member, and whether it rains.

    Parameters
    ----------
    rain_mm
        Forecast, shape (yard, 1, hour); NaN where not told. [mm]
    chance_frac
        From ``rain_chance``, same shape. [0-1]
    wetness
        Draws, shape (yard, member, day).
    usual
        Climate, for amounts where only a chance is told.
    frame
        Where the hours lie.
    practice
        Coefficients.

    Returns
    -------
    rain_mm
        float32, shape (yard, member, hour), NaN where neither amount nor chance is told. [mm]
    wet_frac
        1 where it rains in the member and 0 where not, same shape, NaN likewise.

    Notes
    -----
    Rule of this project. With U uniform, one for each day and member, an hour is wet where U is
    below its chance p: in a wetter member more hours of a day are wet, and those of the greatest
    chance first. Amounts follow -log(U / p), an exponential law, scaled in each hour so that the
    mean over members is the forecast's. Where much rain is told with little chance, the members
    of the lowest U are wet as well, enough for a mean wet hour of at most ``rain_most_mm`` (or
    all of them). A wet hour told 0 gets ``trace_mm``; one without any amount gets its share of a
    usual wet day. Hours before ``now`` stay as told.
    """
    from scipy.special import log_ndtr, xlogy

    told = np.asarray(rain_mm, np.float64)
    count = wetness.shape[1]
    log_u = log_ndtr(-wetness)
    rank = np.argsort(np.argsort(log_u, axis=1, kind="stable"), axis=1, kind="stable")
    below = xlogy(1.0, chance_frac) - at_own_day(log_u, frame)
    least = np.ceil(np.nan_to_num(told) * count / practice.rain_most_mm)
    wet = (below > 0.0) | (at_own_day(rank * 1.0, frame) < least)
    share = np.where(wet, np.maximum(below, LEAST_SHARE), 0.0)
    total = np.maximum(share.sum(axis=1, keepdims=True), LEAST_SHARE)
    usually = at_own_day(usual.wet_day_mm[:, np.newaxis], frame) / 24.0
    untold = np.maximum(np.where(np.isnan(told), usually * share, 0.0), practice.trace_mm)
    amount = np.where(told > 0.0, told * (count * share / total), np.where(wet, untold, 0.0))
    silent = np.isnan(chance_frac)
    rain = np.where(frame.past, told, np.where(silent, np.nan, amount))
    return rain.astype(np.float32), np.where(silent, np.nan, wet).astype(np.float32)


def generated_rain(
    wetness: Floats, usual: ClimateAt, frame: Frame, practice: SpreadPractice
) -> Floats:
    """Rain of days that no forecast tells.

    Parameters
    ----------
    wetness
        Draws, shape (yard, member, day).
    usual
        Climate: share of wet days and mean of one.
    frame
        Where the hours lie.
    practice
        Least rain of a wet day, and how long its rain falls.

    Returns
    -------
    ndarray
        float64, shape (yard, member, hour). [mm]

    Notes
    -----
    Rule of this project. A day is wet where the uniform U of its draw is below the share of wet
    days p, and then brings least + (mean - least) (-log(U / p)), an exponential law, evenly over
    ``wet_spell_h`` hours that begin at a time drawn for place, member and day.
    """
    from scipy.special import log_ndtr, ndtr, xlogy

    below = xlogy(1.0, usual.wet_frac)[:, np.newaxis] - log_ndtr(-wetness)
    more = (usual.wet_day_mm - practice.wet_from_mm)[:, np.newaxis]
    amount = np.where(below > 0.0, practice.wet_from_mm + more * np.maximum(below, 0.0), 0.0)
    places = frame.places
    drawn = normal_field(places.lat_deg, places.lon_deg, frame.day, wetness.shape[1], TIMING)
    spell = min(max(round(practice.wet_spell_h), 1), 24)
    start = at_own_day(ndtr(drawn) * (24.0 - spell), frame)
    clock = frame.clock_h[:, np.newaxis]
    falls = (clock >= start) & (clock < start + spell)
    return np.where(falls, at_own_day(amount, frame) / spell, 0.0)
