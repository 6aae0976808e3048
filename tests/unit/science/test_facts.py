"""What is said of a run."""

import numpy as np
import pytest

from windowcast.science.facts import run_facts, wind_turns
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


def turns(angles, winds=None, swing=60.0):
    found = wind_turns(np.array(angles, float), np.array(winds or [2.0] * len(angles)), swing)
    return [(turn.at, round(turn.before_deg), round(turn.from_deg)) for turn in found]


@pytest.mark.parametrize(("angles", "told"), [
    ([0, 0, 60, 60], []), ([0, 0, 61, 61], [(2, 0, 61)]), ([10, 350, 20, 51], [(3, 7, 51)]),
    ([0, np.nan, 10, 90], [(3, 5, 90)]),
    ([80, 100, 300, 300], [(2, 90, 300)]),
    ([270, 270, 0, 270, 270], [(2, 270, 0), (3, 0, 270)]),  # and back again
    ([350, 30, 310, 350], [(2, 10, 330)]),  # 80 degrees within the run, none from the first hour
    ([180, 230, 130, 130], [(2, 205, 130)]),
    ([0, 40, 80, 120], [(2, 20, 100)]),  # a slow veer of 120 degrees
    ([], []), ([90], []),
])  # fmt: skip
def test_the_wind_turns_where_it_leaves_the_side_of_the_hours_before(angles, told):
    assert turns(angles) == told


def test_a_calm_neither_starts_nor_makes_a_turn():
    assert turns([0, 180, 10, 180], [2, 0, 2, 0]) == []
    assert turns([180, 0, 10, 100], [0, 2, 2, 2]) == [(3, 5, 100)]


def test_turns_are_those_of_the_run_alone():
    found = facts(run=(1, 2, 3), wind_mps=[2] * 6, wind_from_deg=[180, 0, 0, 90, 270, 270])
    assert [(turn.at, turn.from_deg) for turn in found.turns] == [(2, pytest.approx(90.0))]


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
