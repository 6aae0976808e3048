"""Daily station files in every form: what is read, and what is refused."""

from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from support.station_files import (
    CLIMATES,
    STATION,
    Season,
    in_customary,
    in_metric,
    in_tenths,
    long,
    long_rows,
    payload,
    season,
    wide,
    wide_of_archive,
    zipped,
)

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.ghcn_daily import StationDays, days_between, read_station_daily

AUTUMN = date(2026, 8, 25)
BASIN = season(CLIMATES["basin"], AUTUMN, 120, seed=3)  # the days of the files in fixtures


def read(body: bytes, station: str | None = None) -> StationDays:
    return read_station_daily(body, place="station_daily: x.csv", station=station)


def day(days: StationDays, which: str) -> pd.Series:
    return days.table.loc[which]


def refusal(body: bytes, station: str | None = None) -> str:
    with pytest.raises(SourceGarbled) as caught:
        read(body, station)
    said = str(caught.value)
    assert said.startswith("station_daily: x.csv: ")
    assert "\n" not in said
    return said


def weather(day_rows: str) -> bytes:
    """A long file that holds the invented season and some rows more."""
    return long(BASIN, header=False) + long_rows(*day_rows.split())


# --- every form is the same weather ---------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "units", "off_dc", "off_mm"),
    [
        ("long.csv", "tenths of °C and mm", 0.05, 0.05),
        ("long_without_header.csv.gz", "tenths of °C and mm", 0.05, 0.05),
        ("wide_of_archive.csv", "tenths of °C and mm", 0.05, 0.05),
        ("wide_in_c_and_mm.csv", "°C and mm", 0.05, 0.05),
        ("wide_in_f_and_inches.csv", "°F and inches", 0.28, 0.13),
        ("wide_with_named_units.csv", "°F and inches", 0.28, 0.13),
    ],
)
def test_every_form_tells_the_same_days(
    name: str, units: str, off_dc: float, off_mm: float
) -> None:
    days = read(payload(name))
    assert days.units == units
    assert days.table.index[0] == pd.Timestamp("2026-08-25")
    assert days.table.index[-1] == pd.Timestamp("2026-12-22")
    np.testing.assert_allclose(days.table["tmax_c"], BASIN.highs, atol=off_dc + 1e-6)
    np.testing.assert_allclose(days.table["tmin_c"], BASIN.lows, atol=off_dc + 1e-6)
    np.testing.assert_allclose(days.table["rain_mm"], BASIN.rain, atol=off_mm + 1e-6)
    assert days.dropped == ()


def test_the_first_row_of_the_archives_wide_form_is_read_in_full() -> None:
    # "2026-08-25" ... PRCP "    0", TMAX "  362", TMIN "  126" in fixtures/payloads.
    days = read(payload("wide_of_archive.csv"))
    first = day(days, "2026-08-25")
    raw = payload("wide_of_archive.csv").decode().splitlines()[1].split('","')
    assert [cell.strip() for cell in (raw[6], raw[8], raw[10])] == ["0", "362", "126"]
    assert (first.rain_mm, first.tmax_c, first.tmin_c) == pytest.approx((0.0, 36.2, 12.6))
    assert (days.station, days.lat_deg, days.lon_deg) == (STATION, 43.6, -116.2)


@pytest.mark.parametrize("name", ["mixed_units.csv", "units_change.csv"])
def test_a_file_of_two_unit_systems_is_refused(name: str) -> None:
    assert "the values fit no units" in refusal(payload(name))


def test_a_file_whose_units_are_not_plain_is_refused() -> None:
    assert "°C and mm or °F and inches" in refusal(payload("unclear_units.csv"))


def test_units_named_in_the_header_settle_what_is_not_plain() -> None:
    body = payload("unclear_units.csv").replace(
        b"DATE,TMAX,TMIN,PRCP", "DATE,TMAX (°C),TMIN (°C),PRCP (mm)".encode()
    )
    assert read(body).units == "°C and mm"


@pytest.mark.parametrize(
    ("header", "cells"),
    [
        ("DATE,TMAX (°F),TMIN (deg F),PRCP (in)", in_customary),
        ("date,tmax (Degrees Fahrenheit),tmin (F),prcp (Inches)", in_customary),
        ("DATE,TMAX [Degrees Celsius],TMIN [°C],PRCP [Millimeters]", in_metric),
        ("DATE,TMAX (tenths of degrees C),TMIN (0.1 °C),PRCP (tenths of mm)", in_tenths),
    ],
)
def test_units_in_the_header_are_known_by_many_names(header: str, cells: object) -> None:
    told = season(CLIMATES["basin"], date(2026, 12, 20), 8, seed=1)
    days = read(wide(told, cells(told), header))  # type: ignore[operator]
    np.testing.assert_allclose(days.table["tmax_c"], told.highs, atol=0.3)


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("DATE,TMAX (°F),TMIN (°F),PRCP (mm)", "mixes units"),
        ("DATE,TMAX (K),TMIN (K),PRCP (mm)", 'TMAX in "K"'),
        ("DATE,TMAX,TMIN,PRCP (feet)", 'PRCP in "FEET"'),
        ("DATE,TMAX (°C),TMIN (°C),PRCP (mm)", "beyond all records"),
    ],
)
def test_units_in_the_header_that_cannot_be_are_refused(header: str, said: str) -> None:
    assert said in refusal(wide(BASIN, in_customary(BASIN), header))


def test_a_part_whose_units_differ_from_the_whole_is_refused_where_it_is_used() -> None:
    past = season(CLIMATES["basin"], date(1996, 9, 1), 11_000, seed=8)
    both = wide(past, in_tenths(past)) + wide(BASIN, in_customary(BASIN)).split(b"\n", 1)[1]
    days = read(both)
    assert days.units == "tenths of °C and mm"
    with pytest.raises(SourceGarbled, match="no weather in tenths of °C and mm"):
        days_between(days, date(2026, 8, 31), date(2026, 12, 31), place="station_daily: x.csv")


def test_days_between_two_dates_hold_both() -> None:
    part = days_between(read(long(BASIN)), date(2026, 9, 1), date(2026, 9, 30), place="x")
    assert len(part.table) == 30
    assert part.table.index[0] == pd.Timestamp("2026-09-01")


# --- flags ----------------------------------------------------------------------------------


def test_a_value_that_failed_a_check_is_untold_and_not_zero() -> None:
    days = read(weather("20270110,TMAX,317,,X,7, 20270110,TMIN,-20,,,7, 20270110,PRCP,0,,G,7,"))
    assert np.isnan(day(days, "2027-01-10")[["tmax_c", "rain_mm"]].to_numpy(float)).all()
    assert day(days, "2027-01-10").tmin_c == -2.0


def test_a_trace_is_told_and_zero() -> None:
    days = read(weather("20270110,PRCP,0,T,,7, 20270111,PRCP,3,T,,7,"))
    assert day(days, "2027-01-10").rain_mm == 0.0
    assert day(days, "2027-01-11").rain_mm == 0.0


@pytest.mark.parametrize("flag", ["P", "A"])
def test_a_presumed_zero_and_a_total_of_days_are_untold(flag: str) -> None:
    assert np.isnan(day(read(weather(f"20270110,PRCP,0,{flag},,7,")), "2027-01-10").rain_mm)


def test_flags_of_the_wide_form_stand_in_its_attributes() -> None:
    body = wide_of_archive(BASIN)
    days = read(body.replace(b'",,7"', b'",X,7"', 1))  # the first row's rain
    assert np.isnan(day(days, "2026-08-25").rain_mm)
    assert day(days, "2026-08-25").tmax_c == pytest.approx(36.2)
    traced = read(body.replace(b'"    0",",,7"', b'"    3","T,,7"', 1))
    assert day(traced, "2026-08-25").rain_mm == 0.0


@pytest.mark.parametrize("cell", ["-9999", "9999", "", " ", "M", "NaN"])
def test_a_missing_value_is_untold(cell: str) -> None:
    rows = wide(BASIN, in_tenths(BASIN)).decode() + f"2027-01-10,{cell},{cell},{cell}\n"
    values = day(read(rows.encode()), "2027-01-10")[["tmax_c", "tmin_c", "rain_mm"]]
    assert values.isna().all()


def test_a_written_trace_of_an_american_order_is_zero() -> None:
    rows = wide(BASIN, in_customary(BASIN)).decode() + "2027-01-10,40,30,T\n"
    assert day(read(rows.encode()), "2027-01-10").rain_mm == 0.0


# --- times of reading -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("told", "minutes"),
    [("0700", 420), ("700", 420), ("07:00", 420), ("1730", 1050), ("2400", 1440), ("0000", 1440)],
)
def test_the_time_of_reading_is_in_minutes_of_the_day(told: str, minutes: int) -> None:
    days = read(weather(f"20270110,TMAX,31,,,7,{told}"))
    assert day(days, "2027-01-10").tmax_read_min == minutes


@pytest.mark.parametrize("told", ["", "9999", "2500", "noon"])
def test_without_a_time_of_reading_the_day_ends_at_midnight(told: str) -> None:
    days = read(weather(f"20270110,TMAX,31,,,7,{told}"))
    assert day(days, "2027-01-10").tmax_read_min == 1440


def test_a_time_that_one_element_tells_holds_for_the_others_of_the_day() -> None:
    days = read(weather("20270110,PRCP,0,,,7,0700 20270110,TMAX,31,,,7,"))
    assert day(days, "2027-01-10").tmax_read_min == 420


def test_a_time_left_out_for_some_days_is_the_one_before() -> None:
    days = read(weather("20270110,PRCP,0,,,7,0700 20270117,PRCP,0,,,7, 20270118,PRCP,0,,,7,"))
    assert day(days, "2027-01-17").rain_read_min == 420
    assert day(days, "2027-01-18").rain_read_min == 1440


def test_the_wide_form_tells_the_time_of_reading_in_its_attributes() -> None:
    days = read(wide_of_archive(BASIN, read_at="0700"))
    assert set(days.table["rain_read_min"]) == {420.0}


# --- totals of several days -----------------------------------------------------------------


def test_a_total_of_several_days_keeps_their_number() -> None:
    days = read(weather("20270112,MDPR,90,,,7, 20270112,DAPR,3,,,7,"))
    assert day(days, "2027-01-12").rain_mm == pytest.approx(9.0)
    assert day(days, "2027-01-12").rain_days == 3


@pytest.mark.parametrize(
    "rows",
    [
        "20270112,MDPR,90,,,7,",
        "20270112,MDPR,90,,,7, 20270112,DAPR,0,,,7,",
        "20270112,MDPR,90,,,7, 20270112,DAPR,2.5,,,7,",
        "20270112,MDPR,90,,,7, 20270112,DAPR,32,,,7,",
        "20270112,MDPR,90,,,7, 20270112,DAPR,3,,,7, 20270110,PRCP,5,,,7,",
    ],
)
def test_a_total_whose_days_are_not_plain_is_untold(rows: str) -> None:
    assert np.isnan(day(read(weather(rows)), "2027-01-12").rain_mm)


def test_a_days_own_rain_goes_before_a_total() -> None:
    rows = "20270112,PRCP,5,,,7, 20270112,MDPR,90,,,7, 20270112,DAPR,3,,,7,"
    found = day(read(weather(rows)), "2027-01-12")
    assert (found.rain_mm, found.rain_days) == (0.5, 1)


# --- what cannot be -------------------------------------------------------------------------


def test_a_lowest_above_the_highest_drops_both_and_is_named() -> None:
    days = read(weather("20270110,TMAX,31,,,7, 20270110,TMIN,90,,,7, 20270110,PRCP,5,,,7,"))
    found = day(days, "2027-01-10")
    assert np.isnan(found.tmax_c)
    assert np.isnan(found.tmin_c)
    assert found.rain_mm == 0.5
    assert [(drop.day, drop.said) for drop in days.dropped] == [
        (
            date(2027, 1, 10),
            "station_daily: x.csv: 2027-01-10: the lowest, 9.0 °C, is above the highest, 3.1 °C;"
            " left out",
        )
    ]


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ("TMAX,551", "tmax_c"),
        ("TMIN,-601", "tmin_c"),
        ("PRCP,19001", "rain_mm"),
        ("PRCP,-1", "rain_mm"),
    ],
)
def test_a_value_that_cannot_be_is_left_out_and_named(row: str, column: str) -> None:
    days = read(weather(f"20270110,{row},,,7,"))
    assert np.isnan(day(days, "2027-01-10")[column])
    assert f"2027-01-10: {column}" in days.dropped[0].said


@pytest.mark.parametrize(
    ("row", "column", "value"),
    [("TMAX,550", "tmax_c", 55.0), ("TMIN,-600", "tmin_c", -60.0), ("PRCP,19000", "rain_mm", 1900)],
)
def test_a_value_at_the_bound_is_kept(row: str, column: str, value: float) -> None:
    days = read(weather(f"20270110,{row},,,7,"))
    assert day(days, "2027-01-10")[column] == pytest.approx(value)


def test_a_day_told_twice_alike_is_told_once() -> None:
    days = read(weather("20270110,TMAX,31,,,7, 20270110,TMAX,31,,,7,"))
    assert day(days, "2027-01-10").tmax_c == pytest.approx(3.1)
    assert days.dropped == ()


def test_a_day_told_twice_differently_is_untold_and_named() -> None:
    days = read(weather("20270110,TMAX,31,,,7, 20270110,TMAX,36,,,7, 20270110,PRCP,0,,,7,"))
    assert np.isnan(day(days, "2027-01-10").tmax_c)
    assert "TMAX is told twice" in days.dropped[0].said


def test_rows_may_come_in_any_order() -> None:
    head, *rows = wide(BASIN, in_tenths(BASIN)).decode().splitlines()
    turned = "\n".join((head, *reversed(rows))).encode()
    pd.testing.assert_frame_equal(read(turned).table, read(wide(BASIN, in_tenths(BASIN))).table)


def test_rain_alone_is_enough_in_the_archives_own_form() -> None:
    nothing = np.full(BASIN.rain.size, np.nan)
    dry = Season(days=BASIN.days, highs=nothing, lows=nothing, rain=BASIN.rain)
    table = read(long(dry)).table
    assert table["tmax_c"].isna().all()
    assert table["rain_mm"].notna().all()


# --- which station --------------------------------------------------------------------------


def test_one_of_several_stations_is_chosen_by_name() -> None:
    other = long(BASIN, header=False, station="USC00999902")
    both = long(BASIN) + other
    assert read(both, "USC00999902").station == "USC00999902"
    assert "holds 2 stations" in refusal(both)
    assert "not USC00999903" in refusal(both, "USC00999903")


def test_another_station_than_the_named_one_is_refused() -> None:
    assert f"about the station {STATION}, not USC00999902" in refusal(long(BASIN), "USC00999902")
    named = payload("wide_with_named_units.csv")
    assert f"about the station {STATION}, not USC00999902" in refusal(named, "USC00999902")


def test_a_file_without_a_name_is_taken_for_the_station_asked_for() -> None:
    assert read(wide(BASIN, in_tenths(BASIN)), STATION).station == STATION
    assert read(wide(BASIN, in_tenths(BASIN))).station is None


# --- no such file at all --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b"", "empty"),
        (b"\n \n", "empty"),
        (b"\x00\x01\x02", "not text"),
        (b"<html><body>Busy</body></html>", "no header with DATE"),
        (b"DATE;TMAX;TMIN\n2027-01-01;1;2", "semicolons"),
        (b"DATE,AWND\n2027-01-01,5", "none of TMAX, TMIN and PRCP"),
        (b"DATE,TMAX\n", "no rows"),
        (b"DATE,TMAX,TMAX\n2027-01-01,5,5", "twice"),
        (b"DATE,TMAX\n2027-01-01,", "tells no value of TMAX"),
        (b"DATE,TMAX\n01/02/2027,5", "is not a date"),
        (b"DATE,TMAX\n2027-02-30,5", "is not a date"),
        (b"DATE,TMAX\n2027-0112,5", "is not a date"),
        (b"DATE,TMAX\n,5", "is not a date"),
        (b"DATE,TMAX\n1492-10-12,5", "is not a date"),
        (b"DATE,TMAX\n2027-01-01,five", 'TMAX: "five" is not a number'),
        (b'DATE,TMAX\n2027-01-01,"4,5"', 'TMAX: "4,5" is not a number'),
        (b"DATE,TMAX\n2027-01-01,T", 'TMAX: "T" is not a number'),
        (b"DATE,TMAX\n2027-01-01,1_0", "is not a number"),
        (b"DATE,TMAX\n2027-01-01,inf", "is not a number"),
        (b"DATE,TMAX\n2027-01-01,1e999", "is not a number"),
        (b"DATE,LATITUDE,TMAX\n2027-01-01,91,5", "LATITUDE"),
        (b"ID,DATE,ELEMENT\nUSC00999901,20270101,TMAX", "needs the columns"),
        (b'DATE,TMAX\n2027-01-01,"5', "cannot be read"),
        (zipped(b"DATE,TMAX\n2027-01-01,5")[:-12], "gzip breaks off"),
        (b"\x1f\x8b" + b"nonsense", "gzip is damaged"),
    ],
)
def test_what_is_no_station_file_is_refused_in_one_sentence(body: bytes, said: str) -> None:
    assert said in refusal(body)


def test_a_bomb_is_refused_before_it_unfolds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("windowcast.sources.wire.ghcn_file.LARGEST_BYTES", 2**20)
    assert "unfolds to more than" in refusal(zipped(bytes(2**22)))


def test_a_file_in_two_gzip_members_is_read_whole() -> None:
    whole = long(BASIN)
    half = whole.index(b"\n", len(whole) // 2) + 1
    parts = zipped(whole[:half]) + zipped(whole[half:])
    pd.testing.assert_frame_equal(read(parts).table, read(whole).table)


def test_a_byte_order_mark_and_carriage_returns_do_no_harm() -> None:
    body = b"\xef\xbb\xbf" + wide(BASIN, in_tenths(BASIN)).replace(b"\n", b"\r\n")
    assert len(read(body).table) == 120


def test_a_name_with_letters_of_an_old_code_page_does_no_harm() -> None:
    body = wide_of_archive(BASIN).replace(b"NOWHERE FIELD", "ROC\u00c9 FIELD".encode("latin-1"))
    assert len(read(body).table) == 120


def test_the_payloads_are_all_used(request: pytest.FixtureRequest) -> None:
    here = Path(request.path).read_text("utf-8")
    folder = Path(__file__).resolve().parents[4] / "fixtures" / "payloads" / "station_daily"
    assert [file.name for file in sorted(folder.iterdir()) if file.name not in here] == []
