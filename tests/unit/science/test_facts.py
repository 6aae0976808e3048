"""What is said of a run."""

import numpy as np
import pytest

from windowcast.science.facts import run_facts
from windowcast.terms.outlook import VARIABLES


def facts(run=(1, 2, 3), working=(0, 1, 2, 3, 4), **told):
    weather = {name: np.full(6, np.nan, np.float32) for name in VARIABLES}
    weather |= {name: np.asarray(values, np.float32) for name, values in told.items()}
    return run_facts(weather, np.array(run, int), np.array(working, int), 60.0)


def test_temperatures_of_run_and_day_are_told_apart():
    found = facts(temp_c=[1, 5, 7, 6, 9, 30])
    assert (found.temp_low_c, found.temp_high_c) == (5, 7)
    assert (found.day_low_c, found.day_high_c) == (1, 9)


def test_without_a_run_only_the_day_is_known():
    found = facts(run=(), temp_c=[1, 5, 7, 6, 9, 30], wind_mps=[1] * 6, wind_from_deg=[90] * 6)
    assert (found.temp_low_c, found.wind_mps, found.wind_from_deg) == (None, None, None)
    assert found.day_high_c == 9


def test_nothing_told_is_none_and_never_zero():
    found = facts()
    assert (found.day_low_c, found.rain_mm, found.rain_prob_frac, found.gust_mps) == (None,) * 4
    assert found.ice is False


def test_rain_is_summed_and_chance_is_the_greatest_of_the_working_hours():
    found = facts(rain_mm=[0.5, np.nan, 1, 0, 0, 99], rain_prob_frac=[0.1, 0.8, 0.2, 0, 0, 1])
    assert found.rain_mm == pytest.approx(1.5)
    assert found.rain_prob_frac == pytest.approx(0.8)


@pytest.mark.parametrize(("angles", "turn_at"), [
    ([0, 0, 60, 60, 0, 0], None), ([0, 0, 61, 0, 0, 0], 2), ([0, 350, 20, 51, 0, 0], 3),
    ([0, np.nan, 10, 90, 0, 0], 3),
])  # fmt: skip
def test_the_wind_has_turned_when_it_leaves_its_first_side_by_more_than_60_degrees(angles, turn_at):
    assert facts(wind_mps=[2] * 6, wind_from_deg=angles).turn_at == turn_at


def test_the_side_before_a_turn_is_that_of_the_hours_before_it():
    found = facts(run=(0, 1, 2, 3), wind_mps=[2] * 6, wind_from_deg=[80, 100, 300, 300, 0, 0])
    assert (found.turn_at, found.before_turn_deg) == (2, pytest.approx(90.0))


def test_a_calm_neither_starts_nor_makes_a_turn():
    found = facts(wind_mps=[2, 0, 2, 0, 2, 2], wind_from_deg=[0, 180, 10, 180, 0, 0])
    assert found.turn_at is None


@pytest.mark.parametrize(("name", "at", "ice"), [
    ("ice_mm", 2, True), ("freezing_rain", 3, True),
    ("ice_mm", 0, False), ("freezing_rain", 4, False),
])  # fmt: skip
def test_ice_counts_only_inside_the_run(name, at, ice):
    told = np.zeros(6)
    told[at] = 1
    assert facts(**{name: told}).ice is ice


def test_ice_counts_in_the_working_hours_where_there_is_no_run():
    assert facts(run=(), ice_mm=[0, 0, 0, 0, 0.5, 0]).ice is True
