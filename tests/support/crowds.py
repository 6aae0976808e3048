"""Mornings of many yards: all alike, or as different as they can be."""

from __future__ import annotations

from datetime import date
from random import Random
from typing import Any

import numpy as np
from support.mornings import advice, dark, days_on, fit, local_time, morning, poor, use, yard

from windowcast.terms.advice import CAP_THUNDER, Blind, Morning, WindowScore, WindTurn
from windowcast.terms.outlook import PAST, Hazard

ZONES = ("America/Boise", "America/Los_Angeles")
CREDIT = "Weather data by Example Service (CC BY 4.0)"


def crowd(count: int, *, windows: int = 2) -> Morning:
    """Yards that differ only in the hours of their run."""

    def hours(number: int) -> tuple[int, int]:
        kind = number % windows
        return 7 + kind % 2, 10 + kind // 2

    return morning(
        advice(f"yard-{n}", *(fit(day, hours(n)) for day in days_on(7))) for n in range(count)
    )


def varied(count: int, seed: int, **changes: Any) -> Morning:
    """Yards that differ in everything, one in seven of them blind, from several sources."""
    dice = Random(seed)
    dim = count // 7
    items = []
    for number in range(count - dim):
        tz = ZONES[number % 3 == 0]
        scores = [_any_day(dice, day, tz) for day in days_on(10)]
        items.append(advice(yard(f"yard-number-{number}", tz=tz, nucs=number % 2), *scores))
    grids = tuple(
        use(age_h=13 + n / 10, detail=f"grid BOI {n},84", derived=frozenset({"sun_wm2"}))
        for n in range(9)
    )
    facts = {
        "blind": [
            Blind(key=f"blind-{n}", why=f"nws: no answer for yard blind-{n} in 3 tries (last: {n})")
            for n in range(dim)
        ],
        "sources": (
            *grids,
            use("station_daily", kind=PAST, age_h=30.0, spread=True),
            use("example", age_h=None, credit=CREDIT),
        ),
        "remarks": tuple(f"nws: station K{n} told no hours of the past week" for n in range(7)),
    }  # fmt: skip
    return morning(items, **(facts | changes))


def _any_day(dice: Random, day: date, tz: str) -> WindowScore:
    kind = dice.random()
    if kind < 0.6:
        return _any_fit(dice, day, tz)
    if kind < 0.9:
        return poor(
            day,
            dice.choice(("temperature", "rain", "wind", "flight")),
            day_low_c=dice.uniform(-5, 12),
            day_high_c=dice.uniform(2, 14),
            usable_hours=dice.choice((0, 0, 1)),
            rain_mm=dice.choice((0.0, 2.0, 0.1)),
        )
    return dark(day)


def _any_fit(dice: Random, day: date, tz: str) -> WindowScore:
    start = dice.randint(8, 11)
    turn = WindTurn(
        hour=local_time(day, start + 1, tz),
        before_deg=dice.uniform(0, 360),
        wind_from_deg=dice.uniform(0, 360),
    )
    first = np.datetime64(f"{day.isoformat()}T15", "h")
    hazard = Hazard(
        phenomenon=dice.choice(("HW", "WW", "FW", "ZZ")), significance="W", first=first, count=3
    )
    return fit(
        day,
        (start, dice.randint(start + 2, 17)),
        tz=tz,
        verdict=dice.choice(("good", "workable")),
        wind_from_deg=dice.choice((None, dice.uniform(0, 360), dice.uniform(0, 360))),
        wind_mps=dice.uniform(0, 5),
        gust_mps=dice.uniform(4, 10),
        temp_low_c=dice.uniform(1, 4),
        temp_high_c=dice.uniform(4, 9),
        ice=dice.random() < 0.1,
        caps=(CAP_THUNDER,) if dice.random() < 0.2 else (),
        wind_turns=(turn,) if dice.random() < 0.3 else (),
        hazards=(hazard,) if dice.random() < 0.2 else (),
    )
