import json
from typing import Any

import pytest
from support.nws_payloads import body, payload

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.nws_stations import Station, read_stations


def changed(spoil: Any) -> bytes:
    answer = json.loads(payload("stations"))
    spoil(answer["features"][1])
    return body(answer)


def test_stations_come_in_the_order_told() -> None:
    stations = read_stations(payload("stations"))
    assert [station.id for station in stations] == ["KXYA", "KXYB", "XYCI1"]
    assert stations[0] == Station(
        id="KXYA", name="Heron Slough Field", lat_deg=43.64, lon_deg=-116.24
    )
    assert stations[-1] == Station(id="XYCI1", name="Mill Ditch", lat_deg=43.3, lon_deg=-116.5)


def test_a_place_may_have_no_stations() -> None:
    assert read_stations(b'{"features": []}') == ()


def test_a_station_without_a_name_has_an_empty_one() -> None:
    def unnamed(feature: dict[str, Any]) -> None:
        feature["properties"]["name"] = None

    assert read_stations(changed(unnamed))[1].name == ""


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("properties", None),
        ("geometry", None),
        ("geometry", {"type": "Polygon"}),
        ("geometry", {"type": "Point", "coordinates": [43.5]}),
        ("geometry", {"type": "Point", "coordinates": [43.5, -116.05]}),
        ("geometry", {"type": "Point", "coordinates": "here"}),
        ("properties", {"stationIdentifier": 5}),
        ("properties", {"stationIdentifier": "KX/../YZ?"}),
        ("properties", {"stationIdentifier": "KXYB", "name": 7}),
    ],
)
def test_a_station_of_the_wrong_form_is_refused_by_place(field: str, value: object) -> None:
    with pytest.raises(SourceGarbled, match=r"^nws stations: features\[1\]"):
        read_stations(changed(lambda feature: feature.update({field: value})))


@pytest.mark.parametrize("answer", [b"", b"<html>", b"[]", b"{}", b'{"features": {}}'])
def test_a_body_that_lists_no_stations_is_refused(answer: bytes) -> None:
    with pytest.raises(SourceGarbled, match=r"^nws stations: "):
        read_stations(answer)
