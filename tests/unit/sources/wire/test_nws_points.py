import json
from typing import Any

import pytest
from support.nws_payloads import body, payload

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.nws_points import GridPoint, read_point


def changed(**fields: object) -> bytes:
    answer: dict[str, Any] = json.loads(payload("point"))
    answer["properties"].update(fields)
    return body(answer)


def test_a_point_names_its_cell_its_links_and_its_zone() -> None:
    assert read_point(payload("point")) == GridPoint(
        grid_link="https://api.weather.gov/gridpoints/BOI/118,77",
        stations_link="https://api.weather.gov/gridpoints/BOI/118,77/stations",
        tz="America/Boise",
        office="BOI",
        x=118,
        y=77,
        lat_deg=43.61,
        lon_deg=-116.2,
    )


def test_a_point_need_not_say_where_it_lies() -> None:
    answer = json.loads(payload("point")) | {"geometry": None}
    point = read_point(body(answer))
    assert (point.lat_deg, point.lon_deg, point.office) == (None, None, "BOI")


@pytest.mark.parametrize("told", ["Mars/Olympus", "", "../../etc/passwd", "America", None])
def test_a_zone_that_is_none_is_not_told(told: str | None) -> None:
    assert read_point(changed(timeZone=told)).tz is None


def test_a_place_without_a_grid_is_refused_with_the_reason() -> None:
    with pytest.raises(SourceGarbled, match="no forecast grid for this place"):
        read_point(payload("point_at_sea"))


def test_a_place_without_stations_still_has_its_grid() -> None:
    assert read_point(changed(observationStations=None)).stations_link is None


@pytest.mark.parametrize(
    "fields",
    [
        {"forecastGridData": 5},
        {"forecastGridData": ""},
        {"forecastGridData": "https://api.weather.gov/\n"},
        {"forecastGridData": "x" * 301},
        {"observationStations": ["https://api.weather.gov"]},
        {"gridId": None},
        {"gridX": "abc"},
        {"gridY": -1},
        {"timeZone": 7},
    ],
)
def test_a_field_of_the_wrong_form_is_refused_by_name(fields: dict[str, object]) -> None:
    with pytest.raises(SourceGarbled, match=f"^nws point: {next(iter(fields))}: found "):
        read_point(changed(**fields))


@pytest.mark.parametrize("answer", [b"", b"<html>", b"[]", b"{}", b'{"properties": 5}'])
def test_a_body_that_is_no_point_is_refused(answer: bytes) -> None:
    with pytest.raises(SourceGarbled, match=r"^nws point: "):
        read_point(answer)
