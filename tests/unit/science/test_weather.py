"""Who tells which hour."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from support.outlooks import ISSUED, outlook, yard

from windowcast.science.weather import has_gap, join, last_told, with_sunshine
from windowcast.terms.outlook import PAST, Hazard, Origin
from windowcast.times import as_hour

START = datetime(2027, 1, 12, 8, tzinfo=UTC)
NWS = Origin(name="nws", issued_at=ISSUED)
LONG = Origin(name="open_meteo", issued_at=ISSUED)
STATION = Origin(name="nws", kind=PAST, detail="station XZZZ", issued_at=ISSUED)
DAILY = Origin(name="station_daily", kind=PAST, spread=True)


def tellers(joined):
    names = [f"{o.name} {o.kind}" for o in joined.origins]
    return [None if number < 0 else names[number] for number in joined.origin_of_hour]


def test_hours_beyond_the_reach_of_the_first_come_from_the_next():
    joined = join(
        [outlook(count=24, temp_c=5.0, origin=NWS), outlook(count=48, temp_c=9.0, origin=LONG)], []
    )
    assert joined.hours.size == 48
    assert joined.arrays["temp_c"][0].tolist() == [5.0] * 24 + [9.0] * 24
    assert tellers(joined) == ["nws forecast"] * 24 + ["open_meteo forecast"] * 24


def test_the_reach_is_the_last_hour_with_temperature_and_wind():
    wind = np.r_[np.ones(22), np.full(2, np.nan)]
    short = outlook(count=24, wind_mps=wind, temp_c=5.0, origin=NWS)
    assert last_told(short) == as_hour(START + timedelta(hours=21))
    joined = join([short, outlook(count=48, temp_c=9.0, origin=LONG)], [])
    assert joined.arrays["temp_c"][0].tolist() == [5.0] * 22 + [9.0] * 26


def test_a_gap_of_temperature_or_wind_inside_the_first_is_filled_from_the_next():
    wind = np.ones(24)
    wind[5:8] = np.nan
    gappy = outlook(count=24, wind_mps=wind, temp_c=5.0, origin=NWS)
    joined = join([gappy, outlook(count=24, temp_c=9.0, origin=LONG)], [])
    assert joined.arrays["temp_c"][0].tolist() == [5.0] * 5 + [9.0] * 3 + [5.0] * 16
    assert tellers(joined)[4:9] == ["nws forecast"] + ["open_meteo forecast"] * 3 + ["nws forecast"]
    alone = join([gappy], [])
    assert np.isnan(alone.arrays["wind_mps"][0, 5:8]).all()
    assert alone.arrays["temp_c"][0, 6] == 5.0


def test_a_gap_is_an_hour_that_no_forecast_judges():
    wind = np.ones(24)
    wind[5] = np.nan
    gappy, whole = outlook(count=24, wind_mps=wind), outlook(count=24)
    first, fourth, last = (as_hour(START + timedelta(hours=n)) for n in (0, 4, 23))
    assert has_gap([gappy], first, last) is True
    assert has_gap([gappy], first, fourth) is False
    assert has_gap([gappy, whole], first, last) is False


def test_a_layer_that_ends_early_is_not_filled_from_another_source():
    rain = np.r_[np.zeros(12), np.full(12, np.nan)]
    joined = join(
        [outlook(count=24, rain_mm=rain, origin=NWS), outlook(count=24, rain_mm=3.0, origin=LONG)],
        [],
    )
    assert np.isnan(joined.arrays["rain_mm"][0, 12:]).all()
    assert joined.origins == (NWS,)


def test_hours_before_the_forecast_come_from_the_past_in_order():
    early = START - timedelta(hours=10)
    observed = np.r_[np.full(4, np.nan), np.full(8, 2.0)]
    gone = {"wind_mps": np.nan, "wind_from_deg": np.nan, "rain_mm": np.nan,
            "rain_prob_frac": np.nan,
            "cloud_frac": np.nan, "thunder": np.nan, "freezing_rain": np.nan}  # fmt: skip
    joined = join(
        [outlook(count=24, temp_c=5.0, origin=NWS)],
        [
            outlook(first=early, count=12, temp_c=observed, origin=STATION, **gone),
            outlook(first=early, count=12, temp_c=1.0, origin=DAILY, **gone),
        ],
    )
    assert joined.arrays["temp_c"][0, :12].tolist() == [1.0] * 4 + [2.0] * 6 + [5.0] * 2
    assert tellers(joined)[:10] == ["station_daily past"] * 4 + ["nws past"] * 6


def test_a_hole_between_past_and_forecast_is_told_by_nobody():
    early = START - timedelta(hours=10)
    joined = join([outlook(count=24, origin=NWS)], [outlook(first=early, count=4, origin=STATION)])
    assert tellers(joined)[4:10] == [None] * 6
    assert np.isnan(joined.arrays["temp_c"][0, 4:10]).all()


def test_official_hazards_of_every_forecast_are_kept_once_whoever_tells_the_hours():
    near = Hazard(phenomenon="WI", significance="Y", first=as_hour(START), count=3)
    far = Hazard(
        phenomenon="WS", significance="W", first=as_hour(START + timedelta(hours=30)), count=3
    )
    quiet = outlook(count=48, origin=LONG)
    told = outlook(count=48, origin=NWS, hazards=(near, far))
    assert join([quiet, told], []).hazards == (near, far)
    assert join([told, outlook(count=48, origin=LONG, hazards=(near,))], []).hazards == (near, far)


def test_an_outlook_that_tells_nothing_has_no_reach():
    assert last_told(outlook(temp_c=np.nan)) is None


def test_sunshine_is_computed_only_where_it_is_not_told_and_is_marked():
    told = np.r_[np.full(12, 55.0), np.full(36, np.nan)]
    filled = with_sunshine(outlook(sun_wm2=told, cloud_frac=0.0), yard())
    assert filled.arrays["sun_wm2"][0, :12].tolist() == [55.0] * 12
    assert np.isfinite(filled.arrays["sun_wm2"]).all()
    assert filled.origins[0].derived == frozenset({"sun_wm2"})


def test_without_sky_cover_sunshine_stays_untold():
    dark = outlook(cloud_frac=np.nan)
    assert with_sunshine(dark, yard()) is dark


def test_a_higher_yard_gets_more_sun():
    low = with_sunshine(outlook(cloud_frac=0.0), yard(elev_m=None)).arrays["sun_wm2"].max()
    high = with_sunshine(outlook(cloud_frac=0.0), yard(elev_m=2000.0)).arrays["sun_wm2"].max()
    assert high / low == pytest.approx(0.79 / 0.75, rel=1e-6)
