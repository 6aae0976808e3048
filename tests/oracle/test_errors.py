"""Bias, MAE and RMSE against scores and xskillscore, which drop untold cases as we do."""

import pytest
from support.skill_cases import forecasts

from windowcast.science.skill.errors import (
    bias,
    forecast_error,
    mean_absolute_error,
    root_mean_square_error,
)

pytestmark = pytest.mark.oracle

OURS = {"mean_error": bias, "mae": mean_absolute_error, "rmse": root_mean_square_error}


@pytest.fixture(params=[1, 2, 3])
def sides(request):
    return forecasts(request.param)


def arrays(sides):
    import xarray

    return [xarray.DataArray(side, dims="case") for side in sides]


@pytest.mark.parametrize("name", OURS)
def test_errors_are_those_of_scores(sides, name):
    import scores.continuous

    theirs = getattr(scores.continuous, name)(*arrays(sides))
    assert OURS[name](forecast_error(*sides)).value == pytest.approx(float(theirs), abs=1e-9)


@pytest.mark.parametrize(
    ("name", "theirs"), [("mean_error", "me"), ("mae", "mae"), ("rmse", "rmse")]
)
def test_errors_are_those_of_xskillscore(sides, name, theirs):
    import xskillscore

    # Its mean error is that of the first less the second, as ours.
    value = getattr(xskillscore, theirs)(*arrays(sides), dim="case", skipna=True)
    assert OURS[name](forecast_error(*sides)).value == pytest.approx(float(value), abs=1e-9)
