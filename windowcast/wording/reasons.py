"""Why a yard-day is not good, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from windowcast.terms.advice import (
    BLIND,
    CAP_RAIN_UNTOLD,
    CAP_THUNDER,
    CAP_WARNING,
    FLIGHT,
    GOOD,
    LIGHT,
    POOR,
    RAIN,
    TEMPERATURE,
    WIND,
    WORKABLE,
    WindowScore,
)
from windowcast.wording.plain import plural
from windowcast.wording.scale import depth, percent, temperatures
from windowcast.wording.view import View

_STOPS = {RAIN: "rain", WIND: "too windy", LIGHT: "too little daylight", FLIGHT: "bees flying"}
_HOLDS = {RAIN: "chance of rain", WIND: "wind", LIGHT: "short daylight", FLIGHT: "bees flying"}
_CAPS = {
    CAP_THUNDER: "thunder",
    CAP_WARNING: "an official warning",
    CAP_RAIN_UNTOLD: "rain not told for every hour",
}

NO_CREW = "no crew at work"
NO_LIGHT = "no daylight in working hours"
TOO_LATE = "too late in the day"
_ONLY = ", only "
UNTOLD = "not told that day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """What stands against a yard-day: the part or rule behind it and a short phrase."""

    code: str
    phrase: str


def reason_of(score: WindowScore, view: View) -> Reason | None:
    """Why a yard-day is not good; None for a good one."""
    if score.verdict == GOOD:
        return None
    if score.verdict == BLIND:
        return Reason(code="blind", phrase=UNTOLD)
    if score.verdict == WORKABLE:
        return _held(score, view)
    return _stopped_by_clock(score, view) or _stopped(score, view)


def _stopped_by_clock(score: WindowScore, view: View) -> Reason | None:
    least = view.morning.practice.day.min_run_h
    if score.working_h == 0:
        on_duty = any(score.day.weekday() in crew.weekdays for crew in view.morning.crews)
        return Reason(code="crew", phrase=NO_LIGHT if on_duty else NO_CREW)
    if score.ahead_h < least and score.ahead_h < score.working_h:
        if score.ahead_h == 0:
            return Reason(code="late", phrase=TOO_LATE)
        return Reason(code="late", phrase=f"under {least:g} working hours left")
    return _stopped_by_silence(score, view, least)


def _stopped_by_silence(score: WindowScore, view: View, least_h: float) -> Reason | None:
    """A run that may be too short only because the forecast leaves hours of the day untold."""
    if not score.usable_hours < least_h <= score.usable_hours + score.untold_h:
        return None
    phrase = f"{score.untold_h} of {plural(score.ahead_h, 'working hour')} not told"
    if score.usable_hours or score.limited_by is None:
        return Reason(code="untold", phrase=phrase)
    return Reason(code=score.limited_by, phrase=f"{_stop(score, view)}, {phrase}")


def _stopped(score: WindowScore, view: View) -> Reason:
    code = score.limited_by or "short"
    short = 0 < score.usable_hours < view.morning.practice.day.min_run_h
    words = plural(score.usable_hours, "hour")
    if code == "short":
        return Reason(code=code, phrase=f"only {words} at a stretch" if short else "too few hours")
    phrase = _stop(score, view)
    return Reason(code=code, phrase=f"{phrase}{_ONLY}{words} at a stretch" if short else phrase)


def _stop(score: WindowScore, view: View) -> str:
    """What the part that costs most does to a day."""
    code = score.limited_by or ""
    return _temperature(score, view) if code == TEMPERATURE else _STOPS.get(code, code)


def _held(score: WindowScore, view: View) -> Reason | None:
    """What keeps a day from being good: the caps first, for they alone may do it."""
    phrases = [_CAPS.get(cap, cap) for cap in score.caps]
    if score.limited_by == TEMPERATURE:
        phrases.append(_mildly(score, view))
    elif score.limited_by is not None:
        phrases.append(_HOLDS.get(score.limited_by, score.limited_by))
    code = score.limited_by or next(iter(score.caps), "")
    return Reason(code=code, phrase=", ".join(phrases)) if phrases else None


def _temperature(score: WindowScore, view: View) -> str:
    """Too cold or too warm, by the limits of the day's temperatures."""
    low, high = score.day_low_c, score.day_high_c
    if low is None or high is None:
        return "temperature"
    limits = view.morning.practice.temperature
    cold, warm = low < limits.edge_low_c, high > limits.edge_high_c
    if cold and warm:
        return "too cold or too warm by turns"
    if cold or warm:
        return "too cold" if cold else "too warm"
    return "rather cold" if _colder(score, view) else "rather warm"


def _mildly(score: WindowScore, view: View) -> str:
    """What the temperature does to a day that can be worked: some hours are lost or lessened."""
    low, high = score.day_low_c, score.day_high_c
    if low is None or high is None:
        return "temperature"
    limits = view.morning.practice.temperature
    cold, warm = low < limits.edge_low_c, high > limits.edge_high_c
    if cold and warm:
        return "some hours too cold, some too warm"
    if cold or warm:
        return "some hours too cold" if cold else "some hours too warm"
    return "rather cold" if _colder(score, view) else "rather warm"


def _colder(score: WindowScore, view: View) -> bool:
    limits = view.morning.practice.temperature
    low, high = score.day_low_c or 0.0, score.day_high_c or 0.0
    return limits.best_low_c - low > high - limits.best_high_c


def numbers(code: str, scores: Sequence[WindowScore], view: View) -> str:
    """The numbers behind a reason over some yards, in brackets with a space before, or ""."""
    if code == TEMPERATURE:
        lows = [s.day_low_c for s in scores if s.day_low_c is not None]
        highs = [s.day_high_c for s in scores if s.day_high_c is not None]
        return f" ({temperatures(min(lows), max(highs), view.scale)})" if lows and highs else ""
    if code == RAIN:
        told = [*_rain_amount(scores, view), *_rain_chance(scores)]
        return f" ({', '.join(told)})" if told else ""
    return ""


def _rain_amount(scores: Sequence[WindowScore], view: View) -> list[str]:
    most = max((s.rain_mm for s in scores if s.rain_mm is not None), default=0.0)
    return [depth(most, view.scale)] if most > 0.0 else []


def _rain_chance(scores: Sequence[WindowScore]) -> list[str]:
    told = [s.rain_prob_frac for s in scores if s.rain_prob_frac is not None]
    return [f"{percent(max(told))} chance"] if told else []


def against(scores: Sequence[WindowScore], view: View) -> list[tuple[Reason, list[WindowScore]]]:
    """Yard-days that are poor, by reason, the reason of most yards first."""
    groups: dict[Reason, list[WindowScore]] = {}
    for score in scores:
        if score.verdict == POOR and (reason := reason_of(score, view)) is not None:
            groups.setdefault(reason, []).append(score)
    return sorted(groups.items(), key=lambda item: (-len(item[1]), item[0].phrase))


def broad(scores: Sequence[WindowScore], view: View) -> list[tuple[str, list[WindowScore]]]:
    """The same by the reason alone, without the hours that are left: for counting."""
    groups: dict[str, list[WindowScore]] = {}
    for reason, members in against(scores, view):
        groups.setdefault(reason.phrase.partition(_ONLY)[0], []).extend(members)
    return sorted(groups.items(), key=lambda item: (-len(item[1]), item[0]))
