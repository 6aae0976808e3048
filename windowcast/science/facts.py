"""What a person wants to know of a run: how warm, which wind, whether it turns, rain, ice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from windowcast.science.air import mean_direction_deg, turn_deg
from windowcast.terms.outlook import Floats
from windowcast.times import Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFacts:
    """Facts of one yard-day. ``turn_at`` is a position on the hour index, None without a turn."""

    temp_low_c: float | None
    temp_high_c: float | None
    day_low_c: float | None
    day_high_c: float | None
    wind_mps: float | None
    gust_mps: float | None
    wind_from_deg: float | None
    turn_at: int | None
    before_turn_deg: float | None
    rain_mm: float | None
    rain_prob_frac: float | None
    ice: bool


def run_facts(
    weather: Mapping[str, Floats], run: Ints, working: Ints, swing_deg: float
) -> RunFacts:
    """Facts of the run and of the working hours in light of one day.

    Parameters
    ----------
    weather
        Arrays by name of one yard and member, shape (hour,).
    run, working
        Positions of the hours of the run and of the working hours in light; either may be empty.
    swing_deg
        A turn of the wind by more than this counts. [deg]

    Returns
    -------
    RunFacts
        Run: temperature range, mean wind, strongest gust, mean direction over the whole run and
        before a turn, the turn. Working hours:
        temperature range, rain as a sum, greatest chance. Ice: in the run, or in the working hours
        where there is no run.

    Notes
    -----
    Rule of this project: temperatures are those at the start of each hour.
    """
    touched = run if run.size else working
    turn_at = _turn_at(weather, run, swing_deg)
    steady = run if turn_at is None else run[run < turn_at]
    return RunFacts(
        temp_low_c=lowest(weather["temp_c"][run]),
        temp_high_c=highest(weather["temp_c"][run]),
        day_low_c=lowest(weather["temp_c"][working]),
        day_high_c=highest(weather["temp_c"][working]),
        wind_mps=_mean(weather["wind_mps"][run]),
        gust_mps=highest(weather["gust_mps"][run]),
        wind_from_deg=mean_direction_deg(weather["wind_from_deg"][run], weather["wind_mps"][run]),
        turn_at=turn_at,
        before_turn_deg=mean_direction_deg(
            weather["wind_from_deg"][steady], weather["wind_mps"][steady]
        ),
        rain_mm=_sum(weather["rain_mm"][working]),
        rain_prob_frac=highest(weather["rain_prob_frac"][working]),
        ice=bool(
            np.any(weather["ice_mm"][touched] > 0) or np.any(weather["freezing_rain"][touched] > 0)
        ),
    )


def _turn_at(weather: Mapping[str, Floats], run: Ints, swing_deg: float) -> int | None:
    """The first hour whose wind has left the side where the run's first moving air came from."""
    moving = run[np.isfinite(weather["wind_from_deg"][run]) & (weather["wind_mps"][run] > 0.0)]
    if not moving.size:
        return None
    angles = weather["wind_from_deg"][moving]
    turned = np.flatnonzero(turn_deg(angles[0], angles) > swing_deg)
    return int(moving[turned[0]]) if turned.size else None


def lowest(values: Floats) -> float | None:
    """The least told value.

    Parameters
    ----------
    values
        Shape (hour,); NaN where not told.

    Returns
    -------
    float or None
        None where nothing is told.

    Notes
    -----
    Rule of this project: what is not told is left out.
    """
    told = values[np.isfinite(values)]
    return float(told.min()) if told.size else None


def highest(values: Floats) -> float | None:
    """The greatest told value.

    Parameters
    ----------
    values
        Shape (hour,); NaN where not told.

    Returns
    -------
    float or None
        None where nothing is told.

    Notes
    -----
    Rule of this project: what is not told is left out.
    """
    told = values[np.isfinite(values)]
    return float(told.max()) if told.size else None


def _mean(values: Floats) -> float | None:
    told = values[np.isfinite(values)].astype(np.float64)
    return float(told.mean()) if told.size else None


def _sum(values: Floats) -> float | None:
    told = values[np.isfinite(values)].astype(np.float64)
    return float(told.sum()) if told.size else None
