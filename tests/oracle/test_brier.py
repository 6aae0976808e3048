"""Brier score, skill, parts, bins and ROC area against the reference libraries."""

import numpy as np
import pytest
from support.skill_cases import chances

from windowcast.science.skill.bins import FIVE_BINS
from windowcast.science.skill.brier import (
    brier_loss,
    brier_parts_by_value,
    brier_parts_in_bins,
    skill,
)
from windowcast.science.skill.cases import mean_of
from windowcast.science.skill.reliability import reliability, roc_area, wilson_bounds

pytestmark = pytest.mark.oracle

CHANCES = chances()


@pytest.fixture(params=CHANCES, ids=lambda name: name.replace(" ", "-"))
def sides(request):
    return CHANCES[request.param]


def arrays(sides):
    """Both sides as the libraries want them, without the cases that are untold."""
    import xarray

    told = ~np.isnan(sides[0])
    return [xarray.DataArray(side[told], dims="case") for side in sides]


def in_bins(sides):
    """Mean chance, share that happened and count of each bin that has cases, by xskillscore.

    Its bins are closed above and ours below: chances are moved up by a hair, but 1.
    """
    import xskillscore

    chance, happened = arrays(sides)
    inside = np.minimum(chance + 1e-12, 1.0)
    found = xskillscore.reliability(
        happened == 1.0, inside, dim="case", probability_bin_edges=np.array(FIVE_BINS)
    )
    return found.values, found["samples"].values


def test_the_brier_score_is_that_of_three_libraries(sides):
    import properscoring
    import scores.probability
    import xskillscore

    ours = mean_of(brier_loss(*sides)).value
    chance, happened = arrays(sides)
    assert ours == pytest.approx(float(scores.probability.brier_score(chance, happened)), abs=1e-9)
    assert ours == pytest.approx(
        float(properscoring.brier_score(happened.values, chance.values).mean()), abs=1e-9
    )
    assert ours == pytest.approx(
        float(xskillscore.brier_score(happened == 1.0, chance, dim="case")), abs=1e-9
    )


def test_skill_against_the_share_of_all_cases_is_that_of_scores(sides):
    import scores.probability
    import xarray

    chance, happened = arrays(sides)
    share = xarray.full_like(chance, float(happened.mean()))
    ours, theirs = (
        float(scores.probability.brier_score(told, happened)) for told in (chance, share)
    )
    base = np.where(np.isnan(sides[0]), np.nan, share.values[0])
    figure = skill(brier_loss(*sides), brier_loss(base, sides[1]))
    assert figure.value == pytest.approx(1.0 - ours / theirs, abs=1e-9)


def test_each_bin_is_that_of_xskillscore(sides):
    shares, counts = in_bins(sides)
    bins = reliability(*sides).bins
    assert [each.cases for each in bins] == counts.tolist()
    ours = [np.nan if each.came_frac is None else each.came_frac for each in bins]
    assert ours == pytest.approx(shares.tolist(), abs=1e-9, nan_ok=True)


def test_resolution_and_uncertainty_are_those_of_the_bins_of_xskillscore(sides):
    shares, counts = in_bins(sides)
    filled = counts > 0
    weight, share = counts[filled] / counts.sum(), shares[filled]
    base = float(weight @ share)
    parts = brier_parts_in_bins(*sides)
    assert parts.resolution == pytest.approx(float(weight @ (share - base) ** 2), abs=1e-9)
    assert parts.uncertainty == pytest.approx(base * (1.0 - base), abs=1e-9)


def test_the_parts_by_value_add_up_to_the_score_of_scores(sides):
    import scores.probability

    parts = brier_parts_by_value(*sides)
    total = parts.reliability - parts.resolution + parts.uncertainty
    theirs = scores.probability.brier_score(*arrays(sides))
    assert total == pytest.approx(float(theirs), abs=1e-9)


def test_the_area_is_that_of_scores(sides):
    import scores.probability

    theirs = scores.probability.roc_auc(*arrays(sides))
    assert roc_area(*sides).value == pytest.approx(float(theirs), abs=1e-9)


@pytest.mark.parametrize(("hits", "cases"), [(0, 7), (7, 7), (1, 2), (13, 40), (399, 1200)])
def test_the_bounds_of_a_share_are_those_of_statsmodels(hits, cases):
    from statsmodels.stats.proportion import proportion_confint

    ours = wilson_bounds(hits, cases)
    theirs = proportion_confint(hits, cases, alpha=0.05, method="wilson")
    assert (ours.low_frac, ours.high_frac) == pytest.approx(theirs, abs=1e-9)
