"""Every hour of one yard-day with the parts that made its score."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

import numpy as np

from windowcast.advise import scored, told
from windowcast.science.air import flight_frac
from windowcast.science.scoring import ScoredDays
from windowcast.terms.advice import (
    FLIGHT,
    LIGHT,
    PART_CODES,
    RAIN,
    TEMPERATURE,
    WIND,
    HourScore,
    Part,
)
from windowcast.terms.outlook import Batch, Floats, Origin, Outlook
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Crew
from windowcast.times import as_datetime


def explained(
    batch: Batch, day: date, crews: Sequence[Crew], practice: Practice, now: datetime
) -> tuple[HourScore, ...]:
    """Every hour of one local day of the first yard of a batch, with the parts of its score.

    Parameters
    ----------
    batch, crews, practice, now
        As in ``scored``; the first yard is explained.
    day
        Local date.

    Returns
    -------
    tuple of HourScore
        23, 24 or 25 hours, fewer where the hour index ends inside the day.
    """
    result = scored(batch, (day,), crews, practice, now)
    inside = result.slots.inside[0, 0]
    weather = {name: array[0, 0] for name, array in batch.arrays.items()}
    outlook = batch.outlooks[0]
    lines = []
    for slot in np.flatnonzero(inside):
        at = int(result.slots.index[0, 0, slot])
        origin = _origin_at(outlook, batch.hours[at])
        score = told(result.hour_score[0, 0, at])
        lines.append(
            HourScore(
                hour=as_datetime(batch.hours[at]),
                parts=_parts(result, weather, at, practice),
                score=score,
                usable=bool(result.usable[0, 0, 0, slot]),
                working=bool(result.working[0, 0, 0, slot]),
                origin=origin,
            )
        )
    return tuple(lines)


def _origin_at(outlook: Outlook, hour: np.datetime64) -> Origin | None:
    place = int((hour - outlook.hours[0]).astype(np.int64)) if outlook.hours.size else -1
    if not 0 <= place < outlook.hours.size or outlook.origin_of_hour[place] < 0:
        return None
    return outlook.origins[int(outlook.origin_of_hour[place])]


def _parts(
    result: ScoredDays, weather: Mapping[str, Floats], at: int, practice: Practice
) -> tuple[Part, ...]:
    """The parts of one hour; a part's value is what its credit rests on."""
    hour = {name: array[at].astype(np.float64) for name, array in weather.items()}
    flight = result.lit_frac[0, 0, at] * flight_frac(
        hour["temp_c"], hour["wind_mps"], hour["sun_wm2"], hour["cloud_frac"], practice.flight
    )
    amount, chance = told(hour["rain_mm"]), told(hour["rain_prob_frac"])
    by_chance = amount is None or (
        amount < practice.rain.wet_from_mm and result.credits[RAIN][0, 0, at] == 0.0
    )
    rain = (chance, "chance") if by_chance else (amount, "mm")
    values = {
        TEMPERATURE: (told(weather["temp_c"][at]), "C"),
        RAIN: rain,
        WIND: (told(weather["wind_mps"][at]), "m/s"),
        LIGHT: (float(result.lit_frac[0, 0, at]), "lit"),
        FLIGHT: (told(flight), "flight"),
    }
    return tuple(
        Part(
            code=code,
            value=values[code][0],
            unit=values[code][1],
            credit=told(result.credits[code][0, 0, at]),
        )
        for code in PART_CODES
    )
