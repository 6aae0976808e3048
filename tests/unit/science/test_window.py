"""Both sides of every threshold of an hour's score."""

import numpy as np
import pytest

from windowcast.science.window import (
    flight_credit,
    hour_credits,
    hour_scores,
    light_credit,
    rain_credit,
    rain_untold,
    temperature_credit,
    usable_hours,
    wind_credit,
)
from windowcast.terms.advice import PART_CODES
from windowcast.terms.practice import Practice
from windowcast.units import f_to_c, mph_to_mps

PRACTICE = Practice()


def as_a_grid_tells(temp_f):
    """Fahrenheit to a float32 of °C, as an outlook holds it."""
    return np.array([f_to_c(temp_f)], np.float32)


@pytest.mark.parametrize(
    ("temp_f", "credit"),
    [
        (31.9, 0.0), (32.0, 0.0), (32.1, 0.02),
        (34.9, 0.58), (35.0, 0.6), (35.1, 0.608),
        (37.5, 0.8), (39.9, 0.992), (40.0, 1.0), (43.0, 1.0), (46.0, 1.0), (46.1, 0.992),
        (50.9, 0.608), (51.0, 0.6), (51.1, 0.585),
        (54.9, 0.015), (55.0, 0.0), (55.1, 0.0), (70.0, 0.0), (-40.0, 0.0),
    ],
)  # fmt: skip
def test_temperature_earns_the_credit_of_its_place_on_the_ladder(temp_f, credit):
    found = temperature_credit(as_a_grid_tells(temp_f), PRACTICE.temperature)
    assert found == pytest.approx([credit], abs=2e-6)


@pytest.mark.parametrize("temp_f", [32.0, 35.0, 40.0, 46.0, 51.0, 55.0])
def test_a_threshold_told_in_float32_is_exactly_the_threshold(temp_f):
    told = temperature_credit(as_a_grid_tells(temp_f), PRACTICE.temperature)
    assert told.tolist() == [{32: 0.0, 35: 0.6, 40: 1.0, 46: 1.0, 51: 0.6, 55: 0.0}[int(temp_f)]]


@pytest.mark.parametrize("decimals", [4, 5, 6, 12])
@pytest.mark.parametrize(
    ("temp_f", "credit"), [(32, 0.0), (35, 0.6), (40, 1.0), (46, 1.0), (51, 0.6), (55, 0.0)]
)
def test_a_threshold_is_met_however_many_decimals_the_service_writes(temp_f, credit, decimals):
    told = np.array([round(f_to_c(temp_f), decimals)])
    assert temperature_credit(told, PRACTICE.temperature).tolist() == [credit]


@pytest.mark.parametrize(("temp_f", "usable"), [
    (34.9, False), (35.0, True), (35.1, True), (50.9, True), (51.0, True), (51.1, False),
])  # fmt: skip
def test_an_hour_is_usable_from_edge_to_edge(temp_f, usable):
    assert usable_at(temp_c=f_to_c(temp_f)) is usable


def test_no_temperature_scores_higher_than_43_f():
    ladder = np.arange(20.0, 70.0, 0.1)
    credits = temperature_credit(f_to_c(ladder), PRACTICE.temperature)
    best = temperature_credit(as_a_grid_tells(43.0), PRACTICE.temperature)[0]
    assert credits.max() <= best
    outside = (ladder < 39.95) | (ladder > 46.05)
    assert np.all(credits[outside] < best)


def test_a_dry_calm_day_from_35_to_51_f_works_in_every_hour():
    day = np.linspace(35.0, 51.0, 10)
    assert np.all(temperature_credit(f_to_c(day), PRACTICE.temperature) >= 0.6)


@pytest.mark.parametrize(
    ("rain_mm", "chance", "credit"),
    [
        (0.0, np.nan, 1.0), (0.19, np.nan, 1.0), (0.2, np.nan, 0.0), (0.21, 0.0, 0.0),
        (1.2 / 6, 0.0, 0.0),  # a sixth of 1.2 mm is the threshold, whatever its last bit
        (0.1, 0.59, 1.0), (0.1, 0.6, 0.0), (0.0, 0.99, 1.0), (1e-16, 0.99, 1.0),
        (np.nan, 0.0, 1.0), (np.nan, 0.25, 0.75), (np.nan, 0.59, 0.41), (np.nan, 0.6, 0.0),
        (np.nan, 1.0, 0.0), (np.nan, np.nan, 0.7),
    ],
)  # fmt: skip
def test_rain_earns_the_credit_of_its_rule(rain_mm, chance, credit):
    told = (np.array([rain_mm], np.float32), np.array([chance], np.float32))
    assert rain_credit(*told, PRACTICE.rain) == pytest.approx([credit], abs=1e-6)


def test_rain_is_untold_only_where_amount_and_chance_are_both_missing():
    rain = np.array([np.nan, 0.0, np.nan, 0.1])
    chance = np.array([np.nan, np.nan, 0.1, 0.1])
    assert rain_untold(rain, chance).tolist() == [True, False, False, False]


@pytest.mark.parametrize(("wind_mph", "credit"), [
    (0.0, 1.0), (7.9, 1.0), (8.0, 1.0), (8.7, 0.9), (11.5, 0.5), (14.3, 0.1), (15.0, 0.0),
    (15.1, 0.0), (60.0, 0.0),
])  # fmt: skip
def test_wind_costs_credit_from_8_to_15_mph(wind_mph, credit):
    wind = np.array([mph_to_mps(wind_mph)], np.float32)
    assert wind_credit(wind, PRACTICE.wind) == pytest.approx([credit], abs=2e-6)


def test_only_an_hour_wholly_in_light_counts_as_light():
    assert light_credit(np.array([0.0, 0.5, 0.9997, 1.0])).tolist() == [0, 0, 0, 1]


def test_full_flight_costs_four_tenths():
    assert flight_credit(np.array([0.0, 0.5, 1.0]), PRACTICE.flight).tolist() == [1.0, 0.8, 0.6]


def weather(**told):
    """One calm, dry, dark-skied hour at 43 °F, with what is told instead."""
    hour = {"temp_c": f_to_c(43.0), "wind_mps": 1.0, "rain_mm": 0.0, "rain_prob_frac": 0.0,
            "sun_wm2": np.nan, "cloud_frac": 1.0} | told  # fmt: skip
    return {name: np.array([value], np.float32) for name, value in hour.items()}


def usable_at(lit=1.0, workable=True, **told):
    credits = hour_credits(weather(**told), np.array([lit]), PRACTICE)
    return bool(usable_hours(credits, np.array([workable]), PRACTICE)[0])


def test_the_parts_of_an_hour_stand_in_their_fixed_order():
    assert tuple(hour_credits(weather(), np.ones(1), PRACTICE)) == PART_CODES


def test_a_perfect_hour_scores_one():
    assert hour_scores(hour_credits(weather(), np.ones(1), PRACTICE)).tolist() == [1.0]


@pytest.mark.parametrize("missing", ["temp_c", "wind_mps"])
def test_without_temperature_or_wind_an_hour_has_no_score_and_is_not_usable(missing):
    credits = hour_credits(weather(**{missing: np.nan}), np.ones(1), PRACTICE)
    assert np.isnan(hour_scores(credits)).all()
    assert usable_at(**{missing: np.nan}) is False


def test_an_hour_with_rain_untold_is_usable_at_a_price():
    told = {"rain_mm": np.nan, "rain_prob_frac": np.nan}
    assert hour_scores(hour_credits(weather(**told), np.ones(1), PRACTICE)).tolist() == [0.7]
    assert usable_at(**told) is True


@pytest.mark.parametrize(
    "veto", [{"rain_mm": 0.2}, {"wind_mps": mph_to_mps(15.0)}, {"lit": 0.99}, {"workable": False}]
)
def test_any_part_at_zero_or_an_hour_off_duty_is_not_usable(veto):
    assert usable_at() is True
    assert usable_at(**veto) is False
