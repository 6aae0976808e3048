"""KML of every age and KMZ: placemarks with a point, longitude first."""

from __future__ import annotations

import pytest
from support.configs import told
from support.waypoint_files import KML, cells, found, packed, payload

KILN = [{"name": "Kiln", "lat": "46.079", "lon": "-119.774"}]


def test_placemarks_in_nested_folders_are_told_in_full() -> None:
    assert cells(payload("places.kml")) == [
        {
            "name": "Heron slough",
            "lat": "45.957",
            "lon": "-119.649",
            "doubles": "24",
            "notes": "low ground, cold air & frost",
        },
        *KILN,
    ]


def test_lines_are_named_as_left_out() -> None:
    remarks = found(payload("places.kml"), "p.kml").remarks
    assert remarks == ("p.kml: left out, being no points: 1 placemark with lines or areas",)


@pytest.mark.parametrize("name", ["old_places.kml", "bare_places.kml", "prefixed_places.kml"])
def test_every_name_space_of_kml_is_read(name: str) -> None:
    assert cells(payload(name)) == KILN


@pytest.mark.parametrize(
    "written",
    ["-119.774,46.079", "-119.774, 46.079, 12", "\n-119.774,46.079,0\t", "-119.774 46.079"],
)
def test_coordinates_are_longitude_then_latitude(written: str) -> None:
    assert cells(KML.format(written).encode()) == KILN


@pytest.mark.parametrize("written", ["", "-119.774", "1,2,3,4", "a,b"])
def test_coordinates_that_are_none_stay_to_be_refused(written: str) -> None:
    (waypoint,) = found(KML.format(written).encode()).waypoints
    assert waypoint.lon_first
    assert {waypoint.cells["lat"], waypoint.cells["lon"]} <= {written, "a", "b"}


def test_a_link_to_another_file_is_not_followed() -> None:
    (sentence,) = told(lambda: found(payload("link_only.kml"), "l.kml"))
    assert sentence == (
        "l.kml: no points found (it only links to another file); open it, and save the places"
        " themselves"
    )


def test_lines_alone_are_no_points() -> None:
    body = b"<kml><Placemark><LineString/></Placemark></kml>"
    (sentence,) = told(lambda: found(body))
    assert "no points found (it holds 1 placemark without a point)" in sentence


def test_a_schema_value_that_is_a_column_is_taken() -> None:
    extended = (
        '<ExtendedData><SchemaData><SimpleData name="NUCS">6</SimpleData>'
        '<SimpleData name="colour">red</SimpleData></SchemaData></ExtendedData>'
    )
    body = KML.format("1,2").replace("<Point>", f"{extended}<Point>").encode()
    assert cells(body)[0] == {"name": "Kiln", "lat": "2", "lon": "1", "nucs": "6"}


@pytest.mark.parametrize("name", ["doc.kml", "places.KML", "deep/er.kml"])
def test_a_kmz_is_unpacked(name: str) -> None:
    assert cells(packed({"icon.png": b"x", name: payload("old_places.kml")})) == KILN


def test_the_main_file_of_a_kmz_is_doc_kml() -> None:
    other = KML.format("1,2").encode()
    parts = {"a/first.kml": other, "other.kml": other, "doc.kml": payload("old_places.kml")}
    assert cells(packed(parts)) == KILN


def test_a_kmz_that_would_burst_is_refused_unpacked() -> None:
    bomb = packed({"doc.kml": b" " * (33 * 2**20)})
    assert len(bomb) < 100_000
    (sentence,) = told(lambda: found(bomb, "b.kmz"))
    assert sentence.startswith("b.kmz: would unpack to more than 32 MB")


@pytest.mark.parametrize(
    "body",
    [
        b"PK\x03\x04",
        packed({"doc.kml": payload("old_places.kml")})[:-30],
        packed({"doc.kml": b"<kml>"}),
        packed({"doc.kml": b"<kml/>"}),
        packed({"yards.gpx": payload("ranch.gpx")}),
        packed({}) + b"x",
    ],
)
def test_a_packed_file_that_holds_no_place_is_one_sentence(body: bytes) -> None:
    assert len(told(lambda: found(body))) == 1


def test_damage_inside_a_kmz_is_one_sentence() -> None:
    body = bytearray(packed({"doc.kml": payload("places.kml")}))
    body[60:70] = b"\xff" * 10
    (sentence,) = told(lambda: found(bytes(body), "b.kmz"))
    assert "is a KMZ that cannot be unpacked" in sentence
