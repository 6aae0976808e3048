"""``yards.csv``: every yard, or every fault."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import HEAD, THREE, YARDS, told

from windowcast.settings.yard_columns import COLUMNS
from windowcast.settings.yards import read_yards, yards_of
from windowcast.terms.yard import Yard


def read(text: str) -> list[str]:
    return told(lambda: yards_of(text, "yards.csv"))


def test_a_row_is_a_yard() -> None:
    found = yards_of(YARDS, "yards.csv").yards
    assert len(found) == 3
    assert found[0] == Yard(
        key="kiln", name="Kiln", lat_deg=45.9, lon_deg=-119.6, state="WA", doubles=24,
        lane_surface="gravel", lane_m=pytest.approx(182.88), notes="gate, then left",
    )  # fmt: skip
    assert (found[1].lane_m, found[1].colonies) == (180.0, 18)
    assert (found[2].lane_surface, found[2].lane_m) == (None, None)


def test_three_columns_are_enough() -> None:
    (yard,) = yards_of("name,lat,lon\nHeron Slough,45.9,-119.6\n", "yards.csv").yards
    assert yard == Yard(key="heron-slough", name="Heron Slough", lat_deg=45.9, lon_deg=-119.6)
    (yard,) = yards_of("key,lat,lon\nkiln,45.9,-119.6\n", "yards.csv").yards
    assert (yard.key, yard.name) == ("kiln", "kiln")


def test_an_empty_cell_under_key_is_made_from_the_name() -> None:
    found = yards_of("key,name,lat,lon\n,Kiln,45.9,-119.6\nb,,45.8,-119.6\n", "yards.csv").yards
    assert [(yard.key, yard.name) for yard in found] == [("kiln", "Kiln"), ("b", "b")]


def test_zone_and_height_may_be_told() -> None:
    text = "key,lat,lon,zone,elevation\nkiln,45.9,-119.6,America/Boise,400 ft\n"
    (yard,) = yards_of(text, "yards.csv").yards
    assert (yard.tz, yard.elev_m) == ("America/Boise", pytest.approx(121.92))


@pytest.mark.parametrize("text", ["", "\n", "key,name,lat,lon\n", "key,name,lat,lon\n,,,\n"])
def test_a_file_without_yards_is_told_what_a_row_looks_like(text: str) -> None:
    assert read(text) == [
        "yards.csv: holds no yard yet; add a row for each, such as kiln,Kiln,43.6105,-116.2023"
    ]


@pytest.mark.parametrize(
    ("row", "told_of"),
    [
        ("x,X,91,-119.6,1", 'lat: "91" is no latitude'),
        ("x,X,43;6,-119.6,1", "lat:"),
        ("x,X,,-119.6,1", "lat: is empty; write a number such as 43.6105"),
        ('x,X,"45,9",-119.6,1', 'lat: "45,9" has a decimal comma; write 45.9'),
        ("x,X,45.9,-119.6,twelve", 'doubles: "twelve" is not a whole number'),
        ('x,X,45.9,-119.6,"1,200"', 'doubles: "1,200" is not a whole number; write 1200'),
        ("x,X,45.9,-119.6,-1", "doubles:"),
        ("x y,X,45.9,-119.6,1", 'key: "x y" is not a key'),
        ("a,X,45.9,-119.6,1", 'key: "a" stands in line 2 already'),
        ("A,X,45.9,-119.6,1", 'key: "A" stands in line 2 already'),
        (",A,45.9,-119.6,1", 'key: "a", made from the name, stands in line 2 already'),
        (",!!,45.9,-119.6,1", "name: gives no key"),
        (",,45.9,-119.6,1", "name: gives no key"),
        (f"x,{'n' * 41},45.9,-119.6,1", "name:"),
        ("x,a\u200bb,45.9,-119.6,1", "name:"),
        ("x,X,45.9,-119.6,1,2", "has 1 more cell than"),
        ("x,X,45,9,-119.6,1", "has 1 more cell than"),
    ],
)
def test_one_fault_is_one_sentence_with_line_and_column(row: str, told_of: str) -> None:
    (sentence,) = read(HEAD + THREE + row + "\n")
    assert sentence.startswith("yards.csv:5: ")
    assert told_of in sentence


def test_a_count_of_a_spreadsheet_is_a_whole_number() -> None:
    assert yards_of(HEAD + "a,A,45.9,-119.6,12.0\n", "yards.csv").yards[0].doubles == 12


def test_all_faults_are_told_in_order_of_lines_and_columns() -> None:
    rows = "a b,A,91,-119.6,x\nb,B,45.95,200,1\n"
    fields = [sentence.split(": ")[:2] for sentence in read(HEAD + rows + THREE)]
    assert fields == [
        ["yards.csv:2", "key"], ["yards.csv:2", "lat"], ["yards.csv:2", "doubles"],
        ["yards.csv:3", "lon"], ["yards.csv:5", "key"],
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("heading", "told_of"),
    [
        ("name,latitude,lon", 'latitude: is not a known column; did you mean "lat"?'),
        ("name,lat,lon,doubels", 'doubels: is not a known column; did you mean "doubles"?'),
        ("name,lat", "lon: there is no such column"),
        ("lat,lon", "there is neither a column key nor a column name"),
        ("kiln,45.9,-119.6", "is not a heading; begin the file with a heading"),
    ],
)
def test_a_fault_of_the_heading_is_told_once_and_not_for_each_row(
    heading: str, told_of: str
) -> None:
    row = "45.9,-119.6\n46.0,-119.6\n" if heading == "lat,lon" else "K,45.9,-119.6\nL,46,-119.6\n"
    if heading == "name,lat":
        row = "K,45.9\nL,46\n"
    (sentence,) = read(f"{heading}\n{row}")
    assert sentence.startswith("yards.csv:1: ")
    assert told_of in sentence


def test_a_column_of_nobody_is_a_remark_and_x_silences_it() -> None:
    found = yards_of("name,lat,lon,phone,x_gate\nK,45.9,-119.6,555,12\n", "yards.csv")
    assert found.remarks == (
        'yards.csv: column "phone" is not read (begin it with x_ to say you know)',
    )


def test_a_cell_under_no_heading_is_a_fault_and_empty_columns_are_not() -> None:
    assert "without a heading" in read("name,,lat,lon\nK,x,45.9,-119.6\n")[0]
    assert read("name,,lat,lon,,\nK,,45.9,-119.6,,\n") == []


def test_columns_may_stand_in_any_order() -> None:
    header, row, *_ = YARDS.split("\n")
    cells = dict(
        zip(header.split(","), row.replace('"gate, then left"', "left").split(","), strict=True)
    )
    turned = ",".join(reversed(cells)) + "\n" + ",".join(reversed(cells.values())) + "\n"
    assert yards_of(turned, "yards.csv").yards[0].key == "kiln"


def test_every_column_may_stand_in_the_file() -> None:
    row = "kiln,Kiln,45.9,-119.6,WA,1,2,3,4,clay,1 km,n,America/Boise,400 ft,no"
    (yard,) = yards_of(f"{','.join(COLUMNS)}\n{row}\n", "yards.csv").yards
    assert yard.colonies == 10


def test_a_missing_file_is_told_what_it_holds(tmp_path: Path) -> None:
    (sentence,) = told(lambda: read_yards(tmp_path))
    assert sentence.startswith("yards.csv: is missing; write one with the heading key,name,lat,lon")


def test_a_file_of_a_spreadsheet_is_read_with_its_byte_order_mark(tmp_path: Path) -> None:
    (tmp_path / "yards.csv").write_bytes(YARDS.replace("\n", "\r\n").encode("utf-8-sig"))
    assert len(read_yards(tmp_path).yards) == 3
