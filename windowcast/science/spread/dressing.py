"""Members from one forecast: shrunk towards the climate and dressed with the error it deserves.

Temperature is shrunk by the correlation of forecast and truth and gets the spread that is left,
in draws that days in a row and near yards share. What rain makes of the draws stands in rain.py.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from windowcast.science.spread.frame import Frame, between_days, normals_between_days
from windowcast.science.spread.lattice import RAIN, TEMPERATURE, normal_field
from windowcast.science.spread.lead import chained, day_correlation, forecast_rho, lead_bias_dc
from windowcast.science.spread.usual import ClimateAt
from windowcast.terms.lead import LeadErrors
from windowcast.terms.outlook import Floats
from windowcast.terms.spread import SpreadPractice

WARM_UP = 12  # days before the first, after which a chain has forgotten where it began


def lattice_draws(
    frame: Frame, usual: ClimateAt, members: int, practice: SpreadPractice
) -> tuple[Floats, Floats]:
    """Draws of warmth and of wetness for every yard, member and day ahead.

    Parameters
    ----------
    frame
        Days ahead of each yard.
    usual
        Climate of the yards.
    members
        How many members.
    practice
        Coefficients.

    Returns
    -------
    warmth
        Standard normals, correlated from day to day, shape (yard, member, day).
    wetness
        Standard normals, higher is wetter, shape (yard, member, day).

    Notes
    -----
    Rule of this project. A day's fresh normal depends on place, day and member alone; only how
    much of the day before goes into it depends on the lead. From ``warm_wet_from`` days ahead
    wetness correlates with warmth as the climate says, before that, growing over one day, not: at
    short lead the chance of rain already knows the forecast's warmth.
    """
    places, day = frame.places, frame.day
    before = np.arange(-WARM_UP, 0) + day[:, :1]
    longer = np.concatenate([before, day], axis=1)
    lead = np.concatenate([np.arange(-WARM_UP, 0) + frame.lead[0], frame.lead])
    corr = day_correlation(lead, usual.lag_corr[:, np.newaxis], practice)[:, np.newaxis, :]
    fresh = normal_field(places.lat_deg, places.lon_deg, longer, members, TEMPERATURE)
    warmth = chained(fresh, corr)[..., WARM_UP:]
    rain = normal_field(places.lat_deg, places.lon_deg, day, members, RAIN)
    known = np.clip(frame.lead - practice.warm_wet_from + 1.0, 0.0, 1.0)
    tie = (usual.warm_wet_corr * known)[:, np.newaxis, :]
    return warmth, np.asarray(tie * warmth + np.sqrt(1.0 - tie**2) * rain)


def rho_of(
    frame: Frame, usual: ClimateAt, errors: Sequence[LeadErrors], practice: SpreadPractice
) -> Floats:
    """Correlation of forecast and truth for each yard and day ahead.

    Parameters
    ----------
    frame
        Days ahead.
    usual
        Climate of the yards.
    errors
        Table of errors of each yard.
    practice
        Coefficients.

    Returns
    -------
    ndarray
        0 to 1, shape (yard, day).

    Notes
    -----
    Rule of this project: see ``forecast_rho``; sigma is that of the daily maximum.
    """
    rows = [
        forecast_rho(frame.lead, sigma, table, practice)
        for sigma, table in zip(usual.high_spread_dc, errors, strict=True)
    ]
    return np.stack(rows) if rows else np.empty((0, frame.lead.size))


def dressed_temp(
    temp_c: Floats,
    warmth: Floats,
    usual: ClimateAt,
    frame: Frame,
    errors: Sequence[LeadErrors],
    practice: SpreadPractice,
) -> Floats:
    """Temperature of every member.

    Parameters
    ----------
    temp_c
        Forecast, shape (yard, 1, hour); NaN where not told. [°C]
    warmth
        Draws, shape (yard, member, day).
    usual
        Climate on the same hours.
    frame
        Where the hours lie.
    errors
        Table of errors of each yard.
    practice
        Coefficients.

    Returns
    -------
    ndarray
        float32, shape (yard, member, hour); the forecast itself before ``now``. [°C]

    Notes
    -----
    Rule of this project. With climate c, its spread s by hour, bias b and rho by day: mean
    c + rho (f - b - c), spread s sqrt(1 - rho^2). Both begin at the issue with the forecast as it
    stands and no spread, and come in by 1 - exp(-t / growth) and sqrt(1 - exp(-2 t / growth)), as
    the error of a process of that time scale that was known at the issue.
    """
    from scipy.special import expm1

    corr = day_correlation(frame.lead, usual.lag_corr[:, np.newaxis], practice)
    daily_rho = rho_of(frame, usual, errors, practice)
    daily_bias = np.array([lead_bias_dc(frame.lead, table) for table in errors])
    rho = between_days(daily_rho[:, np.newaxis], frame)
    bias = between_days(daily_bias.reshape(daily_rho.shape)[:, np.newaxis], frame)
    mean = usual.mean_c[:, np.newaxis]
    told = np.asarray(temp_c, np.float64)
    grown = -expm1(-frame.ahead_h / practice.growth_h)[:, np.newaxis]
    wide = np.sqrt(-expm1(-2.0 * frame.ahead_h / practice.growth_h))[:, np.newaxis]
    centre = told + grown * (mean + rho * (told - bias - mean) - told)
    spread = wide * usual.spread_dc[:, np.newaxis] * np.sqrt(1.0 - rho**2)
    members = centre + spread * normals_between_days(warmth, corr, frame)
    return np.where(frame.past, told, members).astype(np.float32)
