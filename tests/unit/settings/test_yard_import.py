"""Somebody's own spreadsheet, read forgivingly and written as ``yards.csv``."""

from __future__ import annotations

import csv
from pathlib import Path

from support.configs import faults_of, told

from windowcast.settings.yard_columns import COLUMNS
from windowcast.settings.yard_import import empty_yards_text, import_yards
from windowcast.settings.yards import yards_of

OWN = """\
Yard;Latitude;Long;Double Deeps;Singles;Road;Lane Length (ft);Owner phone
Heron slough;N 45 54;119 36 W;24.0;;plowed;600;555-1
"Mill; ditch";45°57'00"N;-119.65;12;4;;1 km;
"""


def imported(tmp_path: Path, text: str, *, us_only: bool = True) -> list[list[str]]:
    (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    found = import_yards(tmp_path / "own.csv", us_only=us_only)
    return list(csv.reader(found.text.splitlines()))


def remarks(tmp_path: Path, text: str) -> tuple[str, ...]:
    (tmp_path / "own.csv").write_text(text, encoding="utf-8")
    return import_yards(tmp_path / "own.csv", us_only=True).remarks


def test_a_spreadsheet_becomes_a_canonical_file(tmp_path: Path) -> None:
    heading, *rows = imported(tmp_path, OWN)
    assert heading == [
        "key", "name", "lat", "lon", "state", "doubles", "singles", "nucs", "nucs_above",
        "lane_surface", "lane_length", "notes", "x_owner_phone",
    ]  # fmt: skip
    assert rows == [
        ["heron-slough", "Heron slough", "45.9", "-119.6", "", "24", "0", "0", "0", "ploughed",
         "600 ft", "", "555-1"],
        ["mill-ditch", "Mill; ditch", "45.95", "-119.65", "", "12", "4", "0", "0", "",
         "1 km", "", ""],
    ]  # fmt: skip


def test_what_is_written_is_read_strictly_and_means_the_same(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(OWN, encoding="utf-8")
    once = import_yards(tmp_path / "own.csv", us_only=True)
    again = yards_of(once.text, "yards.csv", us_only=True)
    assert [(y.key, y.colonies, y.lane_m) for y in again.yards] == [
        ("heron-slough", 24, 182.88),
        ("mill-ditch", 16, 1000.0),
    ]
    assert again.remarks == ()
    assert once.count == 2


def test_columns_that_are_not_known_are_kept_and_named(tmp_path: Path) -> None:
    assert remarks(tmp_path, OWN) == ("own.csv: kept but not read: x_owner_phone",)


def test_own_columns_never_share_a_name(tmp_path: Path) -> None:
    heading, row = imported(tmp_path, "name,lat,lon,phone #,phone!,###\nK,45.9,-119.6,1,2,3\n")
    assert heading[-3:] == ["x_phone", "x_phone_", "x_column"]
    assert row[-3:] == ["1", "2", "3"]


def test_hives_of_no_kind_are_read_as_doubles_and_that_is_said(tmp_path: Path) -> None:
    (remark,) = remarks(tmp_path, "site,lat,lng,hives\nKiln,45.9,-119.6,24\n")
    assert remark.startswith('own.csv: "hives" was read as doubles')


def test_two_columns_of_one_meaning_are_a_fault(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("yard,site,lat,lon\nA,B,45.9,-119.6\n")
    (fault,) = faults_of(lambda: import_yards(tmp_path / "own.csv", us_only=True))
    assert fault.found == 'means the same as "yard"'


def test_all_faults_of_a_spreadsheet_are_told_under_its_own_name(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("site,lat,lon\nA,91,-119.6\nB,45.9,119.6\n")
    sentences = told(lambda: import_yards(tmp_path / "own.csv", us_only=True))
    assert [sentence.split(": ")[:2] for sentence in sentences] == [
        ["own.csv:2", "lat"],
        ["own.csv:3", "lon"],
    ]


def test_a_missing_spreadsheet_is_told(tmp_path: Path) -> None:
    (sentence,) = told(lambda: import_yards(tmp_path / "own.csv", us_only=True))
    assert sentence == "own.csv: is missing; check the name after --from"


def test_the_columns_that_are_rarely_needed_stand_only_where_they_hold_something(
    tmp_path: Path,
) -> None:
    heading, row = imported(tmp_path, "name,lat,lon,tz,far\nK,45.9,-119.6,America/Boise,\n")
    assert "zone" in heading
    assert "far" not in heading
    assert "America/Boise" in row


def test_an_empty_file_holds_a_heading_that_is_known() -> None:
    heading = empty_yards_text().strip().split(",")
    assert set(heading) < set(COLUMNS)
