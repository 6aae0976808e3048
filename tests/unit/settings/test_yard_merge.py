"""Waypoints laid beside ``yards.csv``: added, moved, filled, kept; faults where they stand."""

from __future__ import annotations

import csv

import pytest
from support.configs import THREE, YARDS, told

from windowcast.settings.yard_changes import change_lines
from windowcast.settings.yard_merge import Merge, distinct_key, merged, old_table
from windowcast.settings.yard_pairs import Waypoint
from windowcast.settings.yards import yards_of

KILN = ("45.90", "-119.60")
METRE = 1 / 111_195  # degrees of latitude in a metre, on a sphere of 6371 km


def spot(name: str, lat: str, lon: str, **cells: str) -> Waypoint:
    named = {"name": name} if name else {"name": "Waypoint 9"}
    return Waypoint(
        at=f"r.gpx: {name}", cells={**named, "lat": lat, "lon": lon, **cells}, named=bool(name)
    )


def north(lat: str, metres: float) -> str:
    return f"{float(lat) + metres * METRE:.9f}"


def merge(*waypoints: Waypoint, yards: str | None = YARDS, us_only: bool = True) -> Merge:
    old, remarks = old_table(yards, us_only=us_only)
    return merged(old, waypoints, us_only=us_only, known_remarks=remarks)


def rows(found: Merge) -> dict[str, dict[str, str]]:
    """The rows of the new file by key."""
    return {row["key"]: row for row in csv.DictReader(found.text.splitlines())}


def test_a_new_place_is_a_row_at_the_end_and_all_others_stay() -> None:
    found = merge(spot("Mill ditch", "45.95", "-119.9", notes="by the ditch"))
    assert found.text.splitlines()[:4] == YARDS.splitlines()
    assert found.text.splitlines()[4] == "mill-ditch,Mill ditch,45.95,-119.9,,,,,,,,by the ditch"
    assert found.absent == ("kiln", "heron-slough", "quarry-bench")


@pytest.mark.parametrize("name", ["Kiln", "KILN", "kiln", " Kiln!"])
def test_a_yard_is_known_by_its_key_and_moves_wherever_it_went(name: str) -> None:
    found = merge(spot(name, "45.99", "-119.6"))
    (change,) = found.changes
    assert change.moved_m == pytest.approx(0.09 * 111_195, rel=1e-3)
    assert rows(found)["kiln"] == {
        **rows(merge())["kiln"], "lat": "45.99", "lon": "-119.6",
    }  # fmt: skip
    assert rows(found)["kiln"]["notes"] == "gate, then left"


def test_a_yard_is_known_by_its_name_where_its_key_is_another() -> None:
    yards = YARDS.replace("kiln,Kiln", "k1,Kiln")
    assert merge(spot("Kiln", "45.93", "-119.6"), yards=yards).changes[0].key == "k1"
    told_key = spot("Kiln", "45.93", "-119.6", key="k2")
    assert merge(told_key, yards=yards).changes[0].is_new


@pytest.mark.parametrize(("metres", "is_new"), [(49.0, False), (51.0, True)])
def test_a_yard_under_another_name_is_known_within_50_m(metres: float, is_new: bool) -> None:
    found = merge(spot("Old brickworks", north(KILN[0], metres), KILN[1]))
    assert found.changes[0].is_new is is_new
    assert len(rows(found)) == 3 + is_new


@pytest.mark.parametrize(("metres", "moves"), [(0.9, False), (1.1, True)])
def test_less_than_a_metre_is_no_move(metres: float, moves: bool) -> None:
    found = merge(spot("Kiln", north(KILN[0], metres), KILN[1]))
    assert found.changes[0].changes is moves
    assert (found.text == YARDS) is not moves


def test_what_a_row_says_is_kept_and_what_it_leaves_open_is_filled() -> None:
    found = merge(spot("Heron slough", "45.95", "-119.65", doubles="30", notes="low", nucs="0.0"))
    (change,) = found.changes
    assert change.filled == (("notes", "low"),)
    assert change.kept == (("doubles", "12", "30"),)
    assert rows(found)["heron-slough"]["notes"] == "low"
    assert rows(found)["heron-slough"]["doubles"] == "12"


def test_the_same_file_again_changes_nothing() -> None:
    places = [
        spot("Yard", "45.91", "-119.6"),
        spot("Yard", "45.96", "-119.6"),
        spot("", "46", "-119.6"),
    ]
    first = merge(*places)
    assert [change.key for change in first.changes] == ["yard", "yard-2", "waypoint-9"]
    again = merge(*places, yards=first.text)
    assert [change.changes for change in again.changes] == [False] * 3
    assert again.text == first.text


def test_names_shared_by_several_go_by_place_alone() -> None:
    found = merge(spot("Kiln", "45.99", "-119.6"), spot("Kiln", *KILN))
    assert [(c.key, c.is_new) for c in found.changes] == [("kiln", False), ("kiln-2", True)]


def test_a_name_told_twice_within_50_m_is_one_yard() -> None:
    found = merge(spot("Mill", "45.97", "-119.6"), spot("Mill", north("45.97", 40), "-119.6"))
    assert [change.key for change in found.changes] == ["mill"]
    assert found.remarks[0] == "r.gpx: Mill: stands twice within 50 m; taken once"


def test_no_row_is_taken_twice() -> None:
    found = merge(spot("Kiln", *KILN), spot("Brickworks", *KILN))
    assert [(c.key, c.is_new) for c in found.changes] == [("kiln", False), ("brickworks", True)]
    assert any("one place entered twice?" in remark for remark in found.remarks)


def test_a_name_without_letters_gets_a_key() -> None:
    found = merge(spot("\U0001f41d", "45.97", "-119.6"))
    assert rows(found)["waypoint"]["name"] == "\U0001f41d"


def test_a_distinct_key_is_never_too_long() -> None:
    used = {"k" * 40, "k" * 38 + "-2"}
    assert distinct_key("K" * 40, used) == "K" * 38 + "-3"
    assert distinct_key("mill", used) == "mill"


def test_headings_and_columns_of_ones_own_stay() -> None:
    yards = "x_phone,Name,lat,LON\n555,Kiln,45.90,-119.60\n"
    found = merge(spot("Mill", "45.97", "-119.6", doubles="3"), yards=yards)
    assert found.text == (
        "x_phone,Name,lat,LON,doubles\n555,Kiln,45.90,-119.60,\n,Mill,45.97,-119.6,3\n"
    )


def test_a_key_column_comes_where_a_name_gives_none() -> None:
    yards = "name,lat,lon\nKiln,45.90,-119.60\n"
    pair = (spot("Mill", "45.97", "-119.6"), spot("Mill", "45.99", "-119.6"))
    found = merge(*pair, yards=yards)
    assert found.text.splitlines() == [
        "name,lat,lon,key", "Kiln,45.90,-119.60,", "Mill,45.97,-119.6,", "Mill,45.99,-119.6,mill-2",
    ]  # fmt: skip


@pytest.mark.parametrize("yards", [None, "", "key,name,lat,lon\n", "\n"])
def test_a_file_without_yards_is_a_place_to_begin(yards: str | None) -> None:
    found = merge(spot("Kiln", *KILN), yards=yards)
    assert [yard.key for yard in yards_of(found.text, "yards.csv").yards] == ["kiln"]


def test_faults_that_stand_in_yards_csv_already_are_told_as_such() -> None:
    sentences = told(lambda: merge(spot("Kiln", *KILN), yards=YARDS.replace("45.90", "95")))
    assert [sentence.split(":")[:2] for sentence in sentences] == [["yards.csv", "2"]]


def test_every_fault_is_told_where_it_stands_in_the_file() -> None:
    sentences = told(
        lambda: merge(
            spot("A", "943", "-119.6"), spot("B", "45.9", ""), spot("Kiln", "x", "1"),
            spot("C", "45.9", "119.6"), spot("D", "45.97", "-119.6", doubles="many"),
        )
    )  # fmt: skip
    assert sorted(sentence.split(": ")[1:3] for sentence in sentences) == [
        ["A", "lat"], ["B", "lon"], ["C", "lon"], ["D", "doubles"], ["Kiln", "lat"],
    ]  # fmt: skip


def test_a_key_that_the_file_gives_twice_is_a_fault() -> None:
    pair = (spot("A", "45.9", "-119.7", key="a"), spot("B", "45.9", "-119.8", key="A"))
    assert told(lambda: merge(*pair)) == [
        'r.gpx: B: key: "A" stands at r.gpx: A already; give each its own key'
    ]
    also = spot("C", "95", "-119.6")
    assert len(told(lambda: merge(*pair, also))) == 2


def test_swapped_coordinates_are_told_with_the_right_ones() -> None:
    swapped = Waypoint(
        at="p.geojson: point 1 (Mill)",
        cells={"name": "Mill", "lat": "-119.6", "lon": "45.97"},
        lon_first=True,
    )
    assert told(lambda: merge(swapped)) == [
        'p.geojson: point 1 (Mill): lat: "-119.6" and lon "45.97" are swapped, it seems; write lat'
        " 45.97, lon -119.6 (this format puts lon before lat)"
    ]


def test_coordinates_that_swapped_would_fit_the_other_yards_are_a_fault() -> None:
    kenya = "key,name,lat,lon\n" + THREE.replace("-119", "36").replace(",1\n", "\n")
    swapped = spot("Mill", "36.65", "45.95")
    (sentence,) = told(lambda: merge(swapped, yards=kenya, us_only=False))
    assert sentence.startswith("r.gpx: Mill: lat: is swapped with lon, it seems")


def test_the_changes_are_told_in_words() -> None:
    found = merge(
        spot("Kiln", north(KILN[0], 132), KILN[1]),
        spot("Mill", "45.97", "-119.6", doubles="6"),
        spot("Heron slough", "45.95", "-119.65", doubles="30"),
        spot("", "45.98", "-119.6"),
        spot("Bench", "46.05", "-119.70"),
    )
    assert list(change_lines(found, "r.gpx")) == [
        "r.gpx: 5 yards for yards.csv",
        "  added: mill (Mill), 45.97 -119.6, doubles 6",
        "  added: waypoint-9 (no name in the file), 45.98 -119.6",
        "  changed: kiln, moved by 132 m to 45.901187 -119.6; kept: doubles, notes",
        "  unchanged: heron-slough, kept: doubles 12 (the file says 30)",
        "  unchanged: quarry-bench",
    ]


def test_gaps_that_are_filled_are_told_in_words() -> None:
    lines = list(change_lines(merge(spot("Kiln", *KILN, elevation="700 ft")), "r.gpx"))
    assert lines[1] == "  changed: kiln, filled in: elevation 700 ft; kept: doubles, notes"
    bare = merge(spot("Kiln", "45.91", "-119.6"), yards="name,lat,lon\nKiln,45.90,-119.60\n")
    assert (
        list(change_lines(bare, "r.gpx"))[1] == "  changed: kiln, moved by 1.1 km to 45.91 -119.6"
    )


def test_a_yard_that_becomes_the_stray_is_told_by_its_own_line() -> None:
    far = [spot(f"Far {n}", f"{40 + n / 100}", "-105") for n in range(3)]
    yards = "name,lat,lon\n\nKiln,45.90,-119.60\n"
    (sentence,) = told(lambda: merge(*far, yards=yards))
    assert sentence.startswith("yards.csv:3: lat: puts the yard 1")


def test_a_long_way_is_told_in_kilometres_and_who_is_absent_by_key() -> None:
    lines = list(change_lines(merge(spot("Kiln", "45.99", "-119.6")), "r.gpx"))
    assert lines == [
        "r.gpx: 1 yard for yards.csv",
        "  changed: kiln, moved by 10.0 km to 45.99 -119.6; kept: doubles, notes",
        "  not in the file, and left as they are: heron-slough, quarry-bench",
    ]
