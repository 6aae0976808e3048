"""Archives whose arrays do not fit are not built."""

import numpy as np
import pytest

from windowcast.terms.skill import ForecastArchive


def archive(issued=("2027-01-05T13", "2027-01-06T13"), forecast=(2, 3), came=(2, 3)):
    return ForecastArchive(
        lat_deg=43.61,
        lon_deg=-116.2,
        tz="America/Boise",
        issued=np.array(issued, "datetime64[h]"),
        lead_h=np.arange(3),
        forecast={"temp_c": np.zeros(forecast)},
        came={"temp_c": np.zeros(came)},
    )


def test_every_element_has_its_hour():
    assert str(archive().hours[1, 2]) == "2027-01-06T15"


@pytest.mark.parametrize("shape", [(3, 2), (2, 2), (6,)])
def test_arrays_of_another_shape_are_refused(shape):
    for side in ("forecast", "came"):
        with pytest.raises(ValueError, match="case, lead"):
            archive(**{side: shape})


@pytest.mark.parametrize("second", ["2027-01-05T13", "2027-01-05T12"])
def test_issues_that_do_not_rise_are_refused(second):
    with pytest.raises(ValueError, match="rising"):
        archive(issued=("2027-01-05T13", second))
