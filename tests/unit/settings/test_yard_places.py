"""Yards that cannot be where the file puts them."""

from __future__ import annotations

import time

import numpy as np
import pytest
from support.configs import HEAD, THREE, told

from windowcast.settings.yard_places import (
    Spot,
    distances_km,
    doublet_remarks,
    lone_remarks,
    neighbours,
    place_faults,
)
from windowcast.settings.yards import yards_of


def spots(*places: tuple[float, float]) -> list[Spot]:
    return [Spot(line=n, key=f"y{n}", lat_deg=a, lon_deg=o) for n, (a, o) in enumerate(places, 2)]


def read(rows: str, *, us_only: bool = False, head: str = HEAD) -> list[str]:
    return told(lambda: yards_of(head + rows, "yards.csv", us_only=us_only))


def test_the_distance_of_two_airports_is_the_published_one() -> None:
    # Williams, Aviation Formulary 1.47, worked example: LAX to JFK is 2144 nautical miles.
    lax, jfk = np.radians([33 + 57 / 60, -118 - 24 / 60]), np.radians([40 + 38 / 60, -73 - 47 / 60])
    km = distances_km(lax[0], lax[1], jfk[:1], jfk[1:])
    assert km[0] == pytest.approx(2144 * 1.852, rel=0.002)


def test_a_degree_of_latitude_is_111_km_and_the_date_line_is_no_edge() -> None:
    near = np.radians(np.array([45.0, 45.0])), np.radians(np.array([-179.9, 10.0]))
    km = distances_km(np.radians(45.0), np.radians(179.9), *near)
    assert km[0] == pytest.approx(15.7, abs=0.1)
    assert distances_km(0.0, 0.0, np.radians([1.0]), np.array([0.0]))[0] == pytest.approx(
        111.2, abs=0.1
    )


@pytest.mark.parametrize(
    ("row", "told_of"),
    [
        ("x,X,45.9,119.6,1\n", "lon: lacks a minus, it seems"),
        ("x,X,-119.6,45.9,1\n", "are swapped, it seems; write lat 45.9, lon -119.6"),
        ("x,X,119.6 W,45.9 N,1\n", "are swapped, it seems; write lat 45.9, lon -119.6"),
        ("x,X,-45.9,-119.6,1\n", "lat: has the wrong sign"),
        ("x,X,-45.9,119.6,1\n", "lat: has the wrong sign, and lon too"),
        ("x,X,48.6,-106.3,1\n", 'check lat and lon, or write yes in a column "far"'),
        ("x,X,0,0,1\n", "an empty cell?"),
        ("x,X,-86.8,33.5,1\n", "is too near a pole for bees; swapped? write lat 33.5, lon -86.8"),
        ("x,X,85,-116,1\n", "is too near a pole for bees; check it"),
    ],
)  # fmt: skip
def test_a_stray_yard_is_told_what_most_likely_happened(row: str, told_of: str) -> None:
    (sentence,) = read(THREE + row)
    assert sentence.startswith("yards.csv:5: ")
    assert told_of in sentence


def test_a_swap_inside_the_ranges_is_found_by_the_other_yards() -> None:
    southern = "a,A,33.5,-56.8,1\nb,B,33.6,-56.9,1\nc,C,33.4,-56.7,1\n"
    (sentence,) = read(southern + "x,X,-55.9,33.5,1\n")
    assert "lat: is swapped with lon, it seems" in sentence
    assert sentence.endswith("write lat 33.5, lon -55.9")


def test_several_yards_without_their_minus_are_all_told() -> None:
    sentences = read(THREE + "x,X,45.9,119.6,1\ny,Y,45.95,119.65,1\n")
    assert [sentence.split(":")[1] for sentence in sentences] == ["5", "6"]


def test_two_yards_near_each_other_are_a_second_district() -> None:
    assert read(THREE + "x,X,48.6,-106.3,1\ny,Y,48.5,-106.2,1\n") == []


def test_two_yards_far_apart_are_remarked_on_since_either_may_be_right() -> None:
    assert read("a,A,45.9,-119.6,1\nx,X,48.6,-106.3,1\n") == []
    told = list(lone_remarks(spots((45.9, -119.6), (48.6, -106.3)), file="yards.csv"))
    assert len(told) == 2
    assert all("km from all others" in sentence for sentence in told)


def test_yards_that_are_all_far_from_each_other_are_an_outfit_that_is_spread_out() -> None:
    rows = "a,A,45.9,-119.6,1\nb,B,45.95,-119.65,1\nc,C,48.6,-106.3,1\nd,D,33.5,-112.1,1\n"
    assert read(rows) == []
    places = spots((45.9, -119.6), (45.95, -119.65), (48.6, -106.3), (33.5, -112.1))
    assert len(list(lone_remarks(places, file="yards.csv"))) == 2


def test_one_lone_yard_is_a_fault_and_needs_no_remark() -> None:
    near = [(45.9, -119.6), (45.95, -119.65), (48.6, -106.3)]
    assert list(lone_remarks(spots(*near), file="yards.csv")) == []
    assert len(place_faults(spots(*near), file="yards.csv", us_only=False)) == 1


def test_a_yard_that_says_so_may_lie_far_away() -> None:
    head = HEAD.replace("doubles", "far")
    rows = THREE.replace(",1\n", ",\n")
    assert read(rows + "x,X,48.6,-106.3,yes\n", head=head) == []
    assert len(read(rows + "x,X,48.6,-106.3,no\n", head=head)) == 1


def test_300_km_is_near_and_a_little_more_is_far() -> None:
    step = np.degrees(300 / 6371.0)
    pair = ((40, -110), (40, -110.01))
    near, far = (spots(*pair, (40 + step * share, -110)) for share in (0.9999, 1.0001))
    assert place_faults(near, file="f", us_only=False) == []
    assert place_faults(far, file="f", us_only=False)


def test_nobody_is_called_a_stray_while_places_of_others_cannot_be_read() -> None:
    (sentence,) = read("a,A,45.9,-119.6,1\nb,B,48.6,-106.3,1\nc,C,48.7o,-106.2,1\n")
    assert sentence.startswith("yards.csv:4: lat:")


def test_a_whole_file_without_minus_is_found_where_only_the_us_service_is_asked() -> None:
    rows = "a,A,45.9,119.6,1\nb,B,45.95,119.65,1\n"
    assert read(rows) == []
    sentences = read(rows, us_only=True)
    assert len(sentences) == 2
    assert sentences[0].endswith("where the US weather service tells nothing; write -119.6")


def test_a_whole_file_without_minus_is_found_by_its_states() -> None:
    (sentence,) = read("a,A,45.9,119.6,wa\n", head=HEAD.replace("doubles", "state"))
    assert sentence.endswith("119.6 is east of Greenwich, not in wa; write -119.6")


@pytest.mark.parametrize("place", [(13.4, 144.8), (52.9, 173.2), (-35.3, 149.1), (50.0, 10.0)])
def test_what_really_lies_in_the_east_is_left_alone(place: tuple[float, float]) -> None:
    assert place_faults(spots(place), file="f", us_only=True) == []


def test_yards_within_50_m_are_a_remark_and_no_fault() -> None:
    near = spots((45.9, -119.6), (45.9005, -119.6), (45.9006, -119.6))
    (remark,) = doublet_remarks(near, file="yards.csv")
    assert remark == "yards.csv:4: y4 lies 11 m from y3 (line 3); one place entered twice?"
    assert place_faults(near, file="f", us_only=True) == []


def test_groups_hang_together_by_steps() -> None:
    chain = spots(*((40.0, -110.0 + 3 * n) for n in range(5)), (10.0, 10.0))
    group = neighbours(chain).group
    assert len(set(group[:5])) == 1
    assert group[5] not in group[:5]


def test_a_thousand_yards_are_placed_in_a_second() -> None:
    many = spots(*((40 + n % 40 / 50, -110 + n // 40 / 50) for n in range(1000)))
    began = time.monotonic()
    assert place_faults(many, file="f", us_only=True) == []
    assert time.monotonic() - began < 1.0
