"""What the reader of the raw grid refuses, and with which words."""

import json
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from support.nws_payloads import body, payload

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.nws_grid import read_grid


def changed(name: str, change: Callable[[dict[str, Any]], Any]) -> bytes:
    answer = json.loads(payload(name))
    change(answer)
    return body(answer)


@pytest.mark.parametrize("layer", ["temperature", "windSpeed"])
@pytest.mark.parametrize(
    "instead",
    [
        None,
        {"values": []},
        {"uom": "wmoUnit:degC", "values": None},
        {"values": [{"validTime": "2027-01-12T12:00:00Z/PT1H", "value": None}]},
        {"values": [{"validTime": "2027-01-12T12:10:00Z/PT10M", "value": None}]},
    ],
)
def test_without_temperature_or_wind_the_grid_is_refused(layer: str, instead: object) -> None:
    spoiled = changed("usual", lambda answer: answer["properties"].update({layer: instead}))
    with pytest.raises(SourceGarbled, match=f"{layer} tells no value"):
        read_grid(spoiled)


def test_without_rain_and_its_chance_the_grid_is_read_and_rain_is_untold() -> None:
    def drop(answer: dict[str, Any]) -> None:
        del answer["properties"]["quantitativePrecipitation"]
        del answer["properties"]["probabilityOfPrecipitation"]

    grid = read_grid(changed("usual", drop))
    assert np.isnan(grid.arrays["rain_mm"]).all()
    assert np.isnan(grid.arrays["rain_prob_frac"]).all()


@pytest.mark.parametrize(
    ("where", "value", "named"),
    [
        (["updateTime"], None, "updateTime"),
        (["updateTime"], "yesterday", "updateTime"),
        (["updateTime"], "2027-01-12T15:12:00", "updateTime"),
        (["gridId"], 7, "gridId"),
        (["gridId"], "../etc", "gridId"),
        (["gridX"], "1e3", "gridX"),
        (["gridX"], 1.5, "gridX"),
        (["gridX"], True, "gridX"),
        (["gridY"], None, "gridY"),
        (["gridY"], 10**400, "gridY"),
        (["temperature"], [], "temperature"),
        (["temperature", "values"], {}, r"temperature\.values"),
        (["temperature", "values", 1], None, r"temperature\.values\[1\]"),
        (["temperature", "values", 1], {"validTime": "x"}, r"temperature\.values\[1\]"),
        (["temperature", "values", 1, "validTime"], 5, r"temperature\.values\[1\]\.validTime"),
        (["temperature", "values", 1, "validTime"], "NOW/PT1H", "NOW"),
        (["temperature", "values", 1, "value"], "5", r"temperature\.values\[1\]\.value"),
        (["temperature", "values", 1, "value"], True, r"temperature\.values\[1\]\.value"),
        (["temperature", "values", 1, "value"], 10**400, r"temperature\.values\[1\]\.value"),
        (["temperature", "uom"], 7, r"temperature\.uom"),
        (["temperature", "uom"], "wmoUnit:percent", r"temperature\.uom"),
        (["weather", "values", 0, "value"], "rain", r"weather\.values\[0\]"),
        (["weather", "values", 0, "value", 0], "rain", r"weather\.values\[0\]"),
        (["weather", "values", 0, "value", 0, "weather"], 3, r"weather\.values\[0\]"),
        (["weather", "values", 0, "value", 0, "attributes"], [3], "attributes"),
        (["hazards", "values", 0, "value"], "WI.Y", r"hazards\.values\[0\]"),
        (["elevation"], 823, "elevation"),
        (["elevation", "unitCode"], None, "elevation"),
    ],
)
def test_what_is_of_the_wrong_form_is_refused_with_field_and_value(
    where: list[Any], value: object, named: str
) -> None:
    def spoil(answer: dict[str, Any]) -> None:
        place = answer["properties"]
        for step in where[:-1]:
            place = place[step]
        place[where[-1]] = value

    with pytest.raises(SourceGarbled, match=f"nws grid.*{named}"):
        read_grid(changed("usual", spoil))


@pytest.mark.parametrize(
    "geometry",
    [
        7,
        {"type": "Point", "coordinates": [1, 2]},
        {"type": "Polygon"},
        {"type": "Polygon", "coordinates": []},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 1]]]},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1], [0, 0]]]},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, "x"], [0, 0]]]},
        {"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, 91], [0, 0]]]},
        {"type": "GeometryCollection", "geometries": [{"type": "Point"}]},
    ],
)
def test_a_geometry_that_is_no_cell_is_refused(geometry: object) -> None:
    spoiled = changed("usual", lambda answer: answer.update(geometry=geometry))
    with pytest.raises(SourceGarbled, match="geometry"):
        read_grid(spoiled)


def test_an_answer_without_geometry_is_read_with_a_remark() -> None:
    grid = read_grid(changed("usual", lambda answer: answer.pop("geometry")))
    assert grid.polygon == ()
    assert "where its cell lies" in grid.remarks[0]


def test_the_polygon_may_stand_in_a_collection() -> None:
    def wrap(answer: dict[str, Any]) -> None:
        point = {"type": "Point", "coordinates": [-116.2, 43.61]}
        answer["geometry"] = {
            "type": "GeometryCollection",
            "geometries": [point, answer["geometry"]],
        }

    assert read_grid(changed("usual", wrap)).polygon == read_grid(payload("usual")).polygon


@pytest.mark.parametrize(
    ("answer", "named"),
    [
        (b"", "empty"),
        (b"\xff\xfe", "UTF-8"),
        (b"<html><body>Bad Gateway</body></html>", "not JSON"),
        (payload("usual")[:4000], "not JSON"),
        (b"[]", "a list"),
        (b"null", "null"),
        (b"{}", "properties"),
        (b"[" * 200_000, "nested too deeply"),
        (b'{"properties": ' + b"9" * 5000 + b"}", "thousands of digits"),
        (payload("usual").replace(b"1.6666666666666667", b"NaN"), "NaN"),
        (payload("usual").replace(b"1.6666666666666667", b"-Infinity"), "Infinity"),
        (payload("usual").replace(b"1.6666666666666667", b"1e999"), "a number that can be"),
        (payload("problem_marine"), "Marine Forecast Not Supported|not supported"),
    ],
)
def test_a_body_that_is_no_grid_is_refused(answer: bytes, named: str) -> None:
    with pytest.raises(SourceGarbled, match=named):
        read_grid(answer)


def test_layers_that_lie_a_month_apart_are_refused() -> None:
    def spoil(answer: dict[str, Any]) -> None:
        answer["properties"]["windGust"]["values"][0]["validTime"] = "2027-03-01T00:00:00Z/PT1H"

    with pytest.raises(SourceGarbled, match="span 1141 hours"):
        read_grid(changed("usual", spoil))


@pytest.mark.parametrize(("days", "refused"), [(31, False), (32, True)])
def test_a_month_of_hours_is_the_bound(days: int, refused: bool) -> None:
    def stretch(answer: dict[str, Any]) -> None:
        told = answer["properties"]["skyCover"]["values"]
        told[0]["validTime"] = f"2027-01-12T12:00:00Z/P{days}D"

    stretched = changed("usual", stretch)
    if refused:
        with pytest.raises(SourceGarbled, match="hours"):
            read_grid(stretched)
    else:
        assert read_grid(stretched).hours.size == 31 * 24


def test_more_elements_than_a_month_can_hold_are_refused() -> None:
    def swell(answer: dict[str, Any]) -> None:
        values = answer["properties"]["temperature"]["values"]
        answer["properties"]["temperature"]["values"] = values[:1] * 3001

    with pytest.raises(SourceGarbled, match=r"temperature\.values: found 3001 elements"):
        read_grid(changed("usual", swell))


def test_a_sentence_never_carries_control_characters_of_the_answer() -> None:
    spoiled = changed(
        "usual", lambda answer: answer["properties"].update(gridId="\x1b[2J\n\ud800evil")
    )
    with pytest.raises(SourceGarbled) as caught:
        read_grid(spoiled)
    assert str(caught.value).isascii()
    assert str(caught.value).isprintable()


def test_a_temperature_that_holds_at_the_beginning_of_no_hour_is_refused() -> None:
    def shorten(answer: dict[str, Any]) -> None:
        short = [{"validTime": "2027-01-12T12:10:00Z/PT9M", "value": 5}]
        answer["properties"]["temperature"]["values"] = short

    with pytest.raises(SourceGarbled, match="temperature tells no value at the beginning of any"):
        read_grid(changed("usual", shorten))
