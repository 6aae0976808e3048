"""What must be said aloud on the day that a crew may go out: codes, which wording turns to text.

The codes stand in the order in which they are told, label and law first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from windowcast.terms.advice import FLIGHT, PART_CODES, Advice, OutfitDay, WindowScore
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Yard

(
    LABEL, DOSE, MASK, EYES, SYMPTOMS, FIRST_AID, PARTNER, OTHERS, FATIGUE,
    UPWIND, SWING, STILL_AIR, ICE, SOFT_LANE, POWER, HOT_METAL, FIRE_WEATHER, BEES,
) = CAUTIONS = (
    "label", "dose", "mask", "eyes", "symptoms", "first_aid", "partner", "others", "fatigue",
    "upwind", "swing", "still_air", "ice", "soft_lane", "power", "hot_metal", "fire_weather",
    "bees",
)  # fmt: skip

FIRE_PHENOMENON = "FW"  # VTEC, fire weather (NWS Directive 10-1703)

_ALWAYS = frozenset({MASK, EYES, SYMPTOMS, FIRST_AID, PARTNER, OTHERS})


def chosen_day(days: Sequence[OutfitDay], today: date) -> OutfitDay | None:
    """The day that a notice speaks about first.

    Parameters
    ----------
    days
        Ranked days.
    today
        Local date of the morning.

    Returns
    -------
    OutfitDay or None
        Today if any yard can be treated today, else the best-ranked day on which one can, else
        the best-ranked day; None without days.

    Notes
    -----
    Rule of this project: a window that is open today is worth more than a promise.
    """
    ordered = sorted(days, key=lambda day: (day.day != today, day.rank))
    return next(
        (day for day in ordered if day.served), min(days, key=lambda day: day.rank, default=None)
    )


def cautions_for(
    advice: Sequence[Advice],
    days: Sequence[OutfitDay],
    *,
    today: date | None = None,
    practice: Practice | None = None,
    rain_before_mm: Mapping[str, float] | None = None,
) -> tuple[str, ...]:
    """Codes of the cautions that the chosen day calls for, label and law first.

    Parameters
    ----------
    advice
        Advice of every yard that has a forecast.
    days
        Ranked days.
    today
        Local date of the morning; the first of the days if not given.
    practice
        Thresholds; the defaults if not given.
    rain_before_mm
        Rain of the 24 h before the work by yard key, where it is known. [mm]

    Returns
    -------
    tuple of str
        From ``CAUTIONS``, in that order. Only ``label`` when nobody goes out.

    Notes
    -----
    Rule of this project: the day's facts at the yards that can be treated decide what is said.
    """
    limits = practice or Practice()
    chosen = chosen_day(days, today or min((day.day for day in days), default=date.min))
    going = [] if chosen is None else _going(advice, chosen)
    if not going:
        return (LABEL,)
    yards = [item.yard for item, _ in going]
    scores = [score for _, score in going]
    wet = any(_wet(item, score, limits, rain_before_mm or {}) for item, score in going)
    said = {LABEL} | _ALWAYS | _work(yards, limits) | _air(scores, limits)
    said |= _ground(scores, wet, limits)
    return tuple(code for code in CAUTIONS if code in said)


def _going(advice: Sequence[Advice], chosen: OutfitDay) -> list[tuple[Advice, WindowScore]]:
    return [
        (item, score)
        for item in advice
        if item.yard.key in chosen.served
        for score in item.scores
        if score.day == chosen.day
    ]


def _work(yards: Sequence[Yard], practice: Practice) -> set[str]:
    kinds = [sum(counts) for counts in zip(*map(_hives_by_kind, yards), strict=True)]
    mixed = {DOSE} if sum(count > 0 for count in kinds) > 1 else set()
    return mixed | ({FATIGUE} if sum(kinds) > practice.caution.hives_measured else set())


def _hives_by_kind(yard: Yard) -> tuple[int, ...]:
    return (yard.doubles, yard.singles, yard.nucs, yard.nucs_above)


def _air(scores: Sequence[WindowScore], practice: Practice) -> set[str]:
    said = {
        UPWIND: any(_windy(score, practice) for score in scores),
        SWING: any(score.wind_turns for score in scores),
        STILL_AIR: any(
            score.wind_mps is not None and score.wind_mps <= practice.caution.still_to_mps
            for score in scores
        ),
        BEES: any(_flying(score) for score in scores),
    }
    return {code for code, called in said.items() if called}


def _windy(score: WindowScore, practice: Practice) -> bool:
    wind, gust = score.wind_mps or 0.0, score.gust_mps or 0.0
    return wind > practice.wind.calm_to_mps or gust >= practice.wind.none_from_mps


def _flying(score: WindowScore) -> bool:
    credit = score.mean_credits[PART_CODES.index(FLIGHT)]
    return credit is not None and credit < 1.0


def _ground(scores: Sequence[WindowScore], wet: bool, practice: Practice) -> set[str]:
    icy = any(score.ice or _frosty(score, practice) for score in scores)
    fire = any(hazard.phenomenon == FIRE_PHENOMENON for score in scores for hazard in score.hazards)
    said = {
        ICE: icy,
        SOFT_LANE: wet,
        POWER: wet or icy,
        HOT_METAL: fire or not (wet or icy),
        FIRE_WEATHER: fire,
    }
    return {code for code, called in said.items() if called}


def _frosty(score: WindowScore, practice: Practice) -> bool:
    return score.day_low_c is not None and score.day_low_c <= practice.caution.frost_to_c


def _wet(
    item: Advice, score: WindowScore, practice: Practice, rain_before_mm: Mapping[str, float]
) -> bool:
    eve = score.day - timedelta(days=1)
    near = [other for other in item.scores if other.day in (eve, score.day)]
    fallen = [other.rain_mm or 0.0 for other in near] + [rain_before_mm.get(item.yard.key, 0.0)]
    likely = (score.rain_prob_frac or 0.0) >= practice.rain.likely_from_frac
    return likely or any(rain > 0.0 for rain in fallen)
