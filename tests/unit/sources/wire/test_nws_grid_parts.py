"""What a raw grid tells for a part of an hour, leaves out altogether, or spells in its own way."""

import json
from typing import Any

import numpy as np
import pytest
from support.nws_payloads import NO_WEATHER, body, grid, hourly_layers, mention, payload, utc

from windowcast.sources.wire.nws_grid import Grid, read_grid

START = utc("2027-01-12T12:00:00Z")
THUNDER, FREEZING = mention("thunderstorms"), mention("freezing_rain")
SILENT = "nws grid BOI 118,77: thunder and freezing rain are not told"


def read(**layers: list[dict[str, Any]]) -> Grid:
    """Twelve calm fair hours from 12 UTC on, with elements added to some layers."""
    told = hourly_layers(
        START, temp_c=[5.0] * 12, wind_kmh=[3.6] * 12, gust_kmh=[7.2] * 12,
        rain_prob_percent=[10] * 12, cloud_percent=[20] * 12, mentions=[[NO_WEATHER]] * 12,
    )  # fmt: skip
    for name, elements in layers.items():
        told[name]["values"] = told[name]["values"] + elements
    return read_grid(body(grid(start=START, issued=START, layers=told)))


def element(interval: str, value: object) -> dict[str, Any]:
    return {"validTime": f"2027-01-12T{interval}", "value": value}


# --- parts of hours -------------------------------------------------------------------------


@pytest.mark.parametrize("interval", ["18:30:00Z/PT30M", "18:00:00Z/PT1M", "18:59:59Z/PT1S"])
@pytest.mark.parametrize(("name", "said"), [("thunder", THUNDER), ("freezing_rain", FREEZING)])
def test_thunder_and_freezing_rain_in_a_part_of_an_hour_count_for_it(
    interval: str, name: str, said: dict[str, Any]
) -> None:
    hours = read(weather=[element(interval, [said])]).arrays[name]
    assert np.flatnonzero(hours).tolist() == [6]


@pytest.mark.parametrize(
    ("layer", "name", "value", "told"),
    [
        ("windSpeed", "wind_mps", 36.0, 10.0),
        ("windGust", "gust_mps", 72.0, 20.0),
        ("probabilityOfPrecipitation", "rain_prob_frac", 90, 0.9),
    ],
)
def test_the_worst_of_an_hour_counts_for_it(
    layer: str, name: str, value: float, told: float
) -> None:
    usual = read().arrays[name]
    hours = read(**{layer: [element("18:30:00Z/PT30M", value)]}).arrays[name]
    assert hours[6] == pytest.approx(told)
    np.testing.assert_array_equal(np.delete(hours, 6), np.delete(usual, 6))


def test_a_calm_part_does_not_calm_the_hour() -> None:
    wind = read(windSpeed=[element("18:30:00Z/PT30M", 0)]).arrays["wind_mps"]
    assert wind[6] == pytest.approx(1.0)


def test_a_later_element_over_the_whole_hour_replaces_the_earlier() -> None:
    spells = [element("18:30:00Z/PT30M", 36.0), element("18:00:00Z/PT1H", 7.2)]
    assert read(windSpeed=spells).arrays["wind_mps"][6] == pytest.approx(2.0)
    weather = [element("18:30:00Z/PT30M", [THUNDER]), element("18:00:00Z/PT1H", [NO_WEATHER])]
    assert read(weather=weather).arrays["thunder"][6] == 0


def test_wind_told_only_after_the_beginning_of_an_hour_is_that_of_the_hour() -> None:
    spells = [element("23:00:00Z/PT1H", None), element("23:30:00Z/PT30M", 36.0)]
    wind = read(windSpeed=spells).arrays["wind_mps"]
    assert wind[11] == pytest.approx(10.0)


@pytest.mark.parametrize(("layer", "name"), [("temperature", "temp_c"), ("skyCover", "cloud_frac")])
def test_other_states_are_those_of_the_beginning(layer: str, name: str) -> None:
    usual = read().arrays[name]
    late = read(**{layer: [element("18:30:00Z/PT30M", 9)]}).arrays[name]
    np.testing.assert_array_equal(late, usual)
    untold = [element("18:00:00Z/PT30M", None), element("18:30:00Z/PT30M", 9)]
    assert np.isnan(read(**{layer: untold}).arrays[name][6])


# --- no weather at all ----------------------------------------------------------------------


@pytest.mark.parametrize("weather", [None, {}, {"values": []}, {"values": [
    element("12:00:00Z/PT12H", None)]}])  # fmt: skip
def test_a_grid_that_says_nothing_of_the_weather_is_remarked_on(weather: object) -> None:
    answer = json.loads(payload("usual"))
    answer["properties"]["weather"] = weather
    told = read_grid(body(answer))
    assert told.remarks == (SILENT,)
    assert np.isnan(told.arrays["thunder"]).all()


def test_a_grid_that_says_there_is_no_weather_is_not_remarked_on() -> None:
    assert read().remarks == ()


# --- codes of hazards -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("phenomenon", "significance", "kept"),
    [
        ("WIND", "W", ("WIND", "W")),
        ("W1", "w", ("W1", "W")),
        (None, "W", ("?", "W")),
        ("\x1b[2J\u202e", "W", ("[2J", "W")),
        ("A" * 80, "Y", ("A" * 8, "Y")),
        ("WS", None, ("WS", "?")),
        ("WS", "WARNING", ("WS", "?")),
        ("\u00e9", "\u00e9", ("\u00c9", "?")),
    ],
)
def test_a_hazard_of_an_odd_code_is_kept_and_remarked_on(
    phenomenon: str | None, significance: str | None, kept: tuple[str, str]
) -> None:
    code = {"phenomenon": phenomenon, "significance": significance, "event_number": 1}
    answer = json.loads(payload("usual"))
    answer["properties"]["hazards"] = {"values": [element("16:00:00Z/PT3H", [code])]}
    told = read_grid(body(answer))
    (hazard,) = told.hazards
    assert (hazard.phenomenon, hazard.significance) == kept
    assert (hazard.first, hazard.count) == (np.datetime64("2027-01-12T16", "h"), 3)
    (remark,) = told.remarks
    assert "hazards.values[0].value[0]" in remark
    assert remark.endswith("it is kept as told")


@pytest.mark.parametrize("code", [{}, {"phenomenon": None, "significance": None}])
def test_a_hazard_of_nulls_is_none(code: dict[str, None]) -> None:
    answer = json.loads(payload("usual"))
    answer["properties"]["hazards"] = {"values": [element("16:00:00Z/PT3H", [code])]}
    told = read_grid(body(answer))
    assert (told.hazards, told.remarks) == ((), ())
