"""Rain of members keeps chance and mean of the forecast."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from support.spreads import CLIMATE, NOW, PRACTICE, believed, frame, places

from windowcast.science.spread.rain import dressed_rain, generated_rain, rain_chance
from windowcast.science.spread.usual import climate_at

MEMBERS = 4000


def draws(on, members=MEMBERS, seed=11):
    return np.random.default_rng(seed).standard_normal((1, members, on.lead.size))


def hourly(on, *values):
    """One value for every hour, or told hours followed by NaN."""
    row = np.full(on.hours.size, np.nan)
    row[: len(values)] = values
    return np.broadcast_to(row if len(values) > 1 else values[0], (1, 1, on.hours.size))


def dressed(on, rain_mm, chance, wetness=None):
    usual = climate_at([CLIMATE], on)
    return dressed_rain(
        hourly(on, rain_mm), hourly(on, chance), draws(on) if wetness is None else wetness, usual,
        on, PRACTICE,
    )  # fmt: skip


@pytest.mark.parametrize("chance", [0.05, 0.5, 0.9])
def test_the_share_of_wet_members_is_the_chance(chance):
    _, wet = dressed(frame(days=3), 0.4, chance)
    assert wet.mean(axis=1) == pytest.approx(np.full((1, 72), chance), abs=0.035)


@pytest.mark.parametrize("members", [1, 2, 50, 1000])
@pytest.mark.parametrize(("rain_mm", "chance"), [(0.02, 0.3), (1.0, 0.05), (4.0, 0.0), (40.0, 0.9)])
def test_the_mean_over_members_is_the_forecasts(rain_mm, chance, members):
    on = frame(days=3)
    rain, _ = dressed(on, rain_mm, chance, draws(on, members))
    assert rain.mean(axis=1, dtype=float) == pytest.approx(np.full((1, 72), rain_mm), rel=1e-5)


def test_much_rain_with_little_chance_wets_more_members():
    """Ten millimetres a wet hour would be too much: a share of at least 4 / 5 is wet."""
    _, wet = dressed(frame(days=2), 4.0, 0.1)
    assert wet.mean(axis=1) == pytest.approx(np.full((1, 48), 0.8), abs=1e-3)


def test_certain_rain_falls_in_every_member_and_impossible_rain_in_none():
    on = frame(days=2)
    assert (dressed(on, 0.5, 1.0)[0] > 0.0).all()
    rain, wet = dressed(on, 0.0, 0.0)
    assert not rain.any()
    assert not wet.any()


def test_a_wet_hour_told_no_amount_drips():
    rain, wet = dressed(frame(days=2), 0.0, 0.3)
    assert np.unique(rain).tolist() == [0.0, np.float32(PRACTICE.trace_mm)]
    assert ((rain > 0.0) == (wet == 1.0)).all()


def test_a_chance_without_amount_brings_a_usual_amount():
    rain, wet = dressed(frame(days=2), np.nan, 0.3)
    usual = 8.0 / 24.0
    assert rain[wet == 1.0].mean(dtype=float) == pytest.approx(usual, rel=0.1)


def test_a_wetter_member_has_the_more_likely_hours_first():
    on = frame(days=1)
    chance = np.where(np.arange(24) < 6, 0.8, 0.2)[np.newaxis, np.newaxis]
    usual = climate_at([CLIMATE], on)
    _, wet = dressed_rain(hourly(on, 0.2), chance, draws(on), usual, on, PRACTICE)
    same_day = wet[..., :18]  # to midnight by the sun
    assert (same_day[..., :6].min(axis=-1) >= same_day[..., 6:].max(axis=-1)).all()


def test_neither_amount_nor_chance_stays_not_told():
    rain, wet = dressed(frame(days=1), np.nan, np.nan)
    assert np.isnan(rain).all()
    assert np.isnan(wet).all()


def test_the_past_keeps_its_amount_in_every_member():
    on = frame(places(issued=NOW - 24), days=2, first=NOW - 24)
    rain, _ = dressed(on, 0.7, 0.4)
    assert (rain[..., :24] == np.float32(0.7)).all()


def test_an_amount_without_chance_is_shrunk_like_the_temperature():
    on = frame(days=9)
    usual = climate_at([CLIMATE], on)
    rho = np.full((1, on.lead.size), 0.8)
    rain = hourly(on, *([0.5] * 12), *([0.0] * 12))
    chance = rain_chance(rain, hourly(on, np.nan), rho, usual, on)[0, 0]
    assert chance[:12] == pytest.approx(np.full(12, 0.8 + 0.2 * 0.1))
    assert chance[12:24] == pytest.approx(np.full(12, 0.2 * 0.1))
    assert np.isnan(chance[24:]).all()


def test_a_told_chance_is_taken_as_it_is():
    on = frame(days=1)
    told = rain_chance(
        hourly(on, 2.0), hourly(on, 0.15), np.ones((1, on.lead.size)), climate_at([CLIMATE], on), on
    )
    assert told == pytest.approx(np.full((1, 1, 24), 0.15))


def test_generated_days_are_wet_as_often_and_as_much_as_the_climates():
    on = frame(days=12)
    usual = climate_at([replace(CLIMATE, wet_frac=np.full(366, 0.4))], on)
    rain = generated_rain(draws(on), usual, on, PRACTICE)[..., 18 : 18 + 240]
    days = rain.reshape(MEMBERS, 10, 24).sum(axis=-1)
    wet = days >= PRACTICE.wet_from_mm
    assert wet.mean() == pytest.approx(0.4, abs=0.01)
    assert days[wet].mean() == pytest.approx(8.0, abs=0.25)
    assert not days[~wet].any()


def test_the_rain_of_a_generated_day_falls_in_one_spell():
    on = frame(days=3)
    rain = generated_rain(draws(on, 200), climate_at(believed(on).climates, on), on, PRACTICE)
    hours = (rain[0, :, 18:42] > 0.0).sum(axis=-1)
    assert np.unique(hours).tolist() == [0, 8]
