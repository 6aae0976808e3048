"""What must hold for any answer of the National Weather Service, however odd."""

import json
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from support.nws_payloads import (
    GAP,
    amounts,
    body,
    grid,
    hourly_layers,
    observation,
    observations,
    payload,
    runs,
    utc,
)

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.intervals import read_interval
from windowcast.sources.wire.nws_grid import MOST_HOURS, Grid, read_grid
from windowcast.sources.wire.nws_observations import StationHours, read_observations
from windowcast.sources.wire.nws_points import GridPoint, read_point
from windowcast.sources.wire.nws_stations import read_stations
from windowcast.terms.outlook import PLAUSIBLE

START = utc("2027-01-12T12:00:00Z")

READERS = {
    "usual": (read_grid, Grid),
    "other_units": (read_grid, Grid),
    "weather_words": (read_grid, Grid),
    "hazards": (read_grid, Grid),
    "point": (read_point, GridPoint),
    "stations": (read_stations, tuple),
    "observations": (read_observations, StationHours),
}
ANSWERS = {name: json.loads(payload(name)) for name in READERS}

odd_values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.integers(min_value=10**17, max_value=10**400),
    st.floats(allow_nan=False),
    st.text(max_size=40),
    st.sampled_from(
        ["NOW", "", "P1Y", "2027-01-12T12:00:00Z/P999999999D", "wmoUnit:degF", "\ud800"]
    ),
    st.builds(list),
    st.builds(dict),
    st.builds(lambda: [[[[]]]]),
    st.dictionaries(st.sampled_from(["value", "uom", "values", "type"]), st.none(), max_size=2),
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path to every value inside a JSON value."""
    inside = (
        value.items() if isinstance(value, dict)
        else enumerate(value) if isinstance(value, list)
        else ()
    )  # fmt: skip
    return [p for key, part in inside for p in ((*path, key), *places(part, (*path, key)))]


PLACES = {name: places(answer) for name, answer in ANSWERS.items()}


@st.composite
def spoiled(draw: st.DrawFn) -> tuple[str, bytes]:
    """A usual answer with some values taken out or replaced by odd ones."""
    name = draw(st.sampled_from(sorted(ANSWERS)))
    answer = deepcopy(ANSWERS[name])
    for path in draw(st.lists(st.sampled_from(PLACES[name]), min_size=1, max_size=3)):
        holder = answer
        try:
            for step in path[:-1]:
                holder = holder[step]
            if draw(st.booleans()):
                holder[path[-1]] = draw(odd_values)
            else:
                del holder[path[-1]]
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change took this place away
    return name, body(answer)


def outcome(name: str, answer: bytes) -> object:
    """What the reader made of it, or the sentence of its refusal; anything else fails the test."""
    read, kind = READERS[name]
    try:
        told = read(answer)
    except SourceGarbled as refusal:
        sentence = str(refusal)
        assert sentence.startswith("nws ")
        assert sentence.isprintable()
        assert len(sentence) < 1000
        return sentence
    assert isinstance(told, kind)
    return told


def assert_weather_can_be(told: Grid | StationHours) -> None:
    assert told.hours.size <= MOST_HOURS
    assert np.all(np.diff(told.hours.astype(np.int64)) == 1)
    for name, array in told.arrays.items():
        assert array.shape == told.hours.shape
        low, high = PLAUSIBLE[name]
        finite = array[np.isfinite(array)]
        assert not np.isinf(array).any()
        assert finite.size == 0 or (finite.min() >= low and finite.max() <= high), name
    for remark in told.remarks:
        assert remark.isprintable()


@given(spoiled())
def test_a_spoiled_answer_is_read_or_refused_in_one_sentence(case: tuple[str, bytes]) -> None:
    told = outcome(*case)
    if isinstance(told, Grid | StationHours):
        assert_weather_can_be(told)


@given(st.sampled_from(sorted(READERS)), st.binary(max_size=60), st.data())
def test_foreign_bytes_in_an_answer_are_read_or_refused(
    name: str, foreign: bytes, draw: st.DataObject
) -> None:
    whole = payload(name)
    at = draw.draw(st.integers(0, len(whole)))
    until = draw.draw(st.integers(at, len(whole)))
    outcome(name, whole[:at] + foreign + whole[until:])


@given(st.sampled_from(sorted(READERS)), st.floats(0, 0.999))
def test_a_cut_answer_is_refused(name: str, share: float) -> None:
    whole = payload(name).rstrip()
    with pytest.raises(SourceGarbled):
        READERS[name][0](whole[: int(share * len(whole))])


# --- nulls and gaps -------------------------------------------------------------------------

holed = st.lists(
    st.one_of(st.integers(1, 30), st.none(), st.just(GAP)), min_size=1, max_size=60
).filter(lambda hours: any(isinstance(value, int) for value in hours))


@given(holed, holed)
@example([1, None, GAP, 2], [3])
def test_nulls_and_gaps_never_become_numbers(temps: list[Any], winds: list[Any]) -> None:
    layers = {
        "temperature": runs(START, temps, "wmoUnit:degC"),
        "windSpeed": runs(START, winds, "wmoUnit:m_s-1"),
    }
    told = read_grid(body(grid(start=START, issued=START, layers=layers)))
    shift = int((told.hours[0] - np.datetime64("2027-01-12T12", "h")).astype(int))
    for name, hours in (("temp_c", temps), ("wind_mps", winds)):
        expected = np.full(told.hours.size + shift, np.nan)
        numbers = [value if isinstance(value, int) else np.nan for value in hours]
        expected[: len(numbers)] = numbers[: expected.size]
        np.testing.assert_array_equal(told.arrays[name], expected[shift:])


@given(st.lists(st.one_of(st.floats(0.01, 20), st.none()), min_size=1, max_size=48))
def test_rain_that_a_station_does_not_tell_never_becomes_zero(rain: list[float | None]) -> None:
    rows = [
        observation(START + timedelta(hours=h, minutes=-7), temp_c=5.0, rain_mm=amount)
        for h, amount in enumerate(rain)
    ]
    told = read_observations(body(observations("KXYA", rows)))
    at = {str(hour): value for hour, value in zip(told.hours, told.arrays["rain_mm"], strict=True)}
    for h, amount in enumerate(rain):
        hour = str(np.datetime64("2027-01-12T11", "h") + h)
        found = at.get(hour, np.nan)
        assert np.isnan(found) if amount is None else found == pytest.approx(amount)


# --- amounts --------------------------------------------------------------------------------

depths = st.one_of(st.just(0.0), st.floats(0.001, 40))


def with_rain(layer: dict[str, Any]) -> Grid:
    layers = hourly_layers(START, temp_c=[5.0] * 24, wind_kmh=[5.0] * 24)
    layers["quantitativePrecipitation"] = layer
    return read_grid(body(grid(start=START, issued=START, layers=layers)))


@given(st.lists(depths, min_size=1, max_size=120), st.sampled_from([1, 2, 3, 6, 12]))
def test_the_sum_of_an_amount_is_kept_and_each_period_keeps_its_own(
    hourly: list[float], step_h: int
) -> None:
    layer = amounts(START, hourly, step_h=step_h)
    rain = with_rain(layer).arrays["rain_mm"]
    total = sum(element["value"] for element in layer["values"])
    assert np.nansum(rain) == pytest.approx(total, abs=1e-6)
    place = 0
    for element in layer["values"]:
        length = read_interval(element["validTime"]).seconds // 3600
        part = rain[place : place + length]
        assert part.sum() == pytest.approx(element["value"], abs=1e-6)
        assert np.ptp(part) < 1e-9
        place += length


@given(
    st.lists(st.tuples(st.integers(1, 400), depths), min_size=1, max_size=30), st.integers(0, 59)
)
def test_the_sum_is_kept_where_periods_do_not_begin_on_the_hour(
    periods: list[tuple[int, float]], late_min: int
) -> None:
    at = START + timedelta(minutes=late_min)
    values = []
    for minutes, depth in periods:
        values.append({"validTime": f"{at.isoformat()}/PT{minutes}M", "value": depth})
        at += timedelta(minutes=minutes)
    rain = with_rain({"uom": "wmoUnit:mm", "values": values}).arrays["rain_mm"]
    assert np.nansum(rain) == pytest.approx(sum(depth for _, depth in periods), abs=1e-6)


@given(
    st.datetimes(datetime(1980, 1, 1), datetime(2190, 1, 1)),  # noqa: DTZ001  zoned below
    st.integers(1, 300 * 86_400),
)
def test_the_three_forms_of_an_interval_agree(moment: datetime, seconds: int) -> None:
    start = moment.replace(microsecond=0, tzinfo=UTC)
    end = start + timedelta(seconds=seconds)
    expected = read_interval(f"{start.isoformat()}/PT{seconds}S")
    assert expected == (int(start.timestamp()), seconds)
    assert read_interval(f"{start.isoformat()}/{end.isoformat()}") == expected
    assert read_interval(f"PT{seconds}S/{end.isoformat()}") == expected
