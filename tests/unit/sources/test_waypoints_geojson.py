"""GeoJSON: points alone, in features, in collections; longitude first (RFC 7946)."""

from __future__ import annotations

import pytest
from support.configs import told
from support.waypoint_files import cells, found, geojson, payload, point

KILN = point(-119.774, 46.079)


def test_the_points_of_a_collection_are_told_in_full() -> None:
    first, *kiln = cells(payload("places.geojson"))
    assert first == {
        "name": "Heron slough",
        "lat": "45.957",
        "lon": "-119.649",
        "doubles": "24",
        "notes": "low ground",
    }
    assert kiln == [
        {"name": "Kiln", "lat": "46.079", "lon": "-119.774"},
        {"name": "Kiln", "lat": "46.0791", "lon": "-119.7741"},
    ]


def test_features_without_a_point_are_named_as_left_out() -> None:
    remarks = found(payload("places.geojson"), "p").remarks
    assert remarks == ("p: left out, being no points: 2 features without a point",)


@pytest.mark.parametrize(
    "value",
    [
        KILN,
        {"type": "Feature", "properties": None, "geometry": KILN},
        {"type": "MultiPoint", "coordinates": [[-119.774, 46.079]]},
        {"type": "GeometryCollection", "geometries": [KILN, {"type": "LineString"}]},
    ],
)
def test_a_point_is_read_wherever_it_stands(value: object) -> None:
    assert [(c["lat"], c["lon"]) for c in cells(geojson(value))] == [("46.079", "-119.774")]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-32"])
def test_other_encodings_are_read(encoding: str) -> None:
    assert len(cells(geojson(KILN).decode().encode(encoding))) == 1


@pytest.mark.parametrize(
    "position", [[], [1], None, "1,2", {}, [None, None], ["-119", "46"], [True, False], [[1, 2]]]
)
def test_a_position_that_is_none_stays_to_be_refused(position: object) -> None:
    (waypoint,) = found(geojson({"type": "Point", "coordinates": position})).waypoints
    assert not waypoint.cells["lat"].replace(".", "").isdigit()


def test_values_that_are_no_text_or_number_are_not_taken() -> None:
    properties = {"name": ["Kiln"], "notes": {"a": 1}, "far": True, "doubles": 24.0, "lat": 1}
    feature = {"type": "Feature", "properties": properties, "geometry": KILN}
    assert cells(geojson(feature)) == [
        {"name": "Waypoint 1", "lat": "46.079", "lon": "-119.774", "far": "yes", "doubles": "24"}
    ]


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"{", "is not whole JSON (line 1, column 2)"),
        (b"[1, 2]", "is JSON, but not GeoJSON"),
        (b'{"type": "Topology"}', 'is JSON of type "Topology", not GeoJSON'),
        (b'{"type": "Point", "coordinates": [NaN, 1]}', "holds what no place is"),
        (b'{"a":' * 99_999 + b"1" + b"}" * 99_999, "holds what no place is"),
        (b'{"type": "FeatureCollection"}', "without a list of features"),
        (b'{"type": "FeatureCollection", "features": [1, null]}', "no points found (it is empty)"),
        (b'{"type": "Feature", "geometry": null}', "it holds 1 feature without a point"),
        (b'{"type": ["Point"]}', "is JSON, but not GeoJSON"),
        (b'{"type": "Feature", "x": "\xff"}', "is not UTF-8 text from line 1 on"),
    ],
)
def test_what_holds_no_place_is_one_sentence(body: bytes, words: str) -> None:
    (sentence,) = told(lambda: found(body))
    assert words in sentence


def test_numbers_beyond_all_bounds_are_no_crash() -> None:
    for number in (1e300, 10**400):
        (waypoint,) = found(geojson(point(number, number))).waypoints
        assert waypoint.cells["lat"]
