"""Files of places, whole and spoiled: rows or sentences, and never anything else."""

from __future__ import annotations

import csv

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from support.configs import YARDS, told
from support.waypoint_files import PAYLOADS, cells, found, gpx, packed, payload, workbook

from windowcast.settings.yard_merge import merged, old_table
from windowcast.settings.yard_pairs import Waypoint
from windowcast.settings.yards import yards_of

TABLE = workbook({"Notes": [["x"]], "Y": [["name", "lat", "lon"], ["Kiln", 46.079, -119.774]]})
WHOLE = {
    **{path.name: path.read_bytes() for path in sorted(PAYLOADS.iterdir())},
    "places.kmz": packed({"doc.kml": payload("places.kml")}),
    "hives.xlsx": TABLE,
}
FREE_TEXT = st.text(min_size=1, max_size=60)
PIECES = (b"<", b">", b"&", b'"', b"\0", b"\xff", b"]]>", b"{", b"}", b"[", b",", b";", b"1e999")


@st.composite
def spoiled(draw: st.DrawFn) -> bytes:
    """A sound file with pieces cut out, doubled, or overwritten."""
    body = draw(st.sampled_from(list(WHOLE.values())))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(body)))
        width = draw(st.integers(0, 12))
        put = draw(st.sampled_from(PIECES) | st.binary(max_size=8) | st.just(body[at : at + 40]))
        body = body[:at] + put + body[at + width :]
    return body


def sentences_or_rows(body: bytes) -> None:
    """Read it and lay it beside yards.csv; a fault is one line of text."""
    texts: list[str] = []

    def read() -> None:
        old, _ = old_table(YARDS, us_only=True)
        texts.append(merged(old, found(body, "f").waypoints, us_only=True).text)

    sentences = told(read)
    assert bool(sentences) is not bool(texts)
    assert [s for s in sentences if len(s.splitlines()) != 1 or not s.isprintable()] == []
    for text in texts:
        keys = [yard.key for yard in yards_of(text, "yards.csv", us_only=True).yards]
        assert keys[:3] == ["kiln", "heron-slough", "quarry-bench"]


@given(spoiled())
def test_a_spoiled_file_gives_rows_or_sentences(body: bytes) -> None:
    sentences_or_rows(body)


@given(st.binary(max_size=200))
@example(b"")
@example(b"PK\x03\x04")
@example(b"<a>" * 100_000 + b"</a>" * 100_000)
def test_any_bytes_give_rows_or_sentences(body: bytes) -> None:
    sentences_or_rows(body)


@pytest.mark.parametrize("name", sorted(WHOLE))
def test_a_file_cut_anywhere_gives_rows_or_sentences(name: str) -> None:
    body = WHOLE[name]
    for end in range(0, len(body), max(1, len(body) // 60)):
        sentences_or_rows(body[:end])


@given(FREE_TEXT)
@example("=cmd|' /C calc'!A1")
@example("\u202e\n\t\r")
@example("<b>&lt;i&gt;=1</b>")
def test_any_name_is_one_line_that_no_spreadsheet_computes(name: str) -> None:
    feature = {"type": "Feature", "properties": {"name": name}, "geometry": POINT}
    (row,) = cells(as_json(feature))
    assert row["name"]
    assert len(row["name"]) <= 40
    assert row["name"].isprintable()
    assert row["name"][0] not in "=+-@ "


POINT = {"type": "Point", "coordinates": [-119.774, 46.079]}


def as_json(value: object) -> bytes:
    import json

    return json.dumps(value).encode()


@given(
    st.lists(
        st.tuples(FREE_TEXT, st.integers(459_000, 461_000), st.integers(-1_198_000, -1_195_000)),
        min_size=1,
        max_size=12,
    )
)
def test_what_is_imported_once_is_unchanged_the_second_time(
    places: list[tuple[str, int, int]],
) -> None:
    waypoints = [
        Waypoint(at=f"f: {at}", cells={"name": name, "lat": f"{lat / 1e4}", "lon": f"{lon / 1e4}"})
        for at, (name, lat, lon) in enumerate(
            [(w["name"], lat, lon) for (w, lat, lon) in named(places)]
        )
    ]
    old, _ = old_table(YARDS, us_only=True)
    first = merged(old, waypoints, us_only=True)
    again_old, _ = old_table(first.text, us_only=True)
    again = merged(again_old, waypoints, us_only=True)
    assert again.text == first.text
    assert not any(change.changes for change in again.changes)


def named(places: list[tuple[str, int, int]]) -> list[tuple[dict[str, str], int, int]]:
    """Names as a reader gives them."""
    rows = [
        cells(as_json({"type": "Feature", "properties": {"name": name}, "geometry": POINT}))[0]
        for name, _, _ in places
    ]
    return [(row, lat, lon) for row, (_, lat, lon) in zip(rows, places, strict=True)]


@given(st.lists(st.sampled_from(["Kiln", "Mill", "", "\U0001f41d"]), min_size=1, max_size=30))
def test_every_new_row_has_a_key_of_its_own_and_no_old_row_is_lost(names: list[str]) -> None:
    points = "".join(
        f'<wpt lat="{45.9 + at / 100}" lon="-119.5"><name>{name}</name></wpt>'
        for at, name in enumerate(names)
    )
    old, _ = old_table(YARDS, us_only=True)
    text = merged(old, found(gpx(points)).waypoints, us_only=True).text
    rows = list(csv.DictReader(text.splitlines()))
    keys = [row["key"].casefold() for row in rows]
    assert len(set(keys)) == len(keys) >= 3
    assert [row["notes"] for row in rows[:3]] == ["gate, then left", "", ""]


def test_a_table_of_ten_thousand_rows_is_no_reason_to_wait() -> None:
    rows = "".join(f"Y{n},{45 + n / 1e5},-119.6\n" for n in range(10_001))
    assert len(told(lambda: found(f"name,lat,lon\n{rows}".encode(), "f"))) == 1
