"""What must always hold for scores."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from windowcast.science.days import best_runs, day_scores
from windowcast.science.window import hour_credits, hour_scores, rain_credit, wind_credit
from windowcast.terms.practice import Practice
from windowcast.units import f_to_c

PRACTICE = Practice()
FRACTION = st.floats(0, 1)


def maybe(values):
    return st.one_of(st.just(float("nan")), values)


WEATHER = st.fixed_dictionaries(
    {
        "temp_c": maybe(st.floats(-40, 45)),
        "wind_mps": maybe(st.floats(0, 60)),
        "rain_mm": maybe(st.floats(0, 50)),
        "rain_prob_frac": maybe(FRACTION),
        "sun_wm2": maybe(st.floats(0, 1200)),
        "cloud_frac": maybe(FRACTION),
    }
)


def scored(hour, lit):
    told = {name: np.array([value], np.float32) for name, value in hour.items()}
    credits = hour_credits(told, np.array([lit]), PRACTICE)
    return credits, float(hour_scores(credits)[0])


@given(WEATHER, FRACTION)
def test_a_score_lies_in_0_to_1_or_is_unknown_and_is_the_product_of_its_parts(hour, lit):
    credits, score = scored(hour, lit)
    product = np.prod([float(credit[0]) for credit in credits.values()])
    assert np.isnan(score) or 0 <= score <= 1
    assert np.isnan(score) == (np.isnan(hour["temp_c"]) or np.isnan(hour["wind_mps"]))
    assert np.isnan(score) or score == product


@given(st.floats(0, 20), st.floats(0, 20), maybe(FRACTION))
def test_more_rain_never_raises_the_credit(one, other, chance):
    less, more = sorted((one, other))
    credits = rain_credit(np.array([less, more]), np.array([chance, chance]), PRACTICE.rain)
    assert credits[1] <= credits[0]


@given(FRACTION, FRACTION, maybe(st.floats(0, 20)))
def test_a_greater_chance_of_rain_never_raises_the_credit(one, other, amount):
    less, more = sorted((one, other))
    credits = rain_credit(np.array([amount, amount]), np.array([less, more]), PRACTICE.rain)
    assert credits[1] <= credits[0]


@given(st.floats(0, 40), st.floats(0, 40))
def test_more_wind_never_raises_the_credit_of_wind(one, other):
    credits = wind_credit(np.array(sorted((one, other))), PRACTICE.wind)
    assert credits[1] <= credits[0]


@given(WEATHER, st.floats(0, 40), st.floats(0, 40), FRACTION)
def test_more_wind_never_raises_the_score(hour, one, other, lit):
    less, more = sorted((one, other))
    before, after = (scored(hour | {"wind_mps": wind}, lit)[1] for wind in (less, more))
    assert np.isnan(before) or after <= before


@given(WEATHER, st.floats(0, 20), st.floats(0, 20), FRACTION)
def test_more_rain_never_raises_the_score(hour, one, other, lit):
    less, more = sorted((one, other))
    before, after = (scored(hour | {"rain_mm": rain}, lit)[1] for rain in (less, more))
    assert np.isnan(before) or after <= before


@given(st.floats(-20, 40))
def test_a_day_moved_into_the_best_band_never_scores_lower(temp_c):
    hour = {"wind_mps": 1.0, "rain_mm": 0.0, "rain_prob_frac": 0.0, "sun_wm2": 500.0,
            "cloud_frac": 0.0}  # fmt: skip
    assert (
        scored(hour | {"temp_c": f_to_c(43.0)}, 1.0)[1] >= scored(hour | {"temp_c": temp_c}, 1.0)[1]
    )


SCORES = st.lists(st.one_of(st.just(0.0), st.floats(0.01, 1)), min_size=25, max_size=25)


def slow_best_run(scores):
    """The rule in plain loops: every unbroken stretch, its sum, the earliest of the greatest."""
    best, begin = (0.0, 0, 0), None
    for i, value in enumerate([*scores, 0.0]):
        if value > 0 and begin is None:
            begin = i
        if value == 0 and begin is not None:
            total = round(sum(scores[begin:i]), 6)
            best = max(best, (total, -begin, i - begin))
            begin = None
    return -best[1], best[2]


@given(SCORES)
def test_the_best_run_is_what_the_rule_says_in_plain_loops(scores):
    score = np.array(scores)
    runs = best_runs(score, score > 0)
    slow = slow_best_run(scores)
    slow_sum = sum(scores[slow[0] : slow[0] + slow[1]])
    found_sum = sum(scores[int(runs.start) : int(runs.start) + int(runs.length)])
    assert (int(runs.start), int(runs.length)) == slow or abs(slow_sum - found_sum) < 2e-6


@given(SCORES, st.integers(1, 4))
def test_a_day_score_never_exceeds_its_best_hour_and_needs_a_run_long_enough(scores, min_run_h):
    score = np.array(scores)
    runs = best_runs(score, score > 0)
    day = float(day_scores(score, runs, min_run_h))
    assert 0 <= day <= max(scores)
    assert (day > 0) == (int(runs.length) >= min_run_h)


@given(st.lists(WEATHER, min_size=1, max_size=6), FRACTION)
def test_an_hour_scores_the_same_alone_and_in_company(hours, lit):
    together = {
        name: np.array([hour[name] for hour in hours], np.float32).reshape(1, 1, -1)
        for name in hours[0]
    }
    all_scores = hour_scores(hour_credits(together, np.array([lit]), PRACTICE))[0, 0]
    alone = [scored(hour, lit)[1] for hour in hours]
    assert np.array_equal(all_scores, alone, equal_nan=True)
