"""CRPS against properscoring, scores and xskillscore, case by case."""

import numpy as np
import pytest
from support.skill_cases import ensembles

from windowcast.science.skill.crps import crps_fair, crps_normal, crps_plain, crps_point

pytestmark = pytest.mark.oracle

ENSEMBLES = ensembles()


@pytest.fixture(params=ENSEMBLES, ids=lambda name: name.replace(" ", "-"))
def case(request):
    return request.param


def near(members=1.0):
    """1e-9, or the last digits of the numbers where these are large: 1e6 has none beyond 1e-10."""
    largest = float(np.nanmax(np.abs(members)))
    return {"abs": max(1e-9, 1e-14 * largest), "rel": 1e-9, "nan_ok": True}


# A case without a single member is a mean of nothing to it; it gives NaN, as we do, and warns.
@pytest.mark.filterwarnings("ignore:Mean of empty slice:RuntimeWarning")
def test_members_score_as_in_properscoring(case):
    import properscoring

    members, came = ENSEMBLES[case]
    assert crps_plain(members, came) == pytest.approx(
        properscoring.crps_ensemble(came, members), **near(members)
    )


@pytest.mark.parametrize(("ours", "method"), [(crps_plain, "ecdf"), (crps_fair, "fair")])
def test_members_score_as_in_scores(case, ours, method):
    import xarray
    from scores.probability import crps_for_ensemble

    members, came = ENSEMBLES[case]
    theirs = crps_for_ensemble(
        xarray.DataArray(members, dims=("case", "member")),
        xarray.DataArray(came, dims="case"),
        "member",
        method=method,
        preserve_dims="case",
    )
    assert ours(members, came) == pytest.approx(theirs.values, **near(members))


@pytest.mark.parametrize("sd", [0.5, 3.0, 40.0])
@pytest.mark.parametrize("case", ["usual", "the truth far outside", "truth untold"])
def test_a_normal_scores_as_in_properscoring_and_xskillscore(case, sd):
    import properscoring
    import xarray
    import xskillscore

    members, came = ENSEMBLES[case]
    mean = members.mean(axis=1)
    ours = crps_normal(mean, sd, came)
    assert ours == pytest.approx(properscoring.crps_gaussian(came, mean, sd), **near())
    truth, told = (xarray.DataArray(side, dims="case") for side in (came, mean))
    theirs = xskillscore.crps_gaussian(truth, told, sd, dim=[])
    assert ours == pytest.approx(theirs.values, **near())


def test_a_single_line_scores_as_an_ensemble_of_one():
    import properscoring

    members, came = ENSEMBLES["truth untold"]
    line = members[:, 0]
    theirs = properscoring.crps_ensemble(came, line[:, None])
    assert crps_point(line, came) == pytest.approx(theirs, **near())
