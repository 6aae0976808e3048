"""Scores of whatever cases: bounds, identities, and what must not matter."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from windowcast.science.skill.brier import (
    brier_loss,
    brier_parts_by_value,
    brier_parts_in_bins,
    skill,
)
from windowcast.science.skill.cases import mean_of
from windowcast.science.skill.crps import crps_fair, crps_plain, crps_point
from windowcast.science.skill.fitting import fit_by_lead
from windowcast.science.skill.reliability import reliability, roc_area, wilson_bounds
from windowcast.terms.lead import CONTINENTAL_ERRORS

TEMPS = st.floats(-60.0, 55.0, width=32)
OR_UNTOLD = st.one_of(TEMPS, st.just(math.nan))
CHANCES = st.one_of(st.floats(0.0, 1.0), st.sampled_from([0.0, 0.2, 0.4, 0.6, 0.8, 1.0]))
CASES = st.lists(st.tuples(CHANCES, st.booleans()), min_size=1, max_size=60)
MEMBERS = arrays(np.float64, st.tuples(st.integers(1, 8), st.integers(2, 12)), elements=OR_UNTOLD)


@given(MEMBERS, st.data())
def test_crps_lies_between_zero_and_the_error_of_the_mean_member_at_most(members, data):
    truth = data.draw(arrays(np.float64, members.shape[0], elements=OR_UNTOLD))
    score = crps_plain(members, truth)
    with np.errstate(invalid="ignore"):
        worst = np.nanmax(np.abs(members - truth[:, None]), axis=1, initial=0.0)
    told = ~np.isnan(score)
    assert np.all(score[told] >= 0.0)
    assert np.all(score[told] <= worst[told] + 1e-9)
    assert (np.isnan(members).all(axis=1) | np.isnan(truth)).tolist() == (~told).tolist()


@given(MEMBERS, TEMPS, TEMPS)
def test_crps_does_not_change_when_everything_is_moved_alike(members, truth, shift):
    cases = np.full(members.shape[0], truth)
    for score in (crps_plain, crps_fair):
        moved = score(members + shift, cases + shift)
        assert moved == pytest.approx(score(members, cases), abs=1e-9, nan_ok=True)


@given(st.lists(TEMPS, min_size=2, max_size=12), TEMPS)
def test_the_fair_score_never_exceeds_the_plain_one(members, truth):
    assert crps_fair(members, truth) <= crps_plain(members, truth) + 1e-9


@given(TEMPS, TEMPS, st.integers(1, 20))
def test_members_that_agree_score_as_one_line(told, came, count):
    line = float(crps_point(told, came))
    assert crps_plain([told] * count, came) == pytest.approx(line, abs=1e-9)


@given(CASES)
def test_the_parts_add_up_to_the_score(cases):
    chance, happened = (np.array(side, np.float64) for side in zip(*cases, strict=True))
    for parts in (brier_parts_by_value(chance, happened), brier_parts_in_bins(chance, happened)):
        total = parts.reliability - parts.resolution + parts.uncertainty
        total += parts.within_variance - parts.within_covariance
        assert total == pytest.approx(parts.brier, abs=1e-12)
        assert parts.brier == pytest.approx(mean_of(brier_loss(chance, happened)).value)


@given(CASES)
def test_every_case_is_in_one_bin_and_every_share_within_its_bounds(cases):
    chance, happened = (np.array(side, np.float64) for side in zip(*cases, strict=True))
    bins = reliability(chance, happened).bins
    assert sum(each.cases for each in bins) == len(cases)
    for each in bins:
        if each.cases:
            assert each.low_frac - 1e-12 <= each.told_frac <= each.high_frac + 1e-12
            assert each.interval.low_frac <= each.came_frac <= each.interval.high_frac


@given(CASES)
def test_the_area_of_turned_chances_is_turned(cases):
    chance, happened = (np.array(side, np.float64) for side in zip(*cases, strict=True))
    chance = np.round(chance, 3)  # 1 - p keeps no order below the last digit
    area, turned = roc_area(chance, happened), roc_area(np.round(1.0 - chance, 3), happened)
    assert (area.value is None) == (happened.min() == happened.max())
    if area.value is not None:
        assert area.value + turned.value == pytest.approx(1.0)


@given(st.lists(st.floats(0.0, 9.0, allow_subnormal=False), min_size=1, max_size=30))
def test_a_forecast_has_no_skill_against_itself(losses):
    told = skill(losses, losses)
    assert told.value is None if not sum(losses) else told.value == 0.0


@given(st.integers(1, 5000), st.data())
def test_bounds_of_a_share_hold_it(cases, data):
    hits = data.draw(st.integers(0, cases))
    bounds = wilson_bounds(hits, cases)
    assert 0.0 <= bounds.low_frac <= hits / cases <= bounds.high_frac <= 1.0


@given(st.lists(st.tuples(st.integers(-2, 15), OR_UNTOLD), max_size=80))
def test_a_fit_of_whatever_archive_is_a_table_that_dressing_can_use(cases):
    leads, errors = [lead for lead, _ in cases], [error for _, error in cases]
    fit = fit_by_lead(leads, errors, CONTINENTAL_ERRORS)
    assert sum(fit.cases) + fit.unused == len(cases)
    for lead, count in enumerate(fit.cases):
        if not count:
            assert fit.errors.raw_dc[lead] == CONTINENTAL_ERRORS.raw_dc[lead]
        mine = [e for at, e in cases if at == lead and not math.isnan(e)]
        assert min([0.0, *mine]) <= fit.errors.bias_dc[lead] <= max([0.0, *mine])
