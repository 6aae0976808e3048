"""One yard-day laid open, and the sentences that its text and its document share."""

from __future__ import annotations

from typing import Protocol

from windowcast.terms.advice import (
    CAP_RAIN_UNTOLD,
    CAP_THUNDER,
    CAP_WARNING,
    FLIGHT,
    GOOD,
    LIGHT,
    RAIN,
    TEMPERATURE,
    WIND,
    WORKABLE,
    HourScore,
    Part,
    WindowScore,
)
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Yard
from windowcast.wording import clock
from windowcast.wording.hazards import hazard_words
from windowcast.wording.plain import capital, joined, plural

SECTIONS = ("temperature", "rain", "wind", "flight", "day")
PART_WORDS = {TEMPERATURE: "air", RAIN: "rain", WIND: "wind", LIGHT: "light", FLIGHT: "flight"}
_CAP_WORDS = {
    CAP_THUNDER: "thunder is told inside the run",
    CAP_WARNING: "an official warning touches the run",
    CAP_RAIN_UNTOLD: "rain is not told for every hour of the run",
}


class Account(Protocol):
    """One yard-day laid open: its score and every hour with its parts."""

    @property
    def yard(self) -> Yard:
        """The yard, with its zone."""

    @property
    def score(self) -> WindowScore:
        """The day's score."""

    @property
    def hours(self) -> tuple[HourScore, ...]:
        """Every hour of the day."""


def zone_of(account: Account) -> str:
    """The zone of the account's yard."""
    return account.yard.tz or "UTC"


def standing(hour: HourScore, score: WindowScore, practice: Practice) -> str:
    """Whether an hour counts, and if not, why."""
    if score.start is not None and score.end is not None and score.start <= hour.hour < score.end:
        return "in the run"
    if hour.usable:
        return "usable"
    stops = [PART_WORDS.get(part.code, part.code) for part in hour.parts if _stops(part, practice)]
    return f"no: {joined(stops)}" if stops else "no: past"


def _stops(part: Part, practice: Practice) -> bool:
    least = practice.temperature.edge_credit if part.code == TEMPERATURE else 0.0
    if part.credit is None:
        return part.code in (TEMPERATURE, WIND)
    return part.credit == 0.0 or part.credit < least


def day_sentences(account: Account, practice: Practice) -> list[str]:
    """How the hours made the day: the run, the mean of its best hours, the limits, the caps."""
    score, day = account.score, practice.day
    least = plural(int(day.min_run_h), "hour")
    if score.start is None or score.end is None:
        run = "No hour is usable, so there is no run and the day scores 0."
    else:
        span = clock.span(score.start, score.end, zone_of(account))
        run = f"Best run: {span}, {plural(score.usable_hours, 'hour')}."
        run += (
            _mean(account, practice)
            if score.usable_hours >= day.min_run_h
            else (f" It is shorter than {least}, so the day scores 0.")
        )
    limits = f"{capital(GOOD)} is from {day.good_from:g}, {WORKABLE} from {day.workable_from:g}."
    caps = [f"At most {WORKABLE}: {_CAP_WORDS.get(cap, cap)}." for cap in score.caps]
    alarms = dict.fromkeys(hazard_words(hazard) for hazard in score.hazards)
    hazards = [f"Official: {joined(list(alarms))}."] if alarms else []
    limit = PART_WORDS.get(score.limited_by or "", score.limited_by)
    costs = [f"What costs most over the working hours: {limit}."] if limit else []
    return [run, f"{limits} The day is {score.verdict}.", *caps, *hazards, *costs]


def _mean(account: Account, practice: Practice) -> str:
    tz, count = zone_of(account), int(practice.day.min_run_h)
    best = sorted(account.score.hour_scores, key=lambda item: -item[1])[:count]
    if len(best) < count:
        return f" The day's score is {account.score.score:.3f}."
    hours = joined([f"{clock.at(hour, tz)} {value:.3f}" for hour, value in sorted(best)])
    return (
        f" The day's score is the mean of its best {plural(count, 'hour')},"
        f" {hours}: {account.score.score:.3f}."
    )
