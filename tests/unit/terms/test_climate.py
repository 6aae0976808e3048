"""Words of climate are built valid or not at all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from support.spreads import CLIMATE, winters

from windowcast.terms.climate import PastDays

RECORD = winters(years=range(1990, 1992))
PAST = PastDays(
    lat_deg=44.0,
    lon_deg=-105.0,
    first=np.datetime64("1990-07-01"),
    warmth=np.zeros(9),
    wetness=np.zeros(9),
    seasons=(1990,),
)


def holed(table, value=np.nan):
    changed = table.copy()
    changed[3] = value
    return changed


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"mean_c": CLIMATE.mean_c[:365]}, "mean_c is not \\(366, 24\\)"),
        ({"wet_frac": CLIMATE.wet_frac[:365]}, "wet_frac is not \\(366,\\)"),
        ({"high_c": holed(CLIMATE.high_c)}, "high_c is not told for every day"),
        ({"spread_dc": holed(CLIMATE.spread_dc, 0.0)}, "not more than 0"),
        ({"high_spread_dc": holed(CLIMATE.high_spread_dc, -1.0)}, "not more than 0"),
        ({"wet_frac": holed(CLIMATE.wet_frac, 0.0)}, "not between 0 and 1"),
        ({"wet_frac": holed(CLIMATE.wet_frac, 1.0)}, "not between 0 and 1"),
        ({"warm_wet_corr": holed(CLIMATE.warm_wet_corr, 1.0)}, "not between -1 and 1"),
        ({"lag_corr": 1.0}, "not between -1 and 1"),
    ],
)
def test_a_climate_that_cannot_be_is_refused(change, says):
    with pytest.raises(ValueError, match=says):
        replace(CLIMATE, **change)


def test_a_day_that_is_never_warm_says_nothing_of_dry_warm_days():
    assert np.isnan(replace(CLIMATE, dry_warm_frac=np.full(366, np.nan)).dry_warm_frac).all()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"days": RECORD.days[::-1]}, "rising order"),
        ({"days": np.repeat(RECORD.days[:1], RECORD.days.size)}, "rising order"),
        ({"days": RECORD.days.astype("datetime64[h]")}, "datetime64\\[D\\]"),
        ({"rain_mm": RECORD.rain_mm[1:]}, "not all \\(day,\\)"),
        ({"rain_mm": RECORD.rain_mm - 0.1}, "below 0"),
        ({"lat_deg": 91.0}, "are no place"),
        ({"lon_deg": -181.0}, "are no place"),
    ],
)
def test_a_record_that_cannot_be_is_refused(change, says):
    with pytest.raises(ValueError, match=says):
        replace(RECORD, **change)


def test_past_days_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="not both"):
        replace(PAST, warmth=np.zeros(8))
    with pytest.raises(ValueError, match="without a whole season"):
        replace(PAST, seasons=())
