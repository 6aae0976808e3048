"""GPX: waypoints are places, tracks and routes are not, and strangers' XML is harmless."""

from __future__ import annotations

import pytest
from support.configs import told
from support.waypoint_files import cells, found, gpx, payload, wpt


def test_the_waypoints_of_a_gpx_are_told_in_full() -> None:
    assert cells(payload("ranch.gpx")) == [
        {
            "name": "Heron slough",
            "lat": "45.957000",
            "lon": "-119.649000",
            "notes": "low ground, cold air lies here",
        },
        {"name": "Kiln", "lat": "46.0790", "lon": "-119.7740"},
    ]


def test_tracks_and_routes_are_named_as_left_out() -> None:
    remarks = found(payload("ranch.gpx"), "ranch.gpx").remarks
    assert remarks == ("ranch.gpx: left out, being no points: 2 tracks, 1 route",)


def test_a_gpx_of_tracks_alone_has_no_points() -> None:
    assert told(lambda: found(payload("tracks_only.gpx"), "t.gpx")) == [
        "t.gpx: no points found (it holds 1 track, no waypoint); export the waypoints, one for"
        " each yard"
    ]


@pytest.mark.parametrize("name", ["entities.gpx", "outside.gpx"])
def test_entities_are_refused_unread(name: str) -> None:
    (sentence,) = told(lambda: found(payload(name), name))
    assert "defines entities of its own or points at other files" in sentence


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "latin-1"])
def test_every_usual_encoding_of_xml_is_read(encoding: str) -> None:
    word = {"utf-8-sig": "utf-8", "utf-16-le": "utf-16"}.get(encoding, encoding)
    head = f'<?xml version="1.0" encoding="{word}"?>'
    body = (head + gpx(wpt("Kiln \u00e9")).decode()).encode(encoding)
    assert cells(body)[0]["name"] == "Kiln \u00e9"


@pytest.mark.parametrize(
    ("name", "clean"),
    [
        ("Kiln\n  north", "Kiln north"),
        ("&lt;b&gt;Kiln&lt;/b&gt;", "Kiln"),
        ("&lt;![CDATA[x]]&gt;Kiln", "Kiln"),
        ("Mill &amp;amp; ditch", "Mill & ditch"),
        ("=cmd|' /C calc'!A1", "cmd|' /C calc'!A1"),
        ("@SUM(1)", "SUM(1)"),
        ("Kiln \U0001f41d", "Kiln \U0001f41d"),
        ("Ki\u200bln\u202e", "Kiln"),
        ("under 5 &lt; 6", "under 5 < 6"),
        ("a-b", "a-b"),
    ],
)
def test_a_name_becomes_one_harmless_line(name: str, clean: str) -> None:
    assert cells(gpx(wpt(name)))[0]["name"] == clean


def test_a_long_name_is_cut_and_that_is_said() -> None:
    whole = found(gpx(wpt("k" * 40)), "r.gpx")
    assert (whole.waypoints[0].cells["name"], whole.remarks) == ("k" * 40, ())
    cut = found(gpx(wpt("k" * 41)), "r.gpx")
    assert cut.waypoints[0].cells["name"] == "k" * 40
    assert cut.remarks[0].endswith("name cut to 40 characters")


def test_a_waypoint_without_a_name_gets_its_number() -> None:
    waypoint = found(gpx(wpt("Kiln") + '<wpt lat="1" lon="2"/>'), "r.gpx").waypoints[1]
    assert (waypoint.cells["name"], waypoint.named) == ("Waypoint 2", False)
    assert waypoint.at == "r.gpx: waypoint 2"


def test_a_missing_coordinate_stays_to_be_told() -> None:
    assert cells(gpx('<wpt lat="46"><name>Kiln</name></wpt>')) == [
        {"name": "Kiln", "lat": "46", "lon": ""}
    ]


def test_more_points_than_any_outfit_has_yards_are_refused() -> None:
    assert len(cells(gpx(wpt("k") * 10_000))) == 10_000
    (sentence,) = told(lambda: found(gpx(wpt("k") * 10_001)))
    assert "holds more than 10000 points" in sentence


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"<gpx><wpt", "is not whole XML (line 1"),
        (b'<?xml version="1.0" encoding="klingon"?><gpx/>', "unknown encoding: klingon"),
        (b"<!DOCTYPE html><html><body></body></html>", "it is XML of the kind html"),
        (b"<gpx/>", "no points found (it holds no waypoint)"),
        (b"<osm><node/></osm>", "neither GPX nor KML"),
    ],
)
def test_what_is_no_gpx_is_one_sentence(body: bytes, words: str) -> None:
    (sentence,) = told(lambda: found(body))
    assert words in sentence
