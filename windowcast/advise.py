"""Top of the core: from hourly weather of some yards to advice for each.

``scored`` works on arrays and serves any number of yards; ``advise`` turns it into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

import numpy as np

from windowcast.planning.lead_days import is_lead_day
from windowcast.planning.ranking import SCORE_DECIMALS, verdict_of, worse_of
from windowcast.planning.working import working_hours
from windowcast.science.days import day_slots
from windowcast.science.facts import RunFacts, run_facts
from windowcast.science.scoring import ScoredDays, scored_days
from windowcast.science.sun import light_frac
from windowcast.science.window import rain_untold
from windowcast.terms.advice import (
    BLIND,
    CAP_RAIN_UNTOLD,
    CAP_THUNDER,
    CAP_WARNING,
    CAPS,
    GOOD,
    PART_CODES,
    WORKABLE,
    Advice,
    WindowScore,
    WindTurn,
)
from windowcast.terms.outlook import Batch, Bools, Floats, Hazard
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Crew
from windowcast.times import (
    Hours,
    Ints,
    as_datetime,
)

WARNING = "W"  # VTEC significance of a warning (NWS Directive 10-1703)


def scored(
    batch: Batch, days: Sequence[date], crews: Sequence[Crew], practice: Practice, now: datetime
) -> ScoredDays:
    """Score every hour and day of a batch.

    Parameters
    ----------
    batch
        Weather of some yards, arrays (yard, member, hour).
    days
        Local dates wanted.
    crews
        Who works when.
    practice
        Thresholds.
    now
        Hours that begin before it are not usable.

    Returns
    -------
    ScoredDays
        Arrays for all yards, members and days.
    """
    zones = [str(yard.tz) for yard in batch.yards]
    places = [(y.lat_deg, y.lon_deg, tz) for y, tz in zip(batch.yards, zones, strict=True)]
    lit = light_frac(places, batch.hours)
    by_zone = {tz: working_hours(batch.hours, tz, crews) for tz in set(zones)}
    at_work = np.array([by_zone[tz] for tz in zones])
    now_s = np.datetime64(int(np.ceil(now.timestamp())), "s")
    return scored_days(
        batch.arrays,
        lit[:, np.newaxis],
        at_work[:, np.newaxis],
        np.asarray(batch.hours.astype("datetime64[s]") >= now_s),
        day_slots(batch.hours, zones, days),
        practice,
    )


def advise(
    batch: Batch, days: Sequence[date], crews: Sequence[Crew], practice: Practice, now: datetime
) -> tuple[Advice, ...]:
    """Advice for every yard of a batch with a deterministic forecast.

    Parameters
    ----------
    batch, days, crews, practice, now
        As in ``scored``.

    Returns
    -------
    tuple of Advice
        In the order of the batch; each with its lead days 0 to 9 in calendar order.

    Raises
    ------
    ValueError
        If the batch has more than one member.
    """
    if batch.arrays["temp_c"].shape[1] != 1:
        raise ValueError("advice in words is for a deterministic forecast of one member")
    result = scored(batch, days, crews, practice, now)
    return tuple(
        Advice(
            yard=yard,
            scores=tuple(
                _window_score(batch, result, (row, number), practice, now)
                for number, day in enumerate(days)
                if is_lead_day(day, yard, now)
            ),
            origins=outlook.origins,
            hours_by_origin=tuple(
                int(np.count_nonzero(outlook.origin_of_hour == number))
                for number in range(len(outlook.origins))
            ),
        )
        for row, (yard, outlook) in enumerate(zip(batch.yards, batch.outlooks, strict=True))
    )


def _window_score(
    batch: Batch, result: ScoredDays, at: tuple[int, int], practice: Practice, now: datetime
) -> WindowScore:
    row, number = at
    working = result.slots.index[row, number][result.working[row, 0, number]]
    run = result.slots.index[row, number][_run_mask(result, at)]
    weather = {name: array[row, 0] for name, array in batch.arrays.items()}
    facts = run_facts(weather, run, working, practice.wind.swing_deg)
    hazards = _hazards(batch, row, run if run.size else working)
    caps = _caps(weather, run, hazards)
    score = float(result.score[row, 0, number])
    ahead = working[[as_datetime(hour) >= now for hour in batch.hours[working]]]
    verdict = _verdict(score, caps, weather, _judged(result, at, working, ahead), practice)
    start, end = _bounds(batch.hours, run)
    means = tuple(told(result.mean_credits[code][row, 0, number]) for code in PART_CODES)
    return WindowScore(
        yard_key=batch.yards[row].key,
        day=result.slots.days[number],
        verdict=verdict,
        score=score,
        usable_hours=int(run.size),
        start=start,
        end=end,
        limited_by=None if verdict in (GOOD, BLIND) else _limited_by(means),
        mean_credits=means,
        working_h=int(working.size),
        ahead_h=int(ahead.size),
        untold_h=int(np.count_nonzero(~_seen(weather, ahead))),
        temp_low_c=facts.temp_low_c,
        temp_high_c=facts.temp_high_c,
        day_low_c=facts.day_low_c,
        day_high_c=facts.day_high_c,
        wind_mps=facts.wind_mps,
        gust_mps=facts.gust_mps,
        wind_from_deg=facts.wind_from_deg,
        wind_turns=_wind_turns(batch.hours, run, facts),
        rain_mm=facts.rain_mm,
        rain_prob_frac=facts.rain_prob_frac,
        caps=caps,
        ice=facts.ice,
        hazards=hazards,
        hour_scores=_hour_scores(batch.hours, result, row, run),
    )


def _judged(result: ScoredDays, at: tuple[int, int], working: Ints, ahead: Ints) -> Ints:
    """Hours that show whether a day is seen: those still to be worked, else the best there are."""
    row, number = at
    whole_day = result.slots.index[row, number][result.slots.inside[row, number]]
    return next((hours for hours in (ahead, working) if hours.size), whole_day)


def _bounds(hours: Hours, run: Ints) -> tuple[datetime | None, datetime | None]:
    if not run.size:
        return None, None
    return as_datetime(hours[run[0]]), as_datetime(hours[run[-1]] + np.timedelta64(1, "h"))


def _hour_scores(
    hours: Hours, result: ScoredDays, row: int, run: Ints
) -> tuple[tuple[datetime, float], ...]:
    return tuple((as_datetime(hours[i]), float(result.hour_score[row, 0, i])) for i in run)


def _run_mask(result: ScoredDays, at: tuple[int, int]) -> Bools:
    row, number = at
    slot = np.arange(result.slots.index.shape[-1])
    begin = result.runs.start[row, 0, number]
    return np.asarray((slot >= begin) & (slot < begin + result.runs.length[row, 0, number]))


def _verdict(
    score: float,
    caps: tuple[str, ...],
    weather: Mapping[str, Floats],
    judged: Ints,
    practice: Practice,
) -> str:
    """Blind where no hour that can still be worked is told; at most workable under a cap."""
    if not _seen(weather, judged).any():
        return BLIND
    verdict = verdict_of(score, practice.day)
    return worse_of(verdict, WORKABLE) if caps else verdict


def _seen(weather: Mapping[str, Floats], hours: Ints) -> Bools:
    """Whether temperature and wind are told, shape of ``hours``."""
    return np.isfinite(weather["temp_c"][hours]) & np.isfinite(weather["wind_mps"][hours])


def _caps(weather: Mapping[str, Floats], run: Ints, hazards: tuple[Hazard, ...]) -> tuple[str, ...]:
    """What keeps the day from being good, in the order of ``CAPS``."""
    if not run.size:
        return ()
    found = {
        CAP_THUNDER: bool(np.any(weather["thunder"][run] > 0)),
        CAP_WARNING: any(hazard.significance == WARNING for hazard in hazards),
        CAP_RAIN_UNTOLD: bool(
            rain_untold(weather["rain_mm"][run], weather["rain_prob_frac"][run]).any()
        ),
    }
    return tuple(code for code in CAPS if found[code])


def _hazards(batch: Batch, row: int, positions: Ints) -> tuple[Hazard, ...]:
    """Official hazards in force in any of these hours."""
    hours = batch.hours[positions]
    return tuple(
        hazard
        for hazard in batch.outlooks[row].hazards
        if np.any(
            (hours >= hazard.first) & (hours < hazard.first + np.timedelta64(hazard.count, "h"))
        )
    )


def _limited_by(means: tuple[float | None, ...]) -> str | None:
    """The part with the lowest mean credit; None where every told mean is 1 or none is told."""
    credits = [
        (round(mean, SCORE_DECIMALS), code)
        for code, mean in zip(PART_CODES, means, strict=True)
        if mean is not None
    ]
    lowest = min(credits, key=lambda pair: pair[0], default=(1.0, ""))
    return lowest[1] if lowest[0] < 1.0 else None


def _wind_turns(hours: Hours, run: Ints, facts: RunFacts) -> tuple[WindTurn, ...]:
    return tuple(
        WindTurn(
            hour=as_datetime(hours[run[turn.at]]),
            before_deg=turn.before_deg,
            wind_from_deg=turn.from_deg,
        )
        for turn in facts.turns
    )


def told(value: float) -> float | None:
    """A number out of an array, None where it is NaN.

    Parameters
    ----------
    value
        Element of an array.

    Returns
    -------
    float or None
        A plain float.
    """
    return float(value) if np.isfinite(value) else None
