"""Whatever stands in place of an Open-Meteo answer: it is read, or refused in one sentence."""

import copy
import json

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from support.open_meteo_payloads import answer, body

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.open_meteo import PointForecast, read_forecasts, read_points
from windowcast.terms.outlook import PLAUSIBLE

COUNT = 30
USUAL = answer(COUNT)
PRECEDING = {
    "precipitation": "rain_mm", "precipitation_probability": "rain_prob_frac",
    "snowfall": "snow_mm", "wind_gusts_10m": "gust_mps", "shortwave_radiation": "sun_wm2",
}  # fmt: skip
STATES = {
    "temperature_2m": "temp_c", "dew_point_2m": "dewpoint_c", "wind_speed_10m": "wind_mps",
    "wind_direction_10m": "wind_from_deg", "cloud_cover": "cloud_frac", "weather_code": "thunder",
}  # fmt: skip
ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**25), 10**25),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=8),
    st.just([]),
    st.just({}),
    st.lists(st.floats(-100, 100), max_size=3),
)


def refused(problem):
    """Whether a refusal is one sentence of this source's."""
    return str(problem).startswith("open_meteo: ") and "\n" not in str(problem)


def read(raw):
    """The points, or the refusal; anything else that is raised goes through."""
    try:
        return read_forecasts(raw)
    except SourceGarbled as problem:
        return problem


def outcome(raw):
    """The points, found sound, or None where they were refused in one sentence."""
    points = read(raw)
    if isinstance(points, SourceGarbled):
        assert refused(points)
        return None
    for point in points:
        assert np.all(np.diff(point.hours.astype(np.int64)) == 1)
        for name, values in point.arrays.items():
            low, high = PLAUSIBLE[name]
            told = values[~np.isnan(values)]
            assert values.shape == point.hours.shape
            assert np.all((told >= low) & (told <= high))
    return points


def places(value, path=()):
    """Every place in a JSON value, outermost first."""
    yield path
    inner = value.items() if isinstance(value, dict) else ()
    inner = list(enumerate(value))[:4] if isinstance(value, list) else inner
    for key, part in inner:
        yield from places(part, (*path, key))


PLACES = [path for path in places(USUAL) if path]


def put(path, value):
    spoiled = copy.deepcopy(USUAL)
    where = spoiled
    for key in path[:-1]:
        where = where[key]
    where[path[-1]] = value
    return spoiled


@given(st.sampled_from(PLACES), ODD)
def test_any_value_anywhere_is_read_or_refused(path, value):
    outcome(body(put(path, value)))


@given(st.sampled_from(PLACES), ODD)
def test_a_spoiled_point_changes_nothing_in_the_one_beside_it(path, value):
    first, second = read_points(body([USUAL, put(path, value)]))
    (alone,) = read_points(body(USUAL))
    assert isinstance(second, PointForecast) or refused(second)
    for name, values in alone.arrays.items():
        np.testing.assert_array_equal(first.arrays[name], values)


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(raw):
    outcome(raw)


@given(st.recursive(ODD, lambda inner: st.dictionaries(st.text(max_size=5), inner, max_size=3)))
def test_any_json_is_read_or_refused(value):
    outcome(json.dumps(value).encode())


@given(st.data())
@settings(max_examples=60)
def test_a_flipped_byte_or_a_cut_is_read_or_refused(data):
    raw = bytearray(body(USUAL))
    at = data.draw(st.integers(0, len(raw) - 1))
    raw[at] = data.draw(st.integers(0, 255))
    outcome(bytes(raw))
    assert outcome(body(USUAL)[:at]) is None


@given(
    st.sets(
        st.tuples(st.sampled_from([*PRECEDING, *STATES]), st.integers(0, COUNT - 1)), max_size=40
    )
)
def test_a_null_is_untold_where_it_stands_and_nowhere_else_and_never_zero(nulls):
    spoiled = copy.deepcopy(USUAL)
    for layer, n in nulls:
        spoiled["hourly"][layer][n] = None
    points = outcome(body(spoiled))
    if points is None:  # all of temperature or of wind was taken away
        assert any(sum(layer == name for name, _ in nulls) == COUNT for layer in STATES)
        return
    (whole,) = outcome(body(USUAL))
    for layer, name in {**PRECEDING, **STATES}.items():
        gone = {n - (layer in PRECEDING) for named, n in nulls if named == layer} - {-1}
        expected = whole.arrays[name].copy()
        expected[sorted(gone)] = np.nan
        np.testing.assert_array_equal(points[0].arrays[name], expected)


@given(st.integers(-14, 14), st.integers(0, 23))
def test_the_hours_do_not_depend_on_the_clock_that_tells_them(offset_h, start_h):
    told = answer(5)
    shifted = [s + 3600 * start_h for s in told["hourly"]["time"]]
    told["hourly"]["time"] = shifted
    local = copy.deepcopy(told)
    local["utc_offset_seconds"] = offset_h * 3600
    local["hourly"]["time"] = [str(np.datetime64(s + offset_h * 3600, "s"))[:16] for s in shifted]
    (one,), (other,) = outcome(body(told)), outcome(body(local))
    np.testing.assert_array_equal(one.hours, other.hours)
