"""From weather to words: verdicts, caps, blind days, clock changes, blocks."""

from datetime import UTC, date, datetime, time, timedelta

import numpy as np
import pytest
from support.outlooks import CREW, batch, outlook, yard

from windowcast.advise import advise, scored
from windowcast.explain import explained
from windowcast.planning.lead_days import ranked_span
from windowcast.planning.working import working_hours
from windowcast.science.days import day_slots
from windowcast.science.scoring import scored_days
from windowcast.terms.outlook import Hazard
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Crew
from windowcast.times import as_datetime, as_hour, hour_index, local, local_day_bounds
from windowcast.units import c_to_f, f_to_c

PRACTICE = Practice()
NOW = datetime(2027, 1, 12, 14, tzinfo=UTC)  # 06:00 in Los Angeles, a Tuesday
TUE = date(2027, 1, 12)


def first_day(now=NOW, crews=(CREW,), place=None, **told):
    place = place or yard()
    found = advise(batch((place, outlook(**told))), (TUE,), crews, PRACTICE, now)
    return found[0].scores[0]


def hours_of(score):
    return local(score.start, "America/Los_Angeles").hour, local(
        score.end, "America/Los_Angeles"
    ).hour


def by_hour(**changes):
    """48 hours from local midnight on; keys h08 ... give the value at that local hour."""
    values = np.full(48, changes.pop("otherwise"), float)
    for key, value in changes.items():
        values[int(key[1:])] = value
    return values


def test_a_calm_dry_day_in_the_low_40s_is_good_in_all_working_light():
    score = first_day()
    assert (score.verdict, score.score, score.limited_by) == ("good", 1.0, None)
    assert hours_of(score) == (8, 16)  # the sun sets at about 16:40
    assert (score.usable_hours, score.working_h, score.ahead_h) == (8, 8, 8)


@pytest.mark.parametrize(("minutes", "begins"), [(-1, 8), (0, 8), (1, 9), (60, 9), (61, 10)])
def test_an_hour_that_began_before_now_is_gone(minutes, begins):
    now = datetime(2027, 1, 12, 16, tzinfo=UTC) + timedelta(minutes=minutes)  # 08:00 local
    assert hours_of(first_day(now))[0] == begins


def test_a_second_past_the_hour_is_past_the_hour():
    now = datetime(2027, 1, 12, 16, 0, 0, 1, tzinfo=UTC)
    assert hours_of(first_day(now))[0] == 9


def test_a_dry_calm_day_from_35_to_51_f_is_usable_in_every_working_hour_of_light():
    steps = np.interp(np.arange(48), [8, 15], [f_to_c(35), f_to_c(51)])
    score = first_day(temp_c=steps)
    assert (hours_of(score), score.usable_hours) == ((8, 16), 8)
    assert (c_to_f(score.temp_low_c), c_to_f(score.temp_high_c)) == (
        pytest.approx(35.0), pytest.approx(51.0),
    )  # fmt: skip


def test_one_usable_hour_is_told_but_scores_nothing():
    score = first_day(temp_c=by_hour(otherwise=20.0, h10=6.0))
    assert (score.verdict, score.score, score.usable_hours) == ("poor", 0.0, 1)
    assert hours_of(score) == (10, 11)
    assert score.limited_by == "temperature"


@pytest.mark.parametrize(("thunder_at", "verdict", "caps"), [
    ("h09", "workable", ("thunder",)), ("h17", "good", ()),
])  # fmt: skip
def test_thunder_caps_the_day_only_inside_the_run(thunder_at, verdict, caps):
    score = first_day(thunder=by_hour(otherwise=0.0, **{thunder_at: 1.0}))
    assert (score.verdict, score.caps, score.score) == (verdict, caps, 1.0)


@pytest.mark.parametrize(("significance", "hour", "verdict"), [
    ("W", 17, "workable"), ("Y", 17, "good"), ("A", 17, "good"), ("W", 30, "good"),
])  # fmt: skip
def test_an_official_warning_inside_the_run_caps_the_day(significance, hour, verdict):
    first = as_hour(datetime(2027, 1, 12, tzinfo=UTC) + timedelta(hours=hour))
    hazard = Hazard(phenomenon="WW", significance=significance, first=first, count=1)
    score = first_day(hazards=(hazard,))
    assert score.verdict == verdict
    assert score.hazards == ((hazard,) if hour == 17 else ())


def test_a_run_without_any_word_of_rain_is_at_most_workable():
    untold = by_hour(otherwise=0.0, h12=np.nan)
    score = first_day(rain_mm=untold, rain_prob_frac=untold)
    assert (score.verdict, score.caps) == ("workable", ("rain_untold",))


@pytest.mark.parametrize(("zone", "first", "last"), [
    ("America/New_York", date(2027, 1, 12), date(2027, 1, 21)),
    ("America/Los_Angeles", date(2027, 1, 11), date(2027, 1, 20)),
])  # fmt: skip
def test_each_yard_is_judged_on_the_lead_days_of_its_own_clock(zone, first, last):
    """At one in the morning in New York it is still yesterday in Los Angeles."""
    now = datetime(2027, 1, 12, 6, tzinfo=UTC)
    east, west = yard(tz="America/New_York"), yard("b", tz="America/Los_Angeles")
    hours, days = ranked_span((east, west), now)
    weather = outlook(first=now - timedelta(hours=30), count=300)
    told = advise(
        batch((east, weather), (west, weather), hours=hours), days, (CREW,), PRACTICE, now
    )
    (scores,) = [item.scores for item in told if item.yard.tz == zone]
    assert (scores[0].day, scores[-1].day, len(scores)) == (first, last, 10)


def test_hours_already_past_do_not_make_a_day_seen():
    morning_only = by_hour(otherwise=np.nan, **{f"h{hour:02d}": 6.0 for hour in range(8, 13)})
    noon = datetime(2027, 1, 12, 21, tzinfo=UTC)  # 13:00 in Los Angeles
    assert first_day(noon, temp_c=morning_only).verdict == "blind"
    assert first_day(noon - timedelta(hours=2), temp_c=morning_only).verdict != "blind"


def test_a_day_without_data_in_working_light_is_blind():
    night_only = np.full(48, np.nan)
    night_only[:7] = 6.0
    score = first_day(temp_c=night_only)
    assert (score.verdict, score.score, score.limited_by) == ("blind", 0.0, None)


def test_a_day_without_wind_is_blind():
    assert first_day(wind_mps=np.nan).verdict == "blind"


def test_a_day_on_which_nobody_works_is_poor_and_says_so():
    score = first_day(crews=())
    assert (score.verdict, score.working_h, score.limited_by) == ("poor", 0, None)


def test_the_evening_of_a_good_day_is_poor_with_no_hour_ahead():
    score = first_day(datetime(2027, 1, 13, 2, tzinfo=UTC))
    assert (score.verdict, score.ahead_h, score.usable_hours) == ("poor", 0, 0)


def test_what_limits_is_the_lowest_mean_over_working_light():
    score = first_day(wind_mps=6.0)
    assert score.limited_by == "wind"
    assert score.mean_credits[2] == pytest.approx((15 - 6.0 / 0.44704) / 7, abs=1e-5)


def test_lead_days_run_from_today_to_nine_days_ahead_on_every_clock():
    places = [yard(tz="America/New_York"), yard("b", tz="America/Los_Angeles")]
    hours, days = ranked_span(places, datetime(2027, 1, 12, 6, tzinfo=UTC))  # 01:00 and 22:00
    assert (days[0], days[-1]) == (date(2027, 1, 11), date(2027, 1, 21))
    assert hours[0] == np.datetime64("2027-01-11T05", "h")
    assert hours[-1] >= np.datetime64("2027-01-22T07", "h")


NIGHT = Crew(name="N", start=time(0), end=time(6), weekdays=frozenset(range(7)))


@pytest.mark.parametrize("tz", ["America/New_York", "America/Los_Angeles"])
@pytest.mark.parametrize(
    ("day", "length_h"), [(date(2026, 11, 1), 7), (date(2027, 3, 14), 5), (date(2026, 11, 2), 6)]
)
def test_a_run_over_the_clock_change_itself_has_all_its_hours(tz, day, length_h):
    """Midnight to six, as if it were light: an hour more in November, one less in March."""
    start, end = local_day_bounds(day, tz)
    hours = hour_index(as_hour(start), 30)
    weather = {name: array[np.newaxis] for name, array in outlook(count=30).arrays.items()}
    result = scored_days(
        weather, np.ones((1, 1, 30)), working_hours(hours, tz, [NIGHT])[np.newaxis, np.newaxis],
        np.ones(30, bool), day_slots(hours, [tz], [day]), PRACTICE,
    )  # fmt: skip
    first, length = int(result.runs.start[0, 0, 0]), int(result.runs.length[0, 0, 0])
    assert (first, length, float(result.score[0, 0, 0])) == (0, length_h, 1.0)
    run_end = as_datetime(hours[first + length])
    assert local(run_end, tz).hour == 6
    assert end - start == timedelta(hours=24 + length_h - 6)


@pytest.mark.parametrize(
    ("tz", "lon"), [("America/New_York", -74.0), ("America/Los_Angeles", -120.0)]
)
@pytest.mark.parametrize(("day", "count"), [(date(2026, 11, 1), 25), (date(2027, 3, 14), 23)])
def test_a_run_across_a_clock_change_keeps_the_hours_of_the_clock(tz, lon, day, count):
    place = yard(tz=tz, lat_deg=40.0, lon_deg=lon)
    start = datetime(day.year, day.month, day.day, tzinfo=UTC)
    weather = outlook(first=start, count=60)
    hours = explained(batch((place, weather)), day, (CREW,), PRACTICE, start)
    assert len(hours) == count
    found = advise(batch((place, weather)), (day,), (CREW,), PRACTICE, start)[0].scores[0]
    assert local(found.start, tz).hour == 8
    assert local(found.end, tz).hour in (16, 17, 18)
    assert found.usable_hours == local(found.end, tz).hour - 8


def varied(key, seed):
    rng = np.random.default_rng(seed)
    return outlook(
        key, count=72, temp_c=rng.normal(6, 4, 72), wind_mps=rng.gamma(2, 1.5, 72),
        rain_mm=np.where(rng.random(72) < 0.2, rng.random(72), 0.0), cloud_frac=rng.random(72),
        rain_prob_frac=rng.random(72), wind_from_deg=rng.random(72) * 360,
    )  # fmt: skip


def test_one_yard_alone_equals_the_same_yard_among_forty_bit_for_bit():
    pairs = [(yard(f"y{n}", lat_deg=40.0 + n / 10), varied(f"y{n}", n)) for n in range(40)]
    hours = hour_index(np.datetime64("2027-01-12T08", "h"), 72)
    days = (TUE, date(2027, 1, 13))
    together = scored(batch(*pairs, hours=hours), days, (CREW,), PRACTICE, NOW)
    advice = advise(batch(*pairs, hours=hours), days, (CREW,), PRACTICE, NOW)
    for n in (0, 17, 39):
        alone = scored(batch(pairs[n], hours=hours), days, (CREW,), PRACTICE, NOW)
        assert alone.score.tobytes() == together.score[n : n + 1].tobytes()
        assert alone.hour_score.tobytes() == together.hour_score[n : n + 1].tobytes()
        assert advise(batch(pairs[n], hours=hours), days, (CREW,), PRACTICE, NOW)[0] == advice[n]


def test_the_explained_hours_recompute_to_the_score_of_the_day():
    pair = (yard(), varied("kiln", 5))
    day_score = advise(batch(pair), (TUE,), (CREW,), PRACTICE, NOW)[0].scores[0]
    hours = explained(batch(pair), TUE, (CREW,), PRACTICE, NOW)
    for hour in hours:
        assert hour.score == pytest.approx(np.prod([part.credit for part in hour.parts]))
    run = [h for h in hours if day_score.start and day_score.start <= h.hour < day_score.end]
    assert len(run) == day_score.usable_hours
    assert all(hour.usable for hour in run)
    best = sorted((hour.score for hour in run), reverse=True)[:2]
    assert day_score.score == pytest.approx(sum(best) / 2 if len(run) > 1 else 0.0)


def test_advice_in_words_refuses_more_than_one_member():
    two = batch((yard(), outlook()))
    arrays = {name: np.repeat(array, 2, axis=1) for name, array in two.arrays.items()}
    doubled = type(two)(yards=two.yards, hours=two.hours, arrays=arrays, outlooks=two.outlooks)
    with pytest.raises(ValueError, match="one member"):
        advise(doubled, (TUE,), (CREW,), PRACTICE, NOW)
    assert scored(doubled, (TUE,), (CREW,), PRACTICE, NOW).score.shape == (1, 2, 1)


@pytest.mark.parametrize(("count", "untold_h"), [(48, 0), (9, 7), (10, 6)])
def test_working_hours_that_the_forecast_does_not_tell_are_counted(count, untold_h):
    score = first_day(temp_c=[6.0] * count + [np.nan] * (48 - count))
    assert (score.ahead_h, score.untold_h) == (8, untold_h)
