"""Daily station files: units right or refused, nothing missing becomes zero, no total is lost."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pandas as pd
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from support.station_files import (
    CLIMATES,
    in_customary,
    in_metric,
    in_tenths,
    long,
    season,
    wide,
    wide_of_archive,
)

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.ghcn_daily import read_station_daily
from windowcast.sources.wire.ghcn_hours import spread_over_hours
from windowcast.terms.outlook import PLAUSIBLE

FORMS = {
    "tenths of °C and mm": [in_tenths],
    "°C and mm": [in_metric, lambda told: in_metric(told, 0)],
    "°F and inches": [in_customary],
}
FORM = st.sampled_from([(says, form) for says, forms in FORMS.items() for form in forms])
CLIMATE = st.sampled_from(sorted(CLIMATES))
SEED = st.integers(0, 2**31)
FIRST = st.dates(date(1950, 1, 1), date(2026, 12, 31))
UTC_FAR = datetime(2100, 1, 1, tzinfo=UTC)


def read(body):
    """The days, or the refusal; anything else that is raised goes through."""
    try:
        return read_station_daily(body, place="station_daily: x.csv")
    except SourceGarbled as problem:
        assert str(problem).startswith("station_daily: x.csv: ")  # noqa: PT017  every outcome
        assert "\n" not in str(problem)  # noqa: PT017
        return None


# --- units ----------------------------------------------------------------------------------


WHOLE_OR_PART = st.sampled_from(["all", "no rain fell", "no lows"])


def part(told, which):
    """The days, or a part of what they tell."""
    if which == "no rain fell":
        return replace(told, rain=told.rain * 0.0)
    return told if which == "all" else replace(told, lows=np.full(len(told.days), np.nan))


@given(CLIMATE, SEED, FIRST, st.integers(1, 420), FORM, WHOLE_OR_PART)
@settings(max_examples=100)
def test_units_are_right_or_the_file_is_refused(climate, seed, first, count, form, which):
    says, write = form
    told = part(season(CLIMATES[climate], first, count, seed), which)
    days = read(wide(told, write(told)))
    assert days is None or days.units == says


@given(
    st.sampled_from(["basin", "cold", "continental", "gulf", "maritime"]),
    SEED,
    st.integers(1950, 2026),
    FORM,
)
@settings(max_examples=40)
def test_the_units_of_a_season_since_september_are_found(climate, seed, year, form):
    says, write = form
    told = season(CLIMATES[climate], date(year, 9, 1), 240, seed)
    assert read(wide(told, write(told))).units == says


@given(CLIMATE, SEED, FIRST, st.integers(1, 420), FORM)
@settings(max_examples=40)
def test_rain_alone_is_right_or_refused(climate, seed, first, count, form):
    says, write = form
    told = season(CLIMATES[climate], first, count, seed)
    nothing = np.full(count, np.nan)
    days = read(wide(told, write(replace(told, highs=nothing, lows=nothing))))
    assert days is None or days.units == says


@given(
    st.sampled_from(["basin", "continental", "gulf", "maritime"]),
    SEED,
    st.integers(1950, 2026),
    st.sampled_from([(says, forms[0]) for says, forms in FORMS.items()]),
    st.sampled_from([(says, forms[0]) for says, forms in FORMS.items()]),
)
@settings(max_examples=40)
def test_temperatures_of_one_system_with_rain_of_another_are_refused(
    climate, seed, year, form, other
):
    assume(form[0] != other[0])
    told = season(CLIMATES[climate], date(year, 9, 1), 240, seed)
    highs, lows, _ = form[1](told)
    assert read(wide(told, (highs, lows, other[1](told)[2]))) is None


# --- what is missing ------------------------------------------------------------------------


@given(SEED, st.sets(st.tuples(st.sampled_from([0, 1, 2]), st.integers(0, 199)), max_size=150))
@settings(max_examples=40)
def test_an_empty_cell_is_untold_where_it_stands_and_nowhere_else(seed, holes):
    told = season(CLIMATES["basin"], date(2025, 9, 1), 200, seed)
    cells = [list(column) for column in in_tenths(told)]
    for column, row in holes:
        cells[column][row] = ""
    days = read(wide(told, cells))
    for column, name in enumerate(("tmax_c", "tmin_c", "rain_mm")):
        empty = sorted(row for where, row in holes if where == column)
        values = days.table[name].to_numpy()
        assert np.flatnonzero(np.isnan(values)).tolist() == empty
        whole = np.array([float(cell) / 10 for cell in in_tenths(told)[column]])
        np.testing.assert_allclose(np.delete(values, empty), np.delete(whole, empty))


@given(
    SEED,
    st.lists(
        st.sampled_from([",,7", ",X,7", "T,,7", "P,,7", ",,7,0700"]), min_size=100, max_size=100
    ),
)
@settings(max_examples=20)
def test_flags_drop_what_they_should_and_nothing_else(seed, flags):
    told = season(CLIMATES["basin"], date(2025, 9, 1), 100, seed)
    head, *rows = wide_of_archive(told).decode().splitlines()
    flagged = [row.replace(",,7", flag, 1) for row, flag in zip(rows, flags, strict=True)]
    rain = read("\n".join((head, *flagged)).encode()).table["rain_mm"].to_numpy()
    for value, amount, flag in zip(rain, np.round(told.rain, 1), flags, strict=True):
        if flag in (",X,7", "P,,7"):
            assert math.isnan(value)
        else:
            assert (
                value == (0.0 if flag == "T,,7" else np.float64(amount))
                or abs(value - amount) < 0.06
            )


# --- spread over the hours ------------------------------------------------------------------


AMOUNT = st.one_of(st.just(math.nan), st.just(0.0), st.floats(0.1, 200))
MINUTE = st.sampled_from([0.0 + 60 * hour for hour in (1, 7, 8, 17, 24)])
ZONE = st.sampled_from(["America/Boise", "Etc/GMT+8", "America/Los_Angeles", "Asia/Kolkata"])


def table(first, rain, minutes):
    index = pd.date_range(first, periods=len(rain), freq="D", name="date")
    columns = {"rain_mm": rain, "tmax_c": 10.0, "tmin_c": 2.0, "snow_mm": math.nan}
    columns |= {"rain_days": 1.0, "rain_read_min": minutes, "snow_read_min": 1440.0}
    columns |= {"tmax_read_min": 1440.0, "tmin_read_min": 1440.0}
    return pd.DataFrame(columns, index=index, dtype=np.float64)


@given(FIRST, st.lists(AMOUNT, min_size=3, max_size=40), MINUTE, ZONE)
def test_every_told_amount_is_kept_and_every_untold_hour_stays_untold(first, rain, minute, tz):
    days = table(first, rain, minute)
    found = spread_over_hours(days, (43.6, -116.2, tz), first - timedelta(days=2), UTC_FAR)
    hourly = found.arrays["rain_mm"]
    told = [amount for amount in rain if not math.isnan(amount)]
    runs = sum(
        math.isnan(amount) != math.isnan(before)
        for before, amount in zip([math.nan, *rain], [*rain, math.nan], strict=True)
    )
    # A zone on the half hour costs the ragged hour at each end of a run of told days.
    ragged = max(told, default=0.0) / 23 * runs if tz == "Asia/Kolkata" else 0.0
    assert sum(told) - ragged - 1e-6 <= np.nansum(hourly) <= sum(told) + 1e-6
    most_told = 25 * len(told) + 24 * (minute != 1440)
    assert np.isfinite(hourly).sum() <= most_told
    assert np.all(hourly[np.isfinite(hourly)] >= 0)
    if 0.0 not in told:
        assert not np.any(hourly == 0.0)


@given(
    st.lists(st.tuples(AMOUNT, MINUTE), min_size=5, max_size=40),
    st.dates(date(2000, 1, 1), date(2026, 12, 31)),
)
def test_a_changing_hour_of_reading_loses_and_doubles_nothing(readings, first):
    rain, minutes = zip(*readings, strict=True)
    days = table(first, list(rain), list(minutes))
    found = spread_over_hours(
        days, (43.6, -116.2, "America/Boise"), first - timedelta(days=2), UTC_FAR
    )
    told = [amount for amount in rain if not math.isnan(amount)]
    assert np.nansum(found.arrays["rain_mm"]) <= sum(told) + 1e-6


@given(
    st.lists(st.tuples(st.floats(-30, 20), st.floats(0, 25)), min_size=3, max_size=40),
    FIRST,
    MINUTE,
    st.floats(25, 60),
)
def test_temperature_stays_within_the_extremes(days, first, minute, lat_deg):
    lows = np.array([low for low, _ in days])
    highs = lows + np.array([step for _, step in days])
    told = table(first, [0.0] * len(days), 1440.0).assign(
        tmin_c=lows, tmax_c=highs, tmin_read_min=minute, tmax_read_min=minute
    )
    found = spread_over_hours(
        told, (lat_deg, -116.2, "America/Boise"), first - timedelta(days=2), UTC_FAR
    )
    temps = found.arrays["temp_c"][np.isfinite(found.arrays["temp_c"])]
    assert temps.size
    assert np.all(temps >= lows.min() - 1e-9)
    assert np.all(temps <= highs.max() + 1e-9)


# --- anything at all ------------------------------------------------------------------------


WHOLE = {
    "long": long(season(CLIMATES["basin"], date(2026, 9, 1), 40, 1), read_at="0700"),
    "wide": wide_of_archive(season(CLIMATES["basin"], date(2026, 9, 1), 40, 1)),
    "plain": wide(
        season(CLIMATES["basin"], date(2026, 9, 1), 40, 1),
        in_customary(season(CLIMATES["basin"], date(2026, 9, 1), 40, 1)),
    ),
}


def sound(days):
    """Whether all that was read can be, one row a day."""
    table_ = days.table
    assert table_.index.is_unique
    assert table_.index.is_monotonic_increasing
    for name in ("tmax_c", "tmin_c"):
        told = table_[name].dropna()
        assert told.between(*PLAUSIBLE["temp_c"]).all()
    assert (table_["rain_mm"].dropna() >= 0).all()
    assert not (table_["tmin_c"] > table_["tmax_c"]).any()


@given(st.sampled_from(sorted(WHOLE)), st.data())
@settings(max_examples=100)
def test_a_file_with_a_few_other_bytes_is_read_or_refused(name, data):
    body = bytearray(WHOLE[name])
    for _ in range(data.draw(st.integers(1, 4))):
        body[data.draw(st.integers(0, len(body) - 1))] = data.draw(st.integers(0, 255))
    days = read(bytes(body))
    if days is not None:
        sound(days)


@given(st.sampled_from(sorted(WHOLE)), st.floats(0, 1))
@settings(max_examples=40)
def test_a_file_that_breaks_off_is_read_to_there_or_refused(name, share):
    days = read(WHOLE[name][: int(share * len(WHOLE[name]))])
    if days is not None:
        sound(days)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(body):
    read(body)


@given(
    st.sampled_from(
        ["DATE,TMAX,TMIN,PRCP", "STATION,DATE,TMAX,TMAX_ATTRIBUTES", "ID,DATE,ELEMENT,VALUE"]
    ),
    st.lists(
        st.lists(
            st.sampled_from(
                ["2026-09-01", "20260902", "12", "-9999", "", "T", "TMAX", '"', "x", "1e9", "é"]
            ),
            max_size=6,
        ),
        max_size=8,
    ),
)
def test_any_rows_under_a_header_are_read_or_refused(header, rows):
    days = read("\n".join((header, *(",".join(row) for row in rows))).encode())
    if days is not None:
        sound(days)
