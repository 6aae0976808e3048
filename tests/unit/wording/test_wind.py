import pytest
from support.mornings import DAY, TZ, fit, local_time

from windowcast.terms.advice import WindTurn
from windowcast.units import mph_to_mps
from windowcast.wording.scale import SI, US
from windowcast.wording.wind import letters, side, stand, stand_short, wind

TURN = WindTurn(hour=local_time(DAY, 10), before_deg=270.0, wind_from_deg=10.0)


@pytest.mark.parametrize(
    ("from_deg", "point"),
    [
        (0.0, "N"), (22.4, "N"), (22.5, "NE"), (67.4, "NE"), (67.5, "E"), (180.0, "S"),
        (337.4, "NW"), (337.5, "N"), (360.0, "N"), (292.5, "NW"),
    ],
)  # fmt: skip
def test_a_direction_is_one_of_eight_points(from_deg, point):
    assert letters(from_deg) == point


def test_the_crew_stands_where_the_wind_comes_from():
    assert side(225.0) == "south-west"
    assert stand(fit(wind_from_deg=270.0), TZ) == "stand on the west side"
    assert stand_short(fit(wind_from_deg=270.0), TZ) == "W"


def test_a_turn_is_told_with_its_hour_and_its_new_side():
    told = stand(fit(wind_turns=(TURN,)), TZ)
    assert told == "stand on the west side, from 10:00 on the north side: the wind turns"
    assert stand_short(fit(wind_turns=(TURN,)), TZ) == "W>N 10:00"


def test_no_direction_is_not_a_side():
    assert stand(fit(wind_from_deg=None), TZ).startswith("no side to stand on is told")
    assert stand_short(fit(wind_from_deg=None), TZ) == "side ?"


def test_wind_is_told_as_a_range_with_the_strongest_gust():
    scores = [
        fit(wind_mps=mph_to_mps(5), gust_mps=mph_to_mps(9)),
        fit(wind_mps=mph_to_mps(7), gust_mps=mph_to_mps(12)),
    ]
    assert wind(scores, US) == "wind 5-7 mph, gusts 12 mph"
    assert wind([fit(wind_mps=2.0, gust_mps=None)], SI) == "wind 7 km/h"


def test_gusts_no_stronger_than_the_wind_are_left_out():
    assert wind([fit(wind_mps=3.0, gust_mps=3.0)], SI) == "wind 11 km/h"


def test_wind_that_is_not_told_is_not_a_calm():
    assert wind([fit(wind_mps=None)], US) == ""


def test_two_turns_are_listed_and_more_call_for_smoke():
    back = WindTurn(hour=local_time(DAY, 11), before_deg=10.0, wind_from_deg=270.0)
    twice = fit(wind_turns=(TURN, back))
    assert stand(twice, TZ) == (
        "stand on the west side, from 10:00 on the north, from 11:00 on the west side:"
        " the wind turns"
    )
    assert stand_short(twice, TZ) == "W>N 10:00>W 11:00"
    restless = fit(wind_turns=(TURN, back, TURN))
    assert "smoke" in stand(restless, TZ)
    assert "smoke" in stand_short(restless, TZ)


def test_a_swing_about_one_side_is_no_change_of_sides():
    swing = WindTurn(hour=local_time(DAY, 10), before_deg=10.0, wind_from_deg=345.0)
    score = fit(wind_turns=(swing,), wind_from_deg=355.0)
    assert stand(score, TZ) == "stand on the north side: the wind swings, use smoke"
    assert stand_short(score, TZ) == "N"
