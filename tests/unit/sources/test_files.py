import gzip
import json
import os
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support import nws_payloads as nws
from support.fetching import NOW

from windowcast.ports import Source
from windowcast.sources.files import OPEN_METEO_CREDIT, Files
from windowcast.sources.open_meteo import CREDIT
from windowcast.terms.outlook import PAST, Answer
from windowcast.terms.yard import Place, Yard

START = NOW - timedelta(hours=3)
KILN = Yard(key="kiln", name="Kiln", lat_deg=43.61, lon_deg=-116.2)
DITCH = Yard(key="mill-ditch", name="Mill Ditch", lat_deg=44.4, lon_deg=-117.2)
KM_NORTH_DEG = 1 / 111.195  # a degree of latitude on a sphere of 6371 km


def yard_at(lat_deg: float, lon_deg: float = -116.2) -> Yard:
    return Yard(key="kiln", name="Kiln", lat_deg=lat_deg, lon_deg=lon_deg)


def grid(temp_c: float = 4.4, issued: datetime = START, **more: Any) -> dict[str, Any]:
    layers = nws.hourly_layers(
        START, temp_c=[temp_c] * 48, wind_kmh=[5.0] * 48, mentions=[[nws.NO_WEATHER]] * 48
    )
    return nws.grid(start=START, issued=issued, layers=layers, **more)


def forecast(lat: float = 43.61, lon: float = -116.2, begins: datetime = START) -> dict[str, Any]:
    """An Open-Meteo answer; the temperature follows from the latitude: 11 °C at 43.61."""
    stamps = [int(begins.timestamp()) + 3600 * hour for hour in range(48)]
    return {
        "latitude": lat,
        "longitude": lon,
        "utc_offset_seconds": 0,
        "timezone": "America/Boise",
        "elevation": 820.0,
        "hourly_units": {"time": "unixtime", "temperature_2m": "°C", "wind_speed_10m": "m/s"},
        "hourly": {
            "time": stamps,
            "temperature_2m": [round(lat * 100) % 30] * 48,
            "wind_speed_10m": [1.0] * 48,
        },
    }


def reports(
    station: str = "KXYZ", temp_c: float | None = 3.0, hours: int = 24, **more: Any
) -> dict[str, Any]:
    """Hourly routine reports, the last one for the hour that begins now."""
    told = [
        nws.observation(NOW - timedelta(hours=hour, minutes=7), temp_c=temp_c, wind_kmh=4.0)
        for hour in range(hours)
    ]
    return nws.observations(station, told, **more)


@pytest.fixture
def tell(tmp_path: Path) -> Callable[..., Answer]:
    """Writes answers into a folder, one file each, and asks it about yards."""

    def told(*answers: object, yards: tuple[Yard, ...] = (KILN,), now: datetime = NOW) -> Answer:
        for number, answer in enumerate(answers):
            body = answer if isinstance(answer, bytes) else json.dumps(answer).encode()
            (tmp_path / f"{number}.json").write_bytes(body)
        return Files(tmp_path).outlooks(yards, now)

    return told


Tell = Callable[..., Answer]


def temps(answer: Answer, key: str = "kiln") -> set[float]:
    told = answer.outlooks[key].arrays["temp_c"]
    return {round(float(temp), 1) for temp in told[np.isfinite(told)]}


def test_it_is_a_source_that_tells_sixteen_days_at_most(tmp_path: Path) -> None:
    source: Source = Files(tmp_path)
    assert (source.name, source.reach_h) == ("files", 384)


def test_a_recorded_grid_serves_a_yard_in_its_cell(tell: Tell) -> None:
    answer = tell(grid())
    outlook = answer.outlooks["kiln"]
    assert temps(answer) == {4.4}
    assert outlook.hours[0] == np.datetime64(START.replace(tzinfo=None), "h")
    (origin,) = outlook.origins
    assert (origin.name, origin.issued_at) == ("files", START)
    assert origin.detail == "recorded nws grid BOI 118,77"
    assert answer.places["kiln"] == Place(tz=None, elev_m=823.0)
    assert not answer.trouble
    assert not answer.remarks


def test_hazards_of_a_recorded_grid_come_along(tell: Tell) -> None:
    recorded = grid()
    recorded["properties"]["hazards"] = nws.hazards([(NOW, 6, "WI", "Y")])
    (hazard,) = tell(recorded).outlooks["kiln"].hazards
    assert (hazard.phenomenon, hazard.significance, hazard.count) == ("WI", "Y", 6)


@pytest.mark.parametrize("name", ["a.json", "B.JSON", "grid.json.gz", "plain.json.gz", "c.json"])
def test_a_file_is_known_by_what_is_in_it(tmp_path: Path, name: str) -> None:
    body = json.dumps(grid()).encode()
    folded = name in ("grid.json.gz", "c.json")
    (tmp_path / name).write_bytes(gzip.compress(body) if folded else body)
    assert temps(Files(tmp_path).outlooks([KILN], NOW)) == {4.4}


def test_files_of_other_names_and_folders_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("# not weather")
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "a.json").write_text("{")
    assert Files(tmp_path).outlooks([KILN], NOW).remarks == ()


# Which grid


@pytest.mark.parametrize(("km", "is_served"), [(0.0, True), (2.95, True), (3.05, False)])
def test_a_grid_serves_yards_within_three_kilometres(
    tell: Tell, km: float, is_served: bool
) -> None:
    edge_deg = 1.25 / 111.2
    answer = tell(grid(), yards=(yard_at(43.61 + edge_deg + km * KM_NORTH_DEG),))
    assert ("kiln" in answer.outlooks) is is_served
    assert ("kiln" in answer.trouble) is not is_served


def test_the_nearest_cell_wins(tell: Tell) -> None:
    own, neighbour = grid(4.0), grid(9.0, x=119, lat=43.61 + 2.5 * KM_NORTH_DEG)
    assert temps(tell(neighbour, own)) == {4.0}
    assert temps(tell(own, neighbour)) == {4.0}
    assert temps(tell(own, neighbour, yards=(yard_at(43.61 + 2 * KM_NORTH_DEG),))) == {9.0}


def test_the_newest_recording_of_a_cell_wins(tell: Tell) -> None:
    older, newer = grid(4.0, NOW - timedelta(hours=9)), grid(9.0, NOW - timedelta(hours=2))
    assert temps(tell(older, newer)) == {9.0}
    assert temps(tell(newer, older)) == {9.0}


def test_a_recording_from_after_now_is_taken_only_where_there_is_no_other(tell: Tell) -> None:
    before, at, soon, later = (
        grid(temp_c, NOW + timedelta(hours=hours))
        for temp_c, hours in ((3.0, -20), (4.0, 0), (5.0, 4), (6.0, 40))
    )
    assert temps(tell(later, before, soon)) == {3.0}
    assert temps(tell(later, before, at)) == {4.0}
    assert temps(tell(later, soon, later)) == {5.0}


def test_every_yard_takes_its_own_cell(tell: Tell) -> None:
    answer = tell(grid(4.0), grid(7.0, office="PDT", lat=44.4, lon=-117.2), yards=(KILN, DITCH))
    assert (temps(answer, "kiln"), temps(answer, "mill-ditch")) == ({4.0}, {7.0})


# Zones


def test_a_point_answer_tells_the_zone_of_yards_near_it(tell: Tell) -> None:
    answer = tell(grid(), nws.point(43.62, -116.2, x=1))
    assert answer.places["kiln"].tz == "America/Boise"


def test_a_point_answer_for_the_same_cell_tells_the_zone_from_afar(tell: Tell) -> None:
    answer = tell(grid(), nws.point(43.9, -116.2))
    assert answer.places["kiln"].tz == "America/Boise"


def test_a_point_answer_of_another_cell_far_away_tells_nothing(tell: Tell) -> None:
    answer = tell(grid(), nws.point(43.9, -116.2, x=1))
    assert answer.places["kiln"].tz is None


def test_the_nearest_point_that_tells_a_zone_counts(tell: Tell) -> None:
    answer = tell(
        grid(),
        nws.point(43.611, -116.2, tz=None),
        nws.point(43.62, -116.2, tz="America/Denver"),
        nws.point(43.63, -116.2, tz="America/Los_Angeles"),
    )
    assert answer.places["kiln"].tz == "America/Denver"


def test_a_point_answer_without_a_place_tells_the_zone_of_its_cell(tell: Tell) -> None:
    placeless = nws.point(43.61, -116.2) | {"geometry": None}
    assert tell(grid(), placeless).places["kiln"].tz == "America/Boise"


def test_a_grid_without_an_outline_is_placed_by_a_point_answer(tell: Tell) -> None:
    bare = grid() | {"geometry": None}
    answer = tell(bare, nws.point(43.615, -116.2))
    assert temps(answer) == {4.4}
    assert any("does not say where its cell lies" in remark for remark in answer.remarks)


def test_a_grid_without_an_outline_or_a_point_is_named_and_not_used(tell: Tell) -> None:
    answer = tell(grid() | {"geometry": None}, nws.point(43.61, -116.2, x=1))
    assert not answer.outlooks
    assert answer.trouble["kiln"].endswith("there is none")
    assert answer.remarks == (
        "files: recorded nws grid BOI 118,77 does not say where it lies, and no recorded point"
        " answer leads to it; it is not used",
    )


# Open-Meteo


def test_a_recorded_open_meteo_answer_serves_a_yard_and_is_said_to_be_at_least_so_old(
    tell: Tell,
) -> None:
    answer = tell(forecast())
    (origin,) = answer.outlooks["kiln"].origins
    assert temps(answer) == {11.0}
    assert origin.issued_at == NOW
    assert origin.detail == (
        "recorded open-meteo answer for 43.61, -116.20, issue time not told, at least 0 h old"
    )
    assert origin.credit == OPEN_METEO_CREDIT == CREDIT
    assert answer.places["kiln"] == Place(tz="America/Boise", elev_m=820.0)
    assert answer.remarks[0].endswith("does not tell when it was issued; it is at least 0 h old")


def test_a_recorded_open_meteo_answer_ages_from_the_end_of_its_day_on(tell: Tell) -> None:
    # Its first hour is of 12 January in UTC, the clock that it tells; that day ends at midnight.
    answer = tell(forecast(begins=NOW - timedelta(days=1, hours=3)), now=NOW + timedelta(days=1))
    (origin,) = answer.outlooks["kiln"].origins
    ends = (NOW - timedelta(days=1)).replace(hour=0) + timedelta(days=1)
    assert origin.issued_at == ends.replace(minute=0)
    assert "at least" in origin.detail


def test_a_recorded_open_meteo_answer_of_a_day_to_come_is_from_the_future(tell: Tell) -> None:
    answer = tell(forecast(begins=NOW + timedelta(days=2)))
    (origin,) = answer.outlooks["kiln"].origins
    assert origin.issued_at is not None
    assert origin.issued_at > NOW
    assert "by its days from" in answer.remarks[0]


def test_a_recorded_open_meteo_answer_without_the_code_of_the_sky_is_remarked_on(
    tell: Tell,
) -> None:
    said = "files: the recorded open-meteo answer for 43.61, -116.20: thunder and freezing rain"
    assert tell(forecast()).remarks[1] == f"{said} are not told"
    coded = forecast()
    coded["hourly"]["weather_code"] = [2] * 48
    coded["hourly_units"]["weather_code"] = "wmo code"
    assert len(tell(coded).remarks) == 1


@pytest.mark.parametrize(("km", "is_served"), [(14.9, True), (15.1, False)])
def test_an_open_meteo_answer_serves_yards_within_fifteen_kilometres(
    tell: Tell, km: float, is_served: bool
) -> None:
    answer = tell(forecast(lat=43.1), yards=(yard_at(43.1 + km * KM_NORTH_DEG),))
    assert ("kiln" in answer.outlooks) is is_served


def test_the_nearest_of_several_points_wins(tell: Tell) -> None:
    several = [forecast(lat=43.2), forecast(lat=43.1), forecast(lat=43.15)]
    assert temps(tell(several, yards=(yard_at(43.11),))) == {20.0}


def test_of_answers_for_one_place_the_one_issued_last_before_now_wins(tell: Tell) -> None:
    def begun(hours: int, lat: float) -> dict[str, Any]:
        return forecast(lat=lat, begins=NOW + timedelta(hours=hours))

    yards = (yard_at(43.1),)
    old, new, ahead = begun(-30, 43.1), begun(-6, 43.10001), begun(6, 43.09999)
    for answers in ((old, new, ahead), (ahead, new, old)):
        outlook = tell(*answers, yards=yards).outlooks["kiln"]
        assert outlook.hours[0] == np.datetime64((NOW - timedelta(hours=6)).replace(tzinfo=None))


def test_a_grid_goes_before_an_open_meteo_answer(tell: Tell) -> None:
    assert temps(tell(forecast(lat=43.61), grid(4.4))) == {4.4}


def test_a_point_answer_tells_the_zone_where_open_meteo_does_not(tell: Tell) -> None:
    answer = tell(forecast() | {"timezone": None}, nws.point(43.61, -116.2))
    assert answer.places["kiln"].tz == "America/Boise"


def test_a_bad_point_among_good_ones_is_named(tell: Tell) -> None:
    answer = tell([forecast(lat=43.1), {"latitude": 1}], yards=(yard_at(43.1),))
    assert temps(answer) == {20.0}
    assert answer.remarks[0].startswith("files: open_meteo: [1]")


# The past


def test_reports_of_a_station_are_the_past_of_yards_around(tell: Tell) -> None:
    answer = tell(grid(), reports(lat=43.7, lon=-116.2))
    past = answer.pasts["kiln"]
    (origin,) = past.origins
    assert past.hours.size == 24
    assert past.hours[-1] == np.datetime64(NOW.replace(tzinfo=None), "h")
    assert set(past.arrays["temp_c"][0]) == {3.0}
    assert (origin.kind, origin.issued_at) == (PAST, NOW)
    assert origin.detail == "recorded nws station KXYZ, 10 km"


@pytest.mark.parametrize(("km", "is_near"), [(79.5, True), (80.5, False)])
def test_a_station_tells_within_eighty_kilometres(tell: Tell, km: float, is_near: bool) -> None:
    answer = tell(grid(), reports(lat=43.61 + km * KM_NORTH_DEG, lon=-116.2))
    assert ("kiln" in answer.pasts) is is_near
    said = "files: no recorded station within 80 km tells the past temperature of yard kiln"
    assert (said in answer.remarks) is not is_near


def test_the_nearest_station_that_tells_a_temperature_counts(tell: Tell) -> None:
    answer = tell(
        grid(),
        reports("KAAA", temp_c=None, lat=43.61, lon=-116.2),
        reports("KBBB", temp_c=5.0, lat=43.8, lon=-116.2),
        reports("KCCC", temp_c=6.0, lat=44.0, lon=-116.2),
    )
    assert answer.pasts["kiln"].origins[0].detail.startswith("recorded nws station KBBB")


def test_the_newest_reports_of_a_station_count(tell: Tell) -> None:
    later, earlier = reports(temp_c=5.0), reports(temp_c=6.0)
    earlier["features"] = earlier["features"][5:]
    for answers in ((later, earlier), (earlier, later)):
        assert set(tell(*answers).pasts["kiln"].arrays["temp_c"][0]) == {5.0}


def test_reports_from_after_now_are_not_known_yet(tell: Tell) -> None:
    answer = tell(reports(), now=NOW - timedelta(hours=5))
    assert answer.pasts["kiln"].hours[-1] == np.datetime64(
        (NOW - timedelta(hours=5)).replace(tzinfo=None), "h"
    )
    assert not tell(reports(), now=NOW - timedelta(days=9)).pasts


def test_a_list_of_stations_places_reports_that_do_not_say_where_they_are(tell: Tell) -> None:
    bare = reports()
    for feature in bare["features"]:
        feature["geometry"] = None
    listed = nws.stations([("KXYZ", "Nowhere Field", 43.7, -116.2)])
    answer = tell(bare, listed)
    assert answer.pasts["kiln"].origins[0].detail == "recorded nws station KXYZ, 10 km"
    (remark,) = [one for one in tell(bare, b"").remarks if "KXYZ" in one]
    assert "do not say where it stands" in remark


def test_a_folder_without_reports_says_nothing_about_the_past(tell: Tell) -> None:
    answer = tell(grid())
    assert (dict(answer.pasts), answer.remarks) == ({}, ())


# What is of no use


ODD: dict[str, tuple[bytes, str]] = {
    "half a grid": (json.dumps(grid()).encode()[:500], "is not JSON"),
    "a web page": (b"<html>", "is not JSON"),
    "nothing": (b"", "is empty"),
    "no gzip": (b"\x1f\x8bno", "cannot be read"),
    "half a gzip": (gzip.compress(json.dumps(grid()).encode())[:-20], "cannot be read"),
    "a number": (b"5", "not a recorded answer that windowcast knows"),
    "an empty list": (b"[]", "not a recorded answer that windowcast knows"),
    "another feature": (b'{"properties": {"event": "Flood"}}', "not a recorded answer"),
    "an empty collection": (b'{"features": []}', "not a recorded answer"),
    "odd features": (b'{"features": [5]}', "not a recorded answer"),
    "an error of the NWS": (
        json.dumps(nws.problem(503, "Forecast Grid Expired", "has expired")).encode(),
        'the error of a service, "Forecast Grid Expired: has expired", and no weather',
    ),
    "an error of Open-Meteo": (b'{"error": true, "reason": "Too many"}', '"Too many"'),
    "NaN": (json.dumps(grid(temp_c=float("nan"))).encode(), "NaN"),
    "a deep nest": (b"[" * 99_999, "nested too deeply"),
    "a grid without temperature": (
        json.dumps(
            nws.grid(start=START, issued=START, layers=nws.hourly_layers(START, wind_kmh=[5.0]))
        ).encode(),
        "temperature",
    ),
    "a bomb": (gzip.compress(bytes(2**25)), "larger than 16 MB"),
    "a large file": (b" " * (2**24 + 1), "larger than 16 MB"),
}


@pytest.mark.parametrize(("body", "said"), ODD.values(), ids=ODD.keys())
def test_a_file_of_no_use_is_named_and_stops_no_other(tell: Tell, body: bytes, said: str) -> None:
    answer = tell(body, grid(), body)
    assert temps(answer) == {4.4}
    first, second = answer.remarks
    assert first.startswith("files: 0.json: ")
    assert second.startswith("files: 2.json: ")
    assert said in first
    assert first.endswith("; this file is not used")
    assert "\n" not in first


def test_what_is_no_plain_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "folder.json").mkdir()
    os.mkfifo(tmp_path / "pipe.json")
    (tmp_path / "gone.json").symlink_to(tmp_path / "nowhere")
    answer = Files(tmp_path).outlooks([KILN], NOW)
    assert [remark.split(": ")[1] for remark in answer.remarks] == [
        "folder.json", "gone.json", "pipe.json",
    ]  # fmt: skip
    assert all("not a plain file" in remark for remark in answer.remarks)


def test_a_file_name_with_controls_is_shown_on_one_line(tmp_path: Path) -> None:
    (tmp_path / "a\x1b\nb.json").write_bytes(b"5")
    (remark,) = Files(tmp_path).outlooks([KILN], NOW).remarks
    assert remark.startswith("files: a b.json: ")


@pytest.mark.parametrize("name", ["none", "a-file"])
def test_a_folder_that_cannot_be_read_leaves_every_yard_blind_with_the_reason(
    tmp_path: Path, name: str
) -> None:
    (tmp_path / "a-file").write_text("")
    answer = Files(tmp_path / name).outlooks([KILN, DITCH], NOW)
    assert set(answer.trouble) == {"kiln", "mill-ditch"}
    assert f"{name} cannot be read" in answer.trouble["kiln"]
    assert "see folder in outfit.toml" in answer.trouble["kiln"]


def test_an_empty_folder_leaves_every_yard_blind(tell: Tell) -> None:
    assert tell().trouble["kiln"] == (
        "files: no recorded nws grid within 3 km of the yard and no open-meteo answer within"
        " 15 km; there is none"
    )


def test_a_yard_out_of_reach_is_told_the_nearest_recording(tell: Tell) -> None:
    answer = tell(grid(), forecast(lat=42.0), yards=(yard_at(43.61 + 20 * KM_NORTH_DEG),))
    assert answer.trouble["kiln"].endswith("; the nearest, nws grid BOI 118,77, is 19 km away")
    answer = tell(forecast(lat=43.0), yards=(yard_at(43.0 + 20 * KM_NORTH_DEG),))
    assert "the nearest, open-meteo 43.00, -116.20, is 20 km away" in answer.trouble["kiln"]


def test_a_yard_without_a_forecast_is_told_the_files_of_no_use(tell: Tell) -> None:
    trouble = tell(b"5", b"{", yards=(KILN,)).trouble["kiln"]
    assert "; there is none; 0.json: not a recorded answer" in trouble
    assert trouble.endswith("; this file is not used (and 1 more)")


def test_no_yards_are_no_answers(tell: Tell) -> None:
    answer = tell(grid(), reports(), yards=())
    assert (dict(answer.outlooks), dict(answer.trouble), answer.remarks) == ({}, {}, ())


def test_every_yard_has_an_outlook_or_a_sentence_of_trouble(tell: Tell) -> None:
    yards = (KILN, DITCH)
    answer = tell(grid(), yards=yards)
    assert answer.outlooks.keys() | answer.trouble.keys() == {yard.key for yard in yards}
    assert not answer.outlooks.keys() & answer.trouble.keys()


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(
        st.sampled_from(
            ["properties", "features", "gridId", "updateTime", "temperature", "hourly", "error",
             "reason", "forecastGridData", "stationIdentifier", "name", "station", "timestamp",
             "geometry", "title", "type"]
        ),
        inner,
        max_size=4,
    ),
    max_leaves=12,
)  # fmt: skip


@given(JSON)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=200)
def test_any_json_is_weather_or_a_remark(tmp_path: Path, content: object) -> None:
    (tmp_path / "a.json").write_text(json.dumps(content), encoding="utf-8")
    answer = Files(tmp_path).outlooks([KILN], NOW)
    assert "kiln" in answer.trouble
    assert answer.remarks
