from datetime import date, timedelta

import numpy as np
import pytest
from support.mornings import DAY, advice, fit, local_time, poor, yard

from windowcast.planning.cautions import (
    BEES,
    CAUTIONS,
    DOSE,
    EYES,
    FATIGUE,
    FIRE_WEATHER,
    FIRST_AID,
    HOT_METAL,
    ICE,
    LABEL,
    MASK,
    OTHERS,
    PARTNER,
    POWER,
    SOFT_LANE,
    STILL_AIR,
    SWING,
    SYMPTOMS,
    UPWIND,
    cautions_for,
    chosen_day,
)
from windowcast.planning.ranking import ranked_days
from windowcast.terms.advice import WindTurn
from windowcast.terms.outlook import Hazard
from windowcast.terms.practice import Practice, WindPractice
from windowcast.units import f_to_c, mph_to_mps

EVE = DAY - timedelta(days=1)
FIRE = Hazard(phenomenon="FW", significance="W", first=np.datetime64("2027-01-12T15", "h"), count=3)
FLYING = (0.95, 1.0, 1.0, 1.0, 0.999)


MEASURED = int(Practice().caution.hives_measured)


def said(*scores, where="kiln", **changes):
    told = [advice(where, *scores)]
    return cautions_for(told, ranked_days(told, Practice().day), today=DAY, **changes)


def test_label_and_law_come_first_whatever_the_day_is_like():
    assert said(fit())[0] == LABEL
    assert said(poor())[0] == LABEL
    assert cautions_for([], [], today=DAY) == (LABEL,)


@pytest.mark.parametrize("code", [MASK, EYES, SYMPTOMS, FIRST_AID, PARTNER, OTHERS])
def test_gear_first_aid_a_partner_and_people_nearby_are_said_when_somebody_goes(code):
    assert code in said(fit())
    assert code not in said(poor())


def test_codes_keep_the_order_in_which_they_are_told():
    told = said(fit(wind_mps=mph_to_mps(9), rain_mm=1.0, mean_credits=FLYING))
    assert told == tuple(sorted(told, key=CAUTIONS.index))


def test_mixed_kinds_of_hives_call_for_weighing_by_kind():
    assert DOSE in said(fit(), where=yard("kiln", doubles=10, nucs=2))
    assert DOSE not in said(fit(), where=yard("kiln", doubles=12))


def test_more_hives_than_anybody_measured_call_for_rest():
    assert FATIGUE in said(fit(), where=yard("kiln", doubles=MEASURED + 1))
    assert FATIGUE not in said(fit(), where=yard("kiln", doubles=MEASURED))


def test_hives_of_a_yard_that_is_not_visited_tire_nobody():
    told = [advice(yard("kiln"), fit()), advice(yard("mill", doubles=90), poor())]
    assert FATIGUE not in cautions_for(told, ranked_days(told, Practice().day), today=DAY)


@pytest.mark.parametrize(
    ("changes", "called"),
    [
        ({"wind_mps": mph_to_mps(8)}, False),
        ({"wind_mps": mph_to_mps(8.1)}, True),
        ({"gust_mps": mph_to_mps(14.9)}, False),
        ({"gust_mps": mph_to_mps(15)}, True),
        ({"wind_mps": None, "gust_mps": None}, False),
    ],
)
def test_wind_past_calm_or_gusts_at_the_limit_call_for_standing_upwind(changes, called):
    assert (UPWIND in said(fit(**changes))) is called


def test_a_turning_wind_calls_for_changing_sides():
    turn = WindTurn(hour=local_time(DAY, 10), before_deg=270.0, wind_from_deg=10.0)
    assert SWING in said(fit(wind_turns=(turn,)))
    assert SWING not in said(fit())


def test_still_air_is_beaufort_one_and_less():
    assert STILL_AIR in said(fit(wind_mps=1.5))
    assert STILL_AIR not in said(fit(wind_mps=1.6))
    assert STILL_AIR not in said(fit(wind_mps=None))


def test_ice_told_or_a_freezing_hour_calls_for_care_on_the_lane():
    assert ICE in said(fit(ice=True))
    assert ICE in said(fit(day_low_c=0.0))
    assert ICE not in said(fit(day_low_c=f_to_c(32.1)))
    assert ICE not in said(fit(day_low_c=None))


def test_rain_told_that_day_calls_for_walking_in():
    assert SOFT_LANE in said(fit(rain_mm=0.1))
    assert SOFT_LANE not in said(fit(rain_mm=0.0))
    assert SOFT_LANE not in said(fit(rain_mm=None, rain_prob_frac=None))


def test_likely_rain_calls_for_walking_in_even_without_an_amount():
    assert SOFT_LANE in said(fit(rain_mm=None, rain_prob_frac=0.6))
    assert SOFT_LANE not in said(fit(rain_mm=None, rain_prob_frac=0.59))


def test_rain_of_the_day_before_calls_for_walking_in():
    tomorrow = DAY + timedelta(days=1)
    assert SOFT_LANE in said(poor(DAY, "rain", rain_mm=3.0), fit(tomorrow))
    assert SOFT_LANE not in said(poor(DAY, "wind"), fit(tomorrow))
    assert SOFT_LANE in said(fit(), rain_before_mm={"kiln": 2.0})
    assert SOFT_LANE not in said(fit(), rain_before_mm={"mill": 2.0})


def test_rain_two_days_before_does_not():
    assert SOFT_LANE not in said(
        poor(DAY, rain_mm=3.0), poor(DAY + timedelta(days=1)), fit(DAY + timedelta(days=2))
    )


def test_wet_or_icy_ground_is_about_batteries_and_dry_ground_about_fire():
    for scores in (fit(rain_mm=1.0), fit(ice=True)):
        assert POWER in said(scores)
        assert HOT_METAL not in said(scores)
    assert HOT_METAL in said(fit())
    assert POWER not in said(fit())


def test_fire_weather_is_said_even_on_wet_ground():
    told = said(fit(rain_mm=1.0, hazards=(FIRE,)))
    assert {FIRE_WEATHER, HOT_METAL, POWER} <= set(told)
    assert FIRE_WEATHER not in said(fit())


def test_flying_bees_call_for_no_treating_in_heavy_flight():
    assert BEES in said(fit(mean_credits=FLYING))
    assert BEES not in said(fit(mean_credits=(0.95, 1.0, 1.0, 1.0, 1.0)))
    assert BEES not in said(fit(mean_credits=(0.95, 1.0, 1.0, 1.0, None)))


def test_every_code_can_be_reached():
    turn = WindTurn(hour=local_time(DAY, 10), before_deg=270.0, wind_from_deg=10.0)
    wet = fit(rain_mm=1.0, ice=True, hazards=(FIRE,), wind_turns=(turn,), mean_credits=FLYING)
    told = [
        advice(yard("kiln", doubles=30, nucs=1), wet),
        advice("mill", fit(wind_mps=1.0)),
        advice("fen", fit(wind_mps=5.0)),
    ]
    assert cautions_for(told, ranked_days(told, Practice().day), today=DAY) == CAUTIONS


def test_the_first_day_is_today_where_nobody_says():
    told = [advice("kiln", poor(DAY), fit(DAY + timedelta(days=1)))]
    assert cautions_for(told, ranked_days(told, Practice().day))[:2] == (LABEL, MASK)


def test_the_outfits_own_limit_for_wind_counts():
    strict = Practice(wind=WindPractice(calm_to_mps=1.0))
    assert UPWIND in said(fit(wind_mps=2.0), practice=strict)
    assert UPWIND not in said(fit(wind_mps=2.0))


def days_of(*scores):
    return ranked_days([advice("kiln", *scores)], Practice().day)


def test_today_is_chosen_while_a_yard_can_be_treated_today():
    days = days_of(fit(DAY, verdict="workable"), fit(DAY + timedelta(days=1)))
    assert chosen_day(days, DAY).day == DAY


def test_the_best_day_is_chosen_when_today_is_lost():
    later = DAY + timedelta(days=3)
    days = days_of(poor(DAY), fit(DAY + timedelta(days=1), verdict="workable"), fit(later))
    assert chosen_day(days, DAY).day == later


def test_the_first_rank_is_chosen_when_every_day_is_lost():
    days = days_of(poor(EVE), poor(DAY, score=0.3))
    assert chosen_day(days, EVE).rank == 1
    assert chosen_day(days, EVE).day == DAY


def test_no_days_no_choice():
    assert chosen_day((), date(2027, 1, 12)) is None
