"""Members of a block of yards from now to day 60."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from support.spreads import (
    CLIMATE,
    NAMES,
    NOW,
    PRACTICE,
    believed,
    forecast,
    frame,
    places,
    winters,
)

from windowcast.science.spread.climate import climate_of_days
from windowcast.science.spread.members import spread_members
from windowcast.terms.lead import OutlookTilt

STATION = climate_of_days(winters(), PRACTICE)
THREE = places(lat_deg=(44.0, 44.1, 48.0), lon_deg=(-105.0, -105.1, -99.0))


def spread(on, weather, members=50, **known):
    return spread_members(weather, on, believed(on, **known), members, PRACTICE)


@pytest.mark.parametrize("climate", [CLIMATE, STATION])
def test_sixty_days_are_told_to_the_end(climate):
    on = frame(THREE, days=60)
    made = spread(on, forecast(on, reach_h=170), climate=climate)
    for name in NAMES:
        assert made[name].shape == (3, 50, 1440)
        assert made[name].dtype == np.float32
        assert np.isfinite(made[name]).all() == (name != "dewpoint_c")
    assert np.isfinite(made["dewpoint_c"][..., :170]).all()


@pytest.mark.parametrize("climate", [CLIMATE, STATION])
def test_the_mean_does_not_jump_where_the_forecast_ends(climate):
    """The forecast is 9 degrees too warm to its end; the mean never moves as fast as by day."""
    on = frame(days=20)
    weather = forecast(on, reach_h=170)
    usual = spread(on, forecast(on, reach_h=0), 2000, climate=climate)["temp_c"].mean(axis=1)
    weather["temp_c"][..., :170] = usual[:, np.newaxis, :170] + 9.0
    mean = spread(on, weather, 2000, climate=climate)["temp_c"].mean(axis=1, dtype=float)
    anomaly = (mean - usual)[0]
    assert np.abs(np.diff(anomaly))[1:].max() < 0.3
    days = anomaly[18 : 18 + 24 * 18].reshape(18, 24).mean(axis=1)
    assert (np.diff(days) < 0.3).all()
    assert days[0] > 7.0
    assert abs(days[-1]) < 0.6


def test_the_past_is_equal_in_all_members():
    on = frame(days=4, first=NOW - 30)
    weather = forecast(on)
    made = spread(on, weather, 7)
    for name in NAMES:
        assert (made[name][..., :30] == weather[name][..., :30]).all()
    assert len(np.unique(made["temp_c"][0, :, 40])) == 7


def test_half_wet_and_half_dry_give_an_even_chance():
    on = frame(days=3)
    made = spread(on, forecast(on, rain_mm=1.0, chance=0.5), 2000)
    dry = (made["rain_mm"] == 0.0).mean(axis=1)
    assert dry == pytest.approx(np.full((1, 72), 0.5), abs=0.05)


def test_rain_keeps_the_forecast_mean_within_2_percent():
    on = frame(THREE, days=7)
    weather = forecast(on, rain_mm=np.where(np.arange(168) % 31 < 6, 0.3, 0.0), chance=0.35)
    made = spread(on, weather)["rain_mm"].sum(axis=-1, dtype=float).mean(axis=1)
    assert made == pytest.approx(weather["rain_mm"].sum(axis=-1)[:, 0], rel=0.02)


def test_the_dew_point_moves_with_the_temperature():
    on = frame(days=2)
    made = spread(on, forecast(on))
    assert made["temp_c"] - made["dewpoint_c"] == pytest.approx(3.0, abs=1e-4)


@pytest.mark.parametrize("climate", [CLIMATE, STATION])
def test_without_forecast_members_are_the_climate(climate):
    on = frame(days=40)
    made = spread(on, forecast(on, reach_h=0), 600, climate=climate)
    days = slice(18 + 240, 18 + 240 + 24 * 25)
    noon = made["temp_c"][0, :, days].reshape(600, 25, 24)[..., 13]
    place = np.arange(22, 47)  # 23 January and after
    assert noon.mean(axis=0) == pytest.approx(climate.mean_c[place, 13], abs=1.6)
    assert noon.mean() == pytest.approx(climate.mean_c[place, 13].mean(), abs=1.0)
    assert noon.std() == pytest.approx(climate.high_spread_dc[place].mean(), rel=0.15)
    wet = made["rain_mm"][0, :, days].reshape(600, 25, 24).sum(axis=-1) >= 1.0
    assert wet.mean() == pytest.approx(climate.wet_frac[place].mean(), abs=0.05)


def test_yards_far_from_each_other_do_not_share_past_years():
    """10 and 500 km apart, the station at the first; decision of the project: 0.9 and 0.5."""
    where = places(lat_deg=(44.0,) * 3, lon_deg=(-105.0, -105.125, -98.75))
    on = frame(where, days=30)
    made = spread(on, forecast(on, reach_h=170), 400, climate=STATION)["temp_c"]
    found = [np.corrcoef(made[..., hour]) for hour in range(31, 30 * 24, 24)]
    assert min(corr[0, 1] for corr in found) > 0.95
    assert max(corr[0, 2] for corr in found) < 0.5


def test_warm_and_wet_stay_together_in_resampled_years():
    on = frame(days=50)
    made = spread(on, forecast(on, reach_h=0), 120, climate=STATION)
    days = slice(18 + 240, 18 + 240 + 24 * 35)
    warmth = made["temp_c"][0, :, days].reshape(120, 35, 24)[..., 13]
    wet = made["rain_mm"][0, :, days].reshape(120, 35, 24).sum(axis=-1) >= 1.0
    assert warmth[wet].mean() > warmth[~wet].mean() + 1.0


def test_a_warm_outlook_warms_its_days_alone():
    on = frame(days=20)
    tilt = OutlookTilt(
        first=date(2027, 1, 20), last=date(2027, 1, 26),
        below_frac=0.15, near_frac=0.3, above_frac=0.55,
    )  # fmt: skip
    weather = forecast(on, reach_h=100)
    shift = (spread(on, weather, tilts=(tilt,))["temp_c"] - spread(on, weather)["temp_c"])[0]
    lead = on.lead[on.own[0]]
    assert not shift[:, lead < 5].any()
    assert shift[:, lead == 11] == pytest.approx(2.2, abs=0.5)
    assert np.abs(np.diff(shift[0])).max() < 0.2


def test_a_forecast_that_comes_a_day_later_keeps_the_draws_of_its_days():
    """Same forecast values, issued a day later: members differ by less than the spread does."""
    on, later = frame(days=6), frame(places(issued=NOW + 24), days=5, first=NOW + 24, now=NOW + 24)
    one = spread(on, forecast(on))["temp_c"][0, :, 24 + 30 :]
    two = spread(later, forecast(later))["temp_c"][0, :, 30:]
    assert min(np.corrcoef(one[:, n], two[:, n])[0, 1] for n in range(90)) > 0.98


def test_the_number_of_members_does_not_change_a_members_temperature():
    on = frame(days=4)
    few, many = (spread(on, forecast(on), count)["temp_c"] for count in (5, 50))
    assert few.tobytes() == many[:, :5].tobytes()


def test_arguments_are_left_as_they_were():
    on = frame(days=12)
    weather = forecast(on, reach_h=100)
    before = {name: array.copy() for name, array in weather.items()}
    spread(on, weather, climate=STATION)
    assert all(np.array_equal(weather[name], before[name], equal_nan=True) for name in NAMES)


def test_no_yards_give_empty_members():
    none = frame(places(lat_deg=(), lon_deg=()), days=2)
    assert spread(none, forecast(none))["temp_c"].shape == (0, 50, 48)


def test_no_hours_are_refused():
    on = frame(days=0)
    with pytest.raises(ValueError, match="one hour"):
        spread(on, forecast(on))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"members": 0}, "at least one member"),
        ({"errors": ()}, "one table of errors"),
        ({"climates": ()}, "one climate"),
        ({"rain_mm": np.zeros((1, 48))}, "rain_mm must have the shape"),
    ],
)
def test_what_does_not_fit_is_refused(change, says):
    on = frame(days=2)
    weather = forecast(on) | {k: v for k, v in change.items() if k in NAMES}
    known = replace(
        believed(on), **{k: v for k, v in change.items() if k in ("errors", "climates")}
    )
    with pytest.raises(ValueError, match=says):
        spread_members(weather, on, known, change.get("members", 3), PRACTICE)
