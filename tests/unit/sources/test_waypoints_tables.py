"""Tables under people's own headings, as CSV and as XLSX written by openpyxl."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from support.configs import told
from support.waypoint_files import cells, found, packed, payload, with_part, workbook

HEAD = ["Yard", "Latitude", "Longitude", "Double deeps"]
KILN = ["Kiln", 46.079, -119.774, 24.0]


def csv_cells(text: str) -> list[dict[str, str]]:
    return cells(text.encode())


def book_cells(*rows: list[object]) -> list[dict[str, str]]:
    return cells(workbook({"Yards": rows}))


def test_a_csv_of_another_country_is_told_in_full() -> None:
    whole = found(payload("hives.csv"), "hives.csv")
    assert [(w.at, dict(w.cells)) for w in whole.waypoints] == [
        (
            "hives.csv:2",
            {
                "lat": "45.957", "lon": "-119.649", "name": "Heron slough", "doubles": "24",
                "lane_surface": "plowed", "lane_length": "900 ft",
            },
        ),
        (
            "hives.csv:3",
            {
                "lat": "46.079", "lon": "-119.774", "name": "Kiln", "doubles": "30",
                "lane_surface": "gravel", "lane_length": "600 ft",
            },
        ),
    ]  # fmt: skip
    assert whole.remarks == (
        'hives.csv: "Hives" was read as doubles (colonies in double deeps)',
        "hives.csv: not taken: Owner phone",
    )


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-32"])
@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_every_separator_and_encoding_is_read(mark: str, encoding: str) -> None:
    text = "name,lat,lon\nKiln \u00e9,46.079,-119.774\n".replace(",", mark)
    assert cells(text.encode(encoding))[0]["name"] == "Kiln \u00e9"


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("46,079", "46.079"),
        ("-119,774", "-119.774"),
        ("N 46,079\u00b0", "N 46.079\u00b0"),
        ("1,234,5", "1,234,5"),
        ("46 04,7", "46 04,7"),
    ],
)
def test_one_decimal_comma_in_degrees_is_mended(written: str, read: str) -> None:
    assert csv_cells(f"name;lat;lon\nKiln;{written};1\n")[0]["lat"] == read


@pytest.mark.parametrize(
    ("written", "read"), [("24,0", "24"), ("24,00", "24"), ("24,000", "24,000")]
)
def test_a_count_with_a_comma_is_whole_or_left_to_be_refused(written: str, read: str) -> None:
    assert csv_cells(f"name;lat;lon;nucs\nKiln;1;1;{written}\n")[0]["nucs"] == read


def test_a_row_without_a_name_gets_the_number_of_its_line() -> None:
    (waypoint,) = found(b"name,lat,lon,doubles\n,46,-119,3\n").waypoints
    assert (waypoint.cells["name"], waypoint.named) == ("Waypoint 2", False)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name,lat,lon\n", "no points found (no row below its heading)"),
        ("just some words\nand more\n", "nor a table with a heading"),
        ("name,lat\nKiln,1\n", "lon: there is no such column; add a column lon"),
        ("name,lattitude,lon\nKiln,1,2\n", 'there is no such column; write lat for "lattitude"'),
        ("lat,lon\n1,2\n", "name: there is no such column"),
        ("name,lat,lon\nKiln,43,61,-116\n", "a decimal comma? write 43.61"),
        ("name,lat,lon,lng\nKiln,1,2,3\n", 'means the same as "lon"'),
        ("\xff\xfe", "no points found (the file is empty)"),
        ("   \n \t", "no points found (the file is empty)"),
        ("", "no points found (the file is empty)"),
        ("name,lat,lon\n\0,1,2", "it holds NUL bytes"),
        ("name,lat,lon\nKil\xe9n,1,2", "is not UTF-8 text from line 2 on"),
    ],
)  # fmt: skip
def test_what_is_no_table_of_places_is_told(text: str, words: str) -> None:
    sentences = told(lambda: found(text.encode("latin-1"), "h.csv"))
    assert [s for s in sentences if words in s and s.startswith("h.csv")]


def test_an_old_workbook_is_one_sentence() -> None:
    assert told(lambda: found(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 512, "h.xls")) == [
        "h.xls: is an Excel workbook of the old format (.xls) or one with a password; save it as"
        " XLSX without a password, or as CSV UTF-8"
    ]


def test_a_workbook_is_told_in_full() -> None:
    assert book_cells(HEAD, KILN, ["Heron\nslough", "N 45 57.42", "119 38.94 W", 12]) == [
        {"lat": "46.079", "lon": "-119.774", "name": "Kiln", "doubles": "24"},
        {"lat": "N 45 57.42", "lon": "119 38.94 W", "name": "Heron slough", "doubles": "12"},
    ]


def test_a_title_above_the_heading_and_empty_rows_do_not_matter() -> None:
    body = workbook({"Yards": [["Our yards", 2026], [], HEAD, [], KILN]})
    (waypoint,) = found(body, "h.xlsx").waypoints
    assert waypoint.at == "h.xlsx (Yards):5"
    assert waypoint.cells["name"] == "Kiln"


def test_the_first_sheet_with_a_heading_is_read_and_the_others_named() -> None:
    body = workbook(
        {"Notes": [["gate code", 1]], "Yards": [HEAD, KILN], "Old": [HEAD, KILN], "E": []}
    )
    whole = found(body, "h.xlsx")
    assert [w.at for w in whole.waypoints] == ["h.xlsx (Yards):2"]
    assert whole.remarks == ("h.xlsx: sheet Yards was read; not read: Notes, Old",)


def test_stored_values_of_any_type_are_text() -> None:
    values = [True, dt.date(2026, 11, 3), dt.datetime(2026, 11, 3, 6), dt.time(6), 1e-7, 10**9]  # noqa: DTZ001 - a sheet has no zones
    rows = [[*KILN[:3], None, value] for value in values]
    read = [row["notes"] for row in book_cells([*HEAD, "notes"], *rows)]
    assert read == [
        "yes", "2026-11-03T00:00:00", "2026-11-03T06:00:00", "06:00:00", "0.0000001",
        "1000000000",
    ]  # fmt: skip


def test_a_formula_without_a_stored_result_is_named_with_its_cell() -> None:
    body = workbook({"Yards": [HEAD, ["Kiln", "=45+1", -119.7, 1], ["Mill", 46, "=B3", "=SUM(1)"]]})
    assert told(lambda: found(body, "h.xlsx")) == [
        f"h.xlsx (Yards):{line}: {name}: is a formula whose result is not stored in the file; open"
        " it in the spreadsheet program and save it, or type the value"
        for line, name in [(2, "lat"), (3, "lon"), (3, "doubles")]
    ]


def test_a_formula_with_a_stored_result_is_its_result() -> None:
    parts = workbook({"Yards": [HEAD, ["Kiln", "=45+1", -119.7, 1]]})
    assert cells(with_part(parts, b"<v></v>", b"<v>46</v>", b"<v />"))[0]["lat"] == "46"


def test_an_error_in_a_cell_is_told() -> None:
    body = workbook({"Yards": [HEAD, ["#REF!", 46, -119, 1]]})
    (sentence,) = told(lambda: found(body, "h.xlsx"))
    assert "h.xlsx (Yards):2: name: the cell holds the error #REF!" in sentence


def test_a_sheet_that_tells_a_wrong_size_is_read_whole() -> None:
    body = workbook({"Yards": [HEAD, KILN]})
    assert len(cells(with_part(body, b'ref="A1:D2"', b'ref="A1"'))) == 1


def test_a_row_far_below_is_no_reason_to_hang() -> None:
    body = with_part(workbook({"Y": [HEAD, KILN]}), b'<row r="2"', b'<row r="1048576"')
    (sentence,) = told(lambda: found(body))
    assert "no points found (no row below its heading)" in sentence


def test_entities_in_a_workbook_are_not_unfolded() -> None:
    evil = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]><worksheet'
    body = with_part(workbook({"Y": [HEAD, ["Kiln", 1, 2, 3]]}), b"<worksheet", evil)
    (sentence,) = told(lambda: found(body))
    assert "is an Excel workbook that cannot be read" in sentence


def test_a_workbook_without_a_heading_is_one_sentence() -> None:
    (sentence,) = told(lambda: found(workbook({"A": [["x"]], "B": []}), "h.xlsx"))
    assert re.search(r"no sheet has a heading with name, lat and lon; sheets: A, B\)", sentence)


def test_what_only_looks_like_a_workbook_is_one_sentence() -> None:
    (sentence,) = told(lambda: found(packed({"xl/workbook.xml": b"<x/>"}), "h.xlsx"))
    assert "is an Excel workbook that cannot be read" in sentence
