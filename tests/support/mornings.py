"""Mornings made by hand: what a notice is given, without any weather behind it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from windowcast.planning.cautions import cautions_for
from windowcast.planning.ranking import ranked_days
from windowcast.terms.advice import (
    CAP_THUNDER,
    Advice,
    Blind,
    Morning,
    SourceUse,
    WindowScore,
    WindTurn,
)
from windowcast.terms.outlook import FORECAST, Origin
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Crew, Yard
from windowcast.times import local_date, zone
from windowcast.units import f_to_c, mph_to_mps

TZ = "America/Boise"
DAY = date(2027, 1, 12)  # a Tuesday
NOW = datetime(2027, 1, 12, 13, tzinfo=UTC)  # 06:00 MST
CREW = Crew(name="A", start=time(8), end=time(17), weekdays=frozenset(range(7)))
SCORES = {"good": 0.9, "workable": 0.6, "poor": 0.0, "blind": 0.0}


def yard(key: str, **changes: Any) -> Yard:
    """A yard of the invented outfit."""
    facts = {
        "key": key, "name": key.replace("-", " ").title(), "lat_deg": 43.5, "lon_deg": -116.5,
        "elev_m": 800.0, "tz": TZ, "doubles": 12,
    }  # fmt: skip
    return Yard(**(facts | changes))


def local_time(day: date, hour: int, tz: str = TZ) -> datetime:
    """A full hour of a local day as an instant in UTC; hour 24 is the next midnight."""
    there = datetime.combine(day + timedelta(days=hour // 24), time(hour % 24), tzinfo=zone(tz))
    return there.astimezone(UTC)


def fit(
    day: date = DAY, hours: tuple[int, int] = (8, 12), *, tz: str = TZ, **changes: Any
) -> WindowScore:
    """A yard-day that can be treated, good unless changed."""
    start, end = (local_time(day, hour, tz) for hour in hours)
    count = int((end - start) / timedelta(hours=1))
    verdict = changes.get("verdict", "good")
    facts = {
        "yard_key": "", "day": day, "verdict": "good", "score": SCORES[verdict],
        "usable_hours": count, "start": start, "end": end,
        "limited_by": "temperature" if verdict == "workable" else None,
        "mean_credits": (0.95, 1.0, 1.0, 1.0, 1.0), "working_h": 9, "ahead_h": 9,
        "temp_low_c": f_to_c(38), "temp_high_c": f_to_c(44), "day_low_c": f_to_c(36),
        "day_high_c": f_to_c(50), "wind_mps": mph_to_mps(5), "gust_mps": mph_to_mps(9),
        "wind_from_deg": 270.0, "rain_mm": 0.0, "rain_prob_frac": 0.0,
        "hour_scores": tuple(
            (start + timedelta(hours=n), SCORES[verdict]) for n in range(count)
        ),
    }  # fmt: skip
    return WindowScore(**(facts | changes))


def poor(day: date = DAY, limited_by: str | None = "temperature", **changes: Any) -> WindowScore:
    """A yard-day that cannot be treated, too warm unless changed."""
    facts = {
        "yard_key": "", "day": day, "verdict": "poor", "score": 0.0, "usable_hours": 0,
        "start": None, "end": None, "limited_by": limited_by,
        "mean_credits": (0.2, 1.0, 1.0, 1.0, 1.0), "working_h": 9, "ahead_h": 9,
        "day_low_c": f_to_c(52), "day_high_c": f_to_c(63), "rain_mm": 0.0, "rain_prob_frac": 0.0,
    }  # fmt: skip
    return WindowScore(**(facts | changes))


def dark(day: date = DAY) -> WindowScore:
    """A yard-day of which nothing is known."""
    return poor(
        day, None, verdict="blind", mean_credits=(None,) * 5, day_low_c=None, day_high_c=None
    )


def advice(where: Yard | str, *scores: WindowScore) -> Advice:
    """Advice for a yard, its scores made to be that yard's."""
    place = yard(where) if isinstance(where, str) else where
    return Advice(yard=place, scores=tuple(replace(score, yard_key=place.key) for score in scores))


def use(
    name: str = "nws", *, age_h: float | None = 1.0, hours: int = 240, **changes: Any
) -> SourceUse:
    """How a source was used; a forecast of 1 h ago unless changed."""
    issued = None if age_h is None else NOW - timedelta(hours=age_h)
    facts = {"name": name, "kind": FORECAST, "issued_at": issued}
    return SourceUse(origin=Origin(**(facts | changes)), hours=hours, age_h=age_h)


def morning(items: Iterable[Advice], *, blind: Sequence[Blind] = (), **changes: Any) -> Morning:
    """A morning over some advice, ranked and cautioned as the program does it."""
    told = tuple(items)
    now = changes.get("issued_at", NOW)
    tz = changes.get("tz", TZ)
    days = ranked_days(told, Practice().day)
    facts = {
        "issued_at": now, "outfit": "Vellamoor Bees", "tz": tz,
        "yards": (*(item.yard for item in told), *(yard(item.key) for item in blind)),
        "crews": (CREW,), "advice": told, "days": days, "blind": tuple(blind),
        "sources": (use(),), "cautions": cautions_for(told, days, today=local_date(now, tz)),
        "remarks": (), "practice": Practice(),
    }  # fmt: skip
    return Morning(**(facts | changes))


def days_on(count: int, first: date = DAY) -> list[date]:
    """Some days in a row."""
    return [first + timedelta(days=n) for n in range(count)]


def usual() -> Morning:
    """Five yards, four days: two windows, one windy yard, one blind, thunder at one."""
    today, second, third, fourth = days_on(4)
    turn = WindTurn(hour=local_time(today, 10), before_deg=270.0, wind_from_deg=10.0)
    warm, windy = poor(second), poor(today, "wind", day_low_c=f_to_c(38), day_high_c=f_to_c(46))
    late = fit(today, (9, 11), verdict="workable", wind_turns=(turn,), caps=(CAP_THUNDER,))
    wet = poor(third, "rain", rain_mm=4.2, rain_prob_frac=0.8)
    return morning(
        [
            advice("kiln", fit(today), warm, wet, fit(fourth, (8, 13))),
            advice("mill-ditch", fit(today), warm, wet, fit(fourth, (8, 13))),
            advice("quarry-bench", late, warm, wet, fit(fourth, (9, 13))),
            advice("heron-slough", windy, warm, wet, fit(fourth, (8, 12))),
        ],
        blind=[Blind(key="dry-fork", why="nws: no answer for yard dry-fork in 3 tries")],
        sources=(use(age_h=21.2, detail="grid BOI 59,84", derived=frozenset({"sun_wm2"})),),
    )
