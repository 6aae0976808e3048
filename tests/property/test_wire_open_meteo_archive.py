"""Whatever stands in an archive or the table beside it: it is read, or refused in one sentence."""

import json

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from support.open_meteo_archives import archive, csv_of, line, table, usual

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.open_meteo_archive import read_archive
from windowcast.terms.outlook import PLAUSIBLE

LINES = [line(0), line(1)]
TABLE = table()
ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**25), 10**25),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=8),
    st.just([]),
    st.just({}),
)
FIELDS = st.sampled_from(
    [
        ("issued_local",), ("response",), ("response", "timezone"), ("response", "latitude"),
        ("response", "utc_offset_seconds"), ("response", "hourly"), ("response", "hourly_units"),
        ("response", "hourly", "time"), ("response", "hourly", "temperature_2m"),
        ("response", "hourly_units", "temperature_2m"), ("response", "hourly", "time", 3),
        ("response", "hourly", "rain", 3),
    ]
)  # fmt: skip


def read(forecasts, came):
    """The archive, or the refusal; anything else that is raised goes through."""
    try:
        return read_archive(forecasts, came)
    except SourceGarbled as problem:
        return problem


def outcome(forecasts, came):
    """The archive, found sound, or None where it was refused in one sentence."""
    told = read(forecasts, came)
    if isinstance(told, SourceGarbled):
        assert str(told).startswith(("the archive", "the table of what came"))
        assert "\n" not in str(told)
        return None
    for side in (told.forecast, told.came):
        for name, values in side.items():
            low, high = PLAUSIBLE[name]
            known = values[~np.isnan(values)]
            assert np.all((known >= low) & (known <= high))
    assert all("\n" not in remark for remark in told.remarks)
    return told


def changed(path, value):
    """The two lines, one value of the second replaced."""
    second = json.loads(json.dumps(LINES[1]))
    inner = second
    for part in path[:-1]:
        inner = inner[part]
    inner[path[-1]] = value
    return archive([LINES[0], second])


@given(FIELDS, ODD)
def test_an_odd_value_costs_its_line_at_most(path, value):
    told = outcome(changed(path, value), csv_of(TABLE))
    if told is not None:
        assert str(told.issued[0]) == "2027-01-05T13"
        assert told.issued.size + len(told.remarks) >= 2


@given(st.integers(0, len(TABLE) - 1), st.integers(0, len(TABLE[0]) - 1), st.text(max_size=12))
def test_an_odd_cell_is_read_or_refused(row, column, text):
    rows = [list(each) for each in TABLE]
    rows[row][column] = text
    outcome(archive(LINES), csv_of(rows))


@settings(max_examples=60)
@given(st.binary(max_size=200), st.integers(0, 3))
def test_bytes_of_any_kind_are_read_or_refused(noise, which):
    whole, came = usual(), csv_of(TABLE)
    cut = len(noise) * 40
    bodies = [
        (noise, came), (whole, noise), (whole[:cut] + noise, came), (whole, came[:cut] + noise),
    ]  # fmt: skip
    outcome(*bodies[which])
