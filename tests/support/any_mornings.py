"""Mornings of any shape, with names that hold anything: for properties of notices."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
from hypothesis import strategies as st
from support.mornings import advice, dark, days_on, fit, local_time, morning, poor, use, yard

from windowcast.planning.cautions import CAUTIONS
from windowcast.terms.advice import CAPS, PART_CODES, Blind, Morning, WindowScore, WindTurn
from windowcast.terms.outlook import FORECAST, PAST, Hazard

ZONES = ("America/Boise", "America/Los_Angeles", "America/Sao_Paulo", "Asia/Kolkata")
names = st.text(max_size=60)
keys = st.text(min_size=1, max_size=40)
temperatures = st.floats(-60, 55) | st.none()
speeds = st.floats(0, 70) | st.none()
bearings = st.floats(0, 360) | st.none()
fractions = st.floats(0, 1)
hazards = st.builds(
    Hazard,
    phenomenon=st.sampled_from(("HW", "FW", "WS")) | st.text(max_size=20),
    significance=st.sampled_from(("W", "Y")) | st.text(max_size=5),
    first=st.just(np.datetime64("2027-01-12T15", "h")),
    count=st.integers(1, 9),
)


@st.composite
def fits(draw: st.DrawFn, day: date, tz: str) -> WindowScore:
    """Any yard-day that can be treated."""
    start = draw(st.integers(0, 21))
    turn = WindTurn(
        hour=local_time(day, start + 1, tz),
        before_deg=draw(st.floats(0, 360)),
        wind_from_deg=draw(st.floats(0, 360)),
    )
    verdict = draw(st.sampled_from(("good", "workable")))
    facts: dict[str, Any] = {
        "verdict": verdict,
        "limited_by": None if verdict == "good" else draw(st.none() | st.sampled_from(PART_CODES)),
        "wind_from_deg": draw(bearings), "wind_mps": draw(speeds), "gust_mps": draw(speeds),
        "temp_low_c": draw(temperatures), "temp_high_c": draw(temperatures),
        "day_low_c": draw(temperatures), "day_high_c": draw(temperatures),
        "ice": draw(st.booleans()),
        "wind_turns": draw(st.lists(st.just(turn), max_size=4).map(tuple)),
        "caps": tuple(sorted(draw(st.sets(st.sampled_from(CAPS))))),
        "hazards": tuple(draw(st.lists(hazards, max_size=2))),
    }  # fmt: skip
    return fit(day, (start, draw(st.integers(start + 2, 24))), tz=tz, **facts)


@st.composite
def poors(draw: st.DrawFn, day: date) -> WindowScore:
    """Any yard-day that cannot be treated, and any that is not told."""
    if draw(st.integers(0, 4)) == 0:
        return dark(day)
    return poor(
        day,
        draw(st.none() | st.sampled_from(PART_CODES)),
        day_low_c=draw(temperatures),
        day_high_c=draw(temperatures),
        rain_mm=draw(st.floats(0, 300) | st.none()),
        rain_prob_frac=draw(fractions | st.none()),
        usable_hours=draw(st.integers(0, 2)),
        working_h=draw(st.integers(0, 9)),
        ahead_h=draw(st.integers(0, 9)),
    )


@st.composite
def mornings(draw: st.DrawFn, most: int = 40) -> Morning:
    """Any morning of up to ``most`` yards; a few yard-days are shared to keep the draw small."""
    days = days_on(draw(st.integers(1, 10)))
    called = draw(st.lists(keys, max_size=most, unique=True))
    seen = draw(st.integers(0, len(called)))
    plans = [
        (tz, [draw(fits(day, tz) | poors(day)) for day in days])
        for tz in draw(st.lists(st.sampled_from(ZONES), min_size=1, max_size=6))
    ]
    items = []
    for number, key in enumerate(called[:seen]):
        tz, scores = plans[number % len(plans)]
        place = yard(key, name=draw(names), tz=tz, nucs=number % 3)
        shifted = [replace(s, usable_hours=s.usable_hours + number % 2) for s in scores]
        items.append(advice(place, *shifted))
    blind = [Blind(key=key, why=draw(st.text(max_size=300))) for key in called[seen:]]
    kinds = st.sampled_from((FORECAST, PAST))
    sources = [
        use(draw(names), kind=draw(kinds), age_h=draw(st.none() | st.floats(0, 48)),
            detail=draw(names), spread=draw(st.booleans()))
        for _ in range(draw(st.integers(0, 6)))
    ]  # fmt: skip
    facts: dict[str, Any] = {
        "outfit": draw(names), "remarks": tuple(draw(st.lists(st.text(max_size=200), max_size=6))),
        "sources": tuple(sources), "tz": draw(st.sampled_from(ZONES[:2])),
    }  # fmt: skip
    if draw(st.booleans()):
        facts["cautions"] = CAUTIONS
    return morning(items, blind=blind, **facts)
