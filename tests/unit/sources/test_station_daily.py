"""The source station_daily: the past of a season for every yard near enough, or a remark."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from support.canned import CannedFetcher
from support.station_files import (
    CLIMATES,
    STATION,
    in_customary,
    in_tenths,
    long,
    long_rows,
    payload,
    season,
    wide,
    wide_of_archive,
    zipped,
)

from windowcast.problems import SourceDown
from windowcast.sources.station_daily import StationDaily, season_start, standard_zone
from windowcast.terms.outlook import PAST, Answer
from windowcast.terms.yard import Yard

# The invented season of the files in fixtures: 25 August to 22 December 2026.
BASIN = season(CLIMATES["basin"], date(2026, 8, 25), 120, seed=3)
NOW = datetime(2026, 12, 24, 13, tzinfo=UTC)
LONG = "/USC00999901.csv.gz"
WIDE = "/USC00999901.csv"


def yard(key: str = "kiln", lon_deg: float = -116.2, tz: str | None = "America/Boise") -> Yard:
    return Yard(key=key, name=key, lat_deg=43.61, lon_deg=lon_deg, tz=tz)


def of_file(folder: Path, body: bytes, *yards: Yard, now: datetime = NOW) -> Answer:
    file = folder / "station.csv"
    file.write_bytes(body)
    return StationDaily(CannedFetcher({}), file=file).outlooks(yards or (yard(),), now)


def remark(told: Answer) -> str:
    """The one remark of an answer that has nothing else."""
    assert (dict(told.pasts), dict(told.outlooks), dict(told.trouble)) == ({}, {}, {})
    (said,) = told.remarks
    assert said.startswith("station_daily: ")
    assert "\n" not in said
    return said


# --- what a yard gets -----------------------------------------------------------------------


def test_a_file_is_the_past_since_the_first_of_september(tmp_path: Path) -> None:
    told = of_file(tmp_path, payload("wide_of_archive.csv"))
    past = told.pasts["kiln"]
    assert past.hours[0] == np.datetime64("2026-09-01T06", "h")  # midnight, UTC-6
    assert past.hours[-1] == np.datetime64("2026-12-23T06", "h")  # the last of 22 December
    (origin,) = past.origins
    assert (origin.name, origin.kind, origin.spread) == ("station_daily", PAST, True)
    assert origin.detail == f"station {STATION}"
    assert origin.issued_at == datetime(2026, 12, 23, 7, tzinfo=UTC)
    assert told.remarks == ()
    assert told.outlooks == {}


def test_the_hours_hold_the_rain_of_their_days_and_no_wind(tmp_path: Path) -> None:
    past = of_file(tmp_path, payload("wide_of_archive.csv")).pasts["kiln"]
    fell = sum(np.round(rain, 1) for rain in BASIN.rain[7:])  # from 1 September on
    assert past.arrays["rain_mm"].sum() == pytest.approx(fell, abs=0.05)
    assert np.isnan(past.arrays["wind_mps"]).all()
    assert np.isfinite(past.arrays["temp_c"][0, :-20]).all()


def test_the_hours_stay_within_the_extremes_of_the_season(tmp_path: Path) -> None:
    temps = of_file(tmp_path, payload("wide_of_archive.csv")).pasts["kiln"].arrays["temp_c"]
    assert np.nanmin(temps) >= BASIN.lows[6:].min() - 0.1
    assert np.nanmax(temps) <= BASIN.highs[6:].max() + 0.1


def test_every_yard_gets_the_same_hours_on_its_own_clock(tmp_path: Path) -> None:
    yards = [yard(), yard("mill-ditch"), yard("quarry-bench", tz="America/Los_Angeles")]
    pasts = of_file(tmp_path, payload("long.csv"), *yards).pasts
    assert pasts["kiln"].arrays["rain_mm"].tobytes() == (
        pasts["mill-ditch"].arrays["rain_mm"].tobytes()
    )
    assert pasts["quarry-bench"].hours[0] - pasts["kiln"].hours[0] == np.timedelta64(1, "h")


def test_without_a_zone_days_are_those_of_the_stations_longitude(tmp_path: Path) -> None:
    past = of_file(tmp_path, payload("wide_of_archive.csv"), yard(tz=None)).pasts["kiln"]
    assert past.hours[0] == np.datetime64("2026-09-01T08", "h")  # 116 degrees west: UTC-8


def test_a_reading_at_seven_leaves_the_last_day_with_its_morning(tmp_path: Path) -> None:
    past = of_file(tmp_path, payload("long.csv")).pasts["kiln"]
    assert past.origins[0].issued_at == datetime(2026, 12, 22, 14, tzinfo=UTC)
    assert past.hours[-1] == np.datetime64("2026-12-22T13", "h")


def test_an_earlier_morning_knows_nothing_of_the_days_after_it(tmp_path: Path) -> None:
    now = datetime(2026, 11, 2, 13, tzinfo=UTC)
    past = of_file(tmp_path, payload("wide_of_archive.csv"), now=now).pasts["kiln"]
    assert past.origins[0].issued_at == datetime(2026, 11, 2, 7, tzinfo=UTC)
    assert past.hours[-1] == np.datetime64("2026-11-02T06", "h")


def test_only_what_was_left_out_of_this_season_is_remarked_on(tmp_path: Path) -> None:
    crossed = "{},TMAX,31,,,7, {},TMIN,90,,,7,"
    rows = " ".join(crossed.format(day, day) for day in ("20160110", "20261223"))
    told = of_file(tmp_path, long(BASIN) + long_rows(*rows.split()))
    assert len(told.remarks) == 1
    assert "2026-12-23: the lowest" in told.remarks[0]
    assert "kiln" in told.pasts


def test_many_values_that_cannot_be_are_three_remarks(tmp_path: Path) -> None:
    rows = [f"2026122{n},PRCP,-5,,,7," for n in range(3, 10)]
    now = datetime(2026, 12, 31, tzinfo=UTC)
    told = of_file(tmp_path, long(BASIN) + long_rows(*rows), now=now)
    about = [said for said in told.remarks if "rain_mm" in said]
    assert len(about) == 3
    assert about[-1].endswith("(and 4 more values)")


# --- near enough ----------------------------------------------------------------------------


def test_a_yard_more_than_100_km_from_the_station_goes_without(tmp_path: Path) -> None:
    # At 43.6 degrees north a degree of longitude is 111.195 km * cos 43.6 = 80.5 km.
    near, far = yard("kiln", -116.2 + 1.23), yard("quarry-bench", -116.2 + 1.26)
    told = of_file(tmp_path, wide_of_archive(BASIN), near, far)
    assert set(told.pasts) == {"kiln"}
    assert told.remarks == (
        "station_daily: station.csv: the station is more than 100 km from quarry-bench; no past"
        " hours from it there",
    )


def test_a_station_without_a_place_serves_every_yard(tmp_path: Path) -> None:
    told = of_file(tmp_path, payload("long.csv"), yard(), yard("quarry-bench", -121.0))
    assert set(told.pasts) == {"kiln", "quarry-bench"}


# --- what is asked --------------------------------------------------------------------------


def test_the_archives_long_file_is_asked_for_by_station() -> None:
    fetcher = CannedFetcher({LONG: zipped(long(BASIN))})
    told = StationDaily(fetcher, station=" usc00999901 ").outlooks([yard()], NOW)
    assert set(told.pasts) == {"kiln"}
    assert fetcher.asked == [LONG]
    assert fetcher.kept_h[LONG] == 20.0


def test_another_base_is_asked_for_the_wide_file() -> None:
    fetcher = CannedFetcher({WIDE: wide_of_archive(BASIN)})
    source = StationDaily(fetcher, station=STATION, base_url="http://localhost:8000/access/")
    assert set(source.outlooks([yard()], NOW).pasts) == {"kiln"}
    assert fetcher.asked == [WIDE]


def test_many_yards_are_one_request() -> None:
    fetcher = CannedFetcher({LONG: zipped(long(BASIN))})
    yards = [yard(f"y{n}") for n in range(40)]
    assert len(StationDaily(fetcher, station=STATION).outlooks(yards, NOW).pasts) == 40
    assert len(fetcher.asked) == 1


@pytest.mark.parametrize("today", [date(2026, 7, 1), date(2026, 8, 31)])
def test_before_the_first_of_september_nothing_is_asked(today: date) -> None:
    fetcher = CannedFetcher({})
    now = datetime(today.year, today.month, today.day, tzinfo=UTC)
    told = StationDaily(fetcher, station=STATION).outlooks([yard()], now)
    assert (told.remarks, fetcher.asked) == ((), [])


def test_no_yards_are_no_request() -> None:
    fetcher = CannedFetcher({})
    assert StationDaily(fetcher, station=STATION).outlooks([], NOW).remarks == ()
    assert fetcher.asked == []


def test_it_tells_nothing_ahead() -> None:
    assert (StationDaily.name, StationDaily.reach_h) == ("station_daily", 0)


@pytest.mark.parametrize(
    ("today", "first"),
    [
        (date(2026, 7, 1), date(2026, 9, 1)),
        (date(2026, 12, 31), date(2026, 9, 1)),
        (date(2027, 6, 30), date(2026, 9, 1)),
        (date(2027, 7, 1), date(2027, 9, 1)),
    ],
)
def test_a_season_is_named_from_july_to_june(today: date, first: date) -> None:
    assert season_start(today) == first


@pytest.mark.parametrize(
    ("lon_deg", "tz"),
    [(-116.2, "Etc/GMT+8"), (-112.4, "Etc/GMT+7"), (0.0, "Etc/GMT"), (-7.4, "Etc/GMT"),
     (15.0, "Etc/GMT-1"), (180.0, "Etc/GMT-12"), (-180.0, "Etc/GMT+12")],
)  # fmt: skip
def test_the_standard_time_of_a_longitude(lon_deg: float, tz: str) -> None:
    assert standard_zone(lon_deg) == tz


# --- a missing past is a remark -------------------------------------------------------------


def test_a_file_that_is_not_there_is_a_remark(tmp_path: Path) -> None:
    source = StationDaily(CannedFetcher({}), file=tmp_path / "gone.csv")
    assert "gone.csv: there is no such file" in remark(source.outlooks([yard()], NOW))


def test_a_folder_in_place_of_a_file_is_a_remark(tmp_path: Path) -> None:
    source = StationDaily(CannedFetcher({}), file=tmp_path)
    assert "cannot be read" in remark(source.outlooks([yard()], NOW))


@pytest.mark.parametrize("name", ["unclear_units.csv", "mixed_units.csv", "units_change.csv"])
def test_a_file_whose_units_are_not_plain_is_a_remark(tmp_path: Path, name: str) -> None:
    now = datetime(2027, 1, 20, tzinfo=UTC)
    assert "units" in remark(of_file(tmp_path, payload(name), now=now))


def test_a_season_in_other_units_than_the_rest_of_the_file_is_a_remark(tmp_path: Path) -> None:
    past = season(CLIMATES["basin"], date(1996, 9, 1), 11_000, seed=8)
    both = wide(past, in_tenths(past)) + wide(BASIN, in_customary(BASIN)).split(b"\n", 1)[1]
    assert "check whether two files were put together" in remark(of_file(tmp_path, both))


def test_a_service_that_is_out_is_a_remark() -> None:
    down = SourceDown("station_daily: no answer in 3 tries")
    source = StationDaily(CannedFetcher({LONG: down}), station=STATION)
    assert remark(source.outlooks([yard()], NOW)) == "station_daily: no answer in 3 tries"


def test_without_a_station_and_a_file_the_remark_says_what_to_write() -> None:
    said = remark(StationDaily(CannedFetcher({})).outlooks([yard()], NOW))
    assert 'station = "USW00094728"' in said


def test_a_station_cannot_lead_to_another_path() -> None:
    fetcher = CannedFetcher({})
    StationDaily(fetcher, station="../../etc/passwd").outlooks([yard()], NOW)
    assert fetcher.asked == ["/..%2F..%2FETC%2FPASSWD.csv.gz"]


@pytest.mark.parametrize(("days_later", "is_said"), [(8, False), (9, True)])
def test_a_record_that_ends_before_the_observations_begin_is_remarked_on(
    tmp_path: Path, days_later: int, is_said: bool
) -> None:
    now = datetime(2026, 12, 23, 12, tzinfo=UTC) + timedelta(days=days_later)
    told = of_file(tmp_path, payload("wide_of_archive.csv"), now=now)
    assert bool(told.remarks) is is_said
    assert all("it ends on 2026-12-23" in said for said in told.remarks)
    assert "kiln" in told.pasts


def test_a_record_of_an_older_season_is_a_remark(tmp_path: Path) -> None:
    now = datetime(2027, 10, 1, tzinfo=UTC)
    told = of_file(tmp_path, payload("wide_of_archive.csv"), now=now)
    assert "it tells nothing since 2027-09-01" in remark(told)


def test_in_the_first_days_of_september_an_archive_that_lags_is_not_remarked_on(
    tmp_path: Path,
) -> None:
    now = datetime(2027, 9, 5, tzinfo=UTC)
    told = of_file(tmp_path, payload("wide_of_archive.csv"), now=now)
    assert (dict(told.pasts), told.remarks) == ({}, ())
