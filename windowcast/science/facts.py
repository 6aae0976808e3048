"""What a person wants to know of a run: how warm, which wind, whether it turns, rain, ice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from windowcast.science.air import mean_direction_deg, turn_deg
from windowcast.terms.outlook import Floats
from windowcast.times import Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A turn of the wind at the n-th hour of a run: mean directions before it and after it."""

    at: int
    before_deg: float
    from_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFacts:
    """Facts of one yard-day."""

    temp_low_c: float | None
    temp_high_c: float | None
    day_low_c: float | None
    day_high_c: float | None
    wind_mps: float | None
    gust_mps: float | None
    wind_from_deg: float | None
    turns: tuple[Turn, ...]
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
        Run: temperature range, mean wind, strongest gust, mean direction, turns.
        Working hours:
        temperature range, rain as a sum, greatest chance. Ice: in the run, or in the working hours
        where there is no run.

    Notes
    -----
    Rule of this project: temperatures are those at the start of each hour.
    """
    touched = run if run.size else working
    return RunFacts(
        temp_low_c=lowest(weather["temp_c"][run]),
        temp_high_c=highest(weather["temp_c"][run]),
        day_low_c=lowest(weather["temp_c"][working]),
        day_high_c=highest(weather["temp_c"][working]),
        wind_mps=_mean(weather["wind_mps"][run]),
        gust_mps=highest(weather["gust_mps"][run]),
        wind_from_deg=mean_direction_deg(weather["wind_from_deg"][run], weather["wind_mps"][run]),
        turns=wind_turns(weather["wind_from_deg"][run], weather["wind_mps"][run], swing_deg),
        rain_mm=_sum(weather["rain_mm"][working]),
        rain_prob_frac=highest(weather["rain_prob_frac"][working]),
        ice=bool(
            np.any(weather["ice_mm"][touched] > 0) or np.any(weather["freezing_rain"][touched] > 0)
        ),
    )


def wind_turns(from_deg: Floats, wind_mps: Floats, swing_deg: float) -> tuple[Turn, ...]:
    """Where in a run the wind leaves the side where it was.

    Parameters
    ----------
    from_deg, wind_mps
        Where the wind comes from [deg] and how strong it is [m/s], shape (hour,). Calm hours and
        hours without a direction have no side.
    swing_deg
        Most that the directions on one side may lie apart. [deg]

    Returns
    -------
    tuple of Turn
        In the order of time, none where all hours lie within ``swing_deg``.

    Notes
    -----
    Rule of this project: hours are taken one after the other; the side changes at the first hour
    that lies more than ``swing_deg`` from any hour since the last change.
    """
    sides: list[list[int]] = []
    for hour in np.flatnonzero(np.isfinite(from_deg) & (wind_mps > 0.0)).tolist():
        if sides and np.all(turn_deg(from_deg[hour], from_deg[sides[-1]]) <= swing_deg):
            sides[-1].append(hour)
        else:
            sides.append([hour])
    means = [_side_deg(from_deg[side]) for side in sides]
    return tuple(
        Turn(at=side[0], before_deg=before, from_deg=after)
        for side, before, after in zip(sides[1:], means, means[1:], strict=False)
    )


def _side_deg(from_deg: Floats) -> float:
    """Mean direction of hours on one side; they never cancel unless a swing of 180 is allowed."""
    mean = mean_direction_deg(from_deg, np.ones_like(from_deg))
    return float(from_deg[0]) if mean is None else mean


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
