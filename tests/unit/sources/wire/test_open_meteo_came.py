"""Tables of hours as they came; the numbers are those of tests/support/open_meteo_archives.py."""

import gzip

import numpy as np
import pytest
from support.open_meteo_archives import UNITS, csv_of, table

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.gzip_body import unpacked
from windowcast.sources.wire.open_meteo_came import read_came


def came(rows):
    return read_came(csv_of(rows), UNITS)


def cell(rows, row, name, text):
    """The table with one cell changed; row 1 is the first below the header."""
    new = [list(each) for each in rows]
    new[row][new[0].index(name)] = text
    return new


def test_every_row_is_an_hour_in_our_units():
    told = came(table())
    assert told.hours.size == 120
    assert str(told.hours[0]) == "2027-01-05T07"
    assert set(told.arrays) == {"temp_c", "wind_mps", "rain_mm", "snow_mm"}
    assert told.arrays["temp_c"][9] == pytest.approx(8.0)  # nine o'clock
    assert told.remarks == ()


@pytest.mark.parametrize("name", ["time", "apparent_temperature"])
def test_a_column_that_is_not_read_may_hold_what_it_likes(name):
    header, *rows = table()
    wider = [[*header, name], *([*row, "2027-01-05T00:00"] for row in rows)]
    told = read_came(csv_of(wider), {**UNITS, name: "iso8601"})
    assert told.arrays["temp_c"] == pytest.approx(came(table()).arrays["temp_c"])


@pytest.mark.parametrize("text", ["", " ", "NaN", "null"])
def test_an_empty_cell_is_not_told(text):
    told = came(cell(table(), 1, "temperature_2m", text))
    assert np.flatnonzero(np.isnan(told.arrays["temp_c"])).tolist() == [0]


def test_a_missing_hour_stays_in_the_index_and_is_not_told():
    rows = table()
    del rows[5]
    told = came(rows)
    assert told.hours.size == 120
    assert np.flatnonzero(np.isnan(told.arrays["temp_c"])).tolist() == [4]


def test_a_table_with_a_month_missing_is_read_on_both_sides_of_it():
    later = [[text.replace("2027-01", "2027-03") for text in row] for row in table()[1:]]
    told = came(table() + later)
    assert str(told.hours[-1]) == "2027-03-10T06"
    assert int((~np.isnan(told.arrays["temp_c"])).sum()) == 240


def test_a_table_longer_than_one_reading_loses_no_hour_where_it_was_cut():
    told = came(table(days=220))
    assert told.hours.size == 220 * 24
    assert not np.isnan(told.arrays["temp_c"]).any()
    assert np.flatnonzero(np.isnan(told.arrays["rain_mm"])).tolist() == [220 * 24 - 1]


def test_an_hour_that_is_told_twice_is_that_of_the_later_row():
    rows = table()
    twice = cell([rows[0], rows[3]], 1, "temperature_2m", "50")[1]
    told = came([*rows, twice])
    assert told.hours.size == 120
    assert told.arrays["temp_c"][2] == pytest.approx(10.0)
    assert told.remarks == (
        "the table of what came: a row tells an hour that another row tells too; the later row"
        " counts",
    )


def test_rows_out_of_order_are_put_in_order():
    header, *rows = table()
    backwards = came([header, *reversed(rows)])
    assert backwards.arrays["temp_c"] == pytest.approx(came(table()).arrays["temp_c"])


def test_one_wild_value_is_not_told_and_spoken_of():
    told = came(cell(table(), 3, "temperature_2m", "500"))
    assert np.isnan(told.arrays["temp_c"][2])
    assert told.remarks[0].startswith("the table of what came: hourly.temperature_2m[2]: 500 °F at")


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (cell(table(), 2, "temperature_2m", "mild"), 'row 3: temperature_2m: found "mild"'),
        (cell(table(), 2, "temperature_2m", "1e999"), "expected a number or nothing"),
        (cell(table(), 2, "time_utc", "2027-01-05T08:30:00Z"), "row 3: time_utc: found"),
        (cell(table(), 2, "time_utc", "2027-13-05T08:00:00Z"), "row 3: time_utc: found"),
        (cell(table(), 2, "time_utc", "2027-01-05T08:00:00"), "row 3: time_utc: found"),
        (cell(table(), 0, "time_utc", "time"), "no column time_utc is there"),
        (cell(table(), 0, "windspeed_10m", "breeze"), "wind_speed_10m: the layer is missing"),
        (cell(table(), 2, "time_utc", "2097-01-05T08:00:00Z"), "span more than 50 years"),
        ([*table(), ["1"]], "row 122: found 1 cells, expected 9"),
        (cell(table(), 0, "rain", "snowfall"), 'names the column "snowfall" twice'),
        (table()[:1], "it has a header and no rows"),
    ],
)
def test_what_is_no_table_of_hours_is_refused_in_one_sentence(rows, says):
    with pytest.raises(SourceGarbled, match=r"^the table of what came: [^\n]+$") as caught:
        came(rows)
    assert says in str(caught.value)


@pytest.mark.parametrize("body", [b"", b"\xff\xfe", b'time_utc\n"', b"a,a\n1,2,3\n", b"\x1f\x8bno"])
def test_bytes_that_are_no_table_are_refused_in_one_sentence(body):
    with pytest.raises(SourceGarbled, match=r"^the table of what came: [^\n]+$"):
        read_came(body, UNITS)


def test_a_packed_body_may_be_as_large_as_allowed_and_no_larger():
    packed = gzip.compress(b"x" * 100)
    assert unpacked(packed, 100, "it") == b"x" * 100
    for body in (packed, b"x" * 100):
        with pytest.raises(SourceGarbled, match=r"^it: it is larger than"):
            unpacked(body, 99, "it")


def test_several_packed_parts_are_one_body_and_half_a_part_is_none():
    packed = gzip.compress(b"one ") + gzip.compress(b"two")
    assert unpacked(packed, 100, "it") == b"one two"
    with pytest.raises(SourceGarbled, match="breaks off"):
        unpacked(packed[:-4], 100, "it")
