from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from support.canned import Canned, CannedFetcher
from support.nws_payloads import (
    NO_WEATHER,
    body,
    from_f,
    grid,
    hourly_layers,
    observation,
    observations,
    point,
    stations,
    utc,
)

from windowcast.problems import SourceDown, SourceGarbled
from windowcast.sources.nws import Nws
from windowcast.terms.outlook import FORECAST, PAST, Answer
from windowcast.terms.yard import Place, Yard

NOW = utc("2027-01-12T13:55:00Z")
START = utc("2027-01-12T12:00:00Z")
POINT, CELL = "/points/43.61,-116.2", "/gridpoints/BOI/118,77"
OTHER = "/gridpoints/BOI/119,77"
STATIONS = f"{CELL}/stations"
FAIR = [[NO_WEATHER]] * 24
NEAR = [("KXYA", "A", 43.64, -116.24), ("KXYB", "B", 43.5, -116.0), ("KXYC", "C", 43.2, -116.5)]


def yard(key: str = "kiln", lat: float = 43.61, lon: float = -116.2) -> Yard:
    return Yard(key=key, name=key, lat_deg=lat, lon_deg=lon)


def a_grid(**where: Any) -> bytes:
    layers = hourly_layers(START, temp_c=[from_f(43)] * 24, wind_kmh=[5.556] * 24, mentions=FAIR)
    return body(grid(start=START, issued=START, layers=layers, **where))


def heard(station: str, *, temp_c: float | None = 4.0, count: int = 3) -> bytes:
    rows = [
        observation(START + timedelta(hours=h, minutes=-7), temp_c=temp_c, wind_kmh=3.6)
        for h in range(count)
    ]
    return body(observations(station, rows))


def usual(**more: Canned) -> dict[str, Canned]:
    return {
        POINT: body(point(43.61, -116.2)),
        CELL: a_grid(),
        STATIONS: body(stations(NEAR)),
        "/stations/KXYA/observations": heard("KXYA"),
        **more,
    }


def ask(
    answers: dict[str, Canned], *yards: Yard, observed: bool = False
) -> tuple[Answer, CannedFetcher]:
    fetcher = CannedFetcher(answers)
    source = Nws(fetcher, observations=observed)  # type: ignore[arg-type]
    return source.outlooks(yards or (yard(),), NOW), fetcher


# --- forecasts ------------------------------------------------------------------------------


def test_a_yard_gets_the_forecast_of_its_cell() -> None:
    answer, _ = ask(usual())
    outlook = answer.outlooks["kiln"]
    assert outlook.hours[0] == np.datetime64("2027-01-12T12", "h")
    assert outlook.arrays["temp_c"].shape == (1, 24)
    assert outlook.arrays["temp_c"][0, 0] == pytest.approx(from_f(43))
    (origin,) = outlook.origins
    assert (origin.name, origin.kind, origin.detail) == ("nws", FORECAST, "grid BOI 118,77")
    assert origin.issued_at == START
    assert answer.places == {"kiln": Place(tz="America/Boise", elev_m=823.0)}
    assert (answer.trouble, answer.remarks, answer.pasts) == ({}, (), {})


@pytest.mark.parametrize(
    ("lat", "lon", "path"),
    [
        (43.61, -116.2, "/points/43.61,-116.2"),
        (43.610049, -116.20004, "/points/43.61,-116.2"),
        (43.123456, -116.98765, "/points/43.1235,-116.9877"),
        (43.0, -116.0, "/points/43,-116"),
        (-0.00001, 0.00004, "/points/0,0"),
        (40.0, -100.5, "/points/40,-100.5"),
    ],
)
def test_a_place_is_asked_with_four_decimals_and_no_zeros_at_the_end(
    lat: float, lon: float, path: str
) -> None:
    _, fetcher = ask({}, yard(lat=lat, lon=lon))
    assert fetcher.asked == [path]


def test_yards_of_one_cell_cost_one_grid_request() -> None:
    near = yard("mill-ditch", lat=43.6101)
    answers = usual(**{"/points/43.6101,-116.2": body(point(43.6101, -116.2))})
    answer, fetcher = ask(answers, yard(), near)
    assert set(answer.outlooks) == {"kiln", "mill-ditch"}
    assert fetcher.asked == [POINT, "/points/43.6101,-116.2", CELL]


def test_yards_at_one_place_cost_one_point_request() -> None:
    _, fetcher = ask(usual(), yard(), yard("mill-ditch"))
    assert fetcher.asked == [POINT, CELL]


def test_places_are_kept_for_two_weeks_and_grids_are_not() -> None:
    _, fetcher = ask(usual(), observed=True)
    assert fetcher.kept_h[POINT] == fetcher.kept_h[STATIONS] == 14 * 24
    assert fetcher.kept_h[CELL] == fetcher.kept_h["/stations/KXYA/observations"] == 0
    assert fetcher.accepted == {"application/geo+json"}


def test_no_yards_cost_nothing() -> None:
    fetcher = CannedFetcher({})
    answer = Nws(fetcher).outlooks((), NOW)  # type: ignore[arg-type]
    assert (fetcher.asked, answer.outlooks, answer.trouble) == ([], {}, {})


# --- grids that move ------------------------------------------------------------------------


def test_a_yard_outside_the_returned_cell_is_looked_up_once_more() -> None:
    moved = point(43.61, -116.2, x=119)
    answers = usual(**{OTHER: a_grid(x=119)})
    answers |= {POINT: [body(point(43.61, -116.2)), body(moved)], CELL: a_grid(lat=44.5)}
    answer, fetcher = ask(answers)
    assert answer.outlooks["kiln"].origins[0].detail == "grid BOI 119,77"
    assert fetcher.forgotten == [POINT]
    assert fetcher.asked == [POINT, CELL, POINT, OTHER]


def test_a_yard_that_stays_outside_is_in_trouble() -> None:
    answer, fetcher = ask(usual(**{CELL: a_grid(lat=44.61)}))
    assert answer.outlooks == {}
    assert "grid BOI 118,77 lies 110 km from the yard" in answer.trouble["kiln"]
    assert fetcher.asked == [POINT, CELL, POINT, CELL]


@pytest.mark.parametrize(("off_km", "told"), [(2.9, True), (3.1, False)])
def test_three_kilometres_outside_are_borne(off_km: float, told: bool) -> None:
    lat = 43.61 + (1.25 + off_km) / 111.195
    answer, _ = ask(usual(**{CELL: a_grid(lat=lat)}))
    assert ("kiln" in answer.outlooks) == told


def test_a_cell_that_is_gone_is_looked_up_once_more() -> None:
    gone = SourceDown("nws: Marine Forecast Not Supported", status=404)
    answers = usual(**{OTHER: a_grid(x=119), CELL: gone})
    answers[POINT] = [body(point(43.61, -116.2)), body(point(43.61, -116.2, x=119))]
    answer, fetcher = ask(answers)
    assert "kiln" in answer.outlooks
    assert fetcher.asked == [POINT, CELL, POINT, OTHER]


def test_a_cell_that_stays_gone_is_trouble_in_the_words_of_the_service() -> None:
    answer, fetcher = ask(
        usual(**{CELL: SourceDown("nws: Marine Forecast Not Supported", status=404)})
    )
    assert answer.trouble == {"kiln": "nws: Marine Forecast Not Supported"}
    assert fetcher.forgotten == [POINT]


@pytest.mark.parametrize(
    "problem",
    [SourceDown("nws: busy", status=503), SourceDown("nws: no answer"), SourceGarbled("nws: odd")],
)
def test_a_cell_that_only_fails_is_not_looked_up_again(problem: Any) -> None:
    answer, fetcher = ask(usual(**{CELL: problem}))
    assert answer.trouble == {"kiln": str(problem)}
    assert fetcher.asked == [POINT, CELL]


# --- trouble --------------------------------------------------------------------------------


def test_a_place_that_the_service_does_not_know_is_in_trouble_alone() -> None:
    abroad = yard("abroad", lat=51.5, lon=-0.1)
    answer, fetcher = ask(
        usual(**{"/points/51.5,-0.1": SourceDown("nws: Invalid Point", status=404)}), abroad, yard()
    )
    assert answer.trouble == {"abroad": "nws: Invalid Point"}
    assert set(answer.outlooks) == {"kiln"}
    assert fetcher.forgotten == []


def test_a_link_to_another_host_is_trouble_and_is_not_followed() -> None:
    answer, fetcher = ask(usual(**{POINT: body(point(43.61, -116.2, host="https://example.org"))}))
    assert "another host" in answer.trouble["kiln"]
    assert fetcher.asked == [POINT]


def test_links_are_taken_by_their_path() -> None:
    fetcher = CannedFetcher(usual())
    source = Nws(fetcher, base_url="http://127.0.0.1:9/nws/")  # type: ignore[arg-type]
    assert "kiln" in source.outlooks([yard()], NOW).outlooks


def test_what_a_grid_remarks_is_said_once() -> None:
    layers = hourly_layers(START, temp_c=[4213.0, *[5.0] * 23], wind_kmh=[5.0] * 24, mentions=FAIR)
    wild = body(grid(start=START, issued=START, layers=layers))
    answers = usual(**{CELL: wild, "/points/43.6101,-116.2": body(point(43.6101, -116.2))})
    answer, _ = ask(answers, yard(), yard("mill-ditch", lat=43.6101))
    assert len(answer.remarks) == 1
    assert "temperature.values[0].value: 4213" in answer.remarks[0]


# --- the past -------------------------------------------------------------------------------


def test_the_past_is_that_of_the_nearest_station_up_to_now() -> None:
    answer, fetcher = ask(usual(), observed=True)
    past = answer.pasts["kiln"]
    assert (
        past.hours[[0, -1]].tolist()
        == np.array(["2027-01-12T12", "2027-01-12T13"], "datetime64[h]").tolist()
    )  # the report of 13:53 stands for 14:00, which has not begun
    assert past.arrays["temp_c"][0].tolist() == [4.0, 4.0]
    (origin,) = past.origins
    assert (origin.name, origin.kind, origin.detail) == ("nws", PAST, "station KXYA, 3 km")
    assert origin.issued_at == utc("2027-01-12T13:00:00Z")
    assert fetcher.params["/stations/KXYA/observations"] == {
        "start": "2027-01-05T13:00:00Z",
        "end": "2027-01-12T13:00:00Z",
    }
    assert answer.remarks == ()


def test_a_station_without_temperature_gives_way_to_the_next() -> None:
    answers = usual(**{
        "/stations/KXYA/observations": heard("KXYA", temp_c=None),
        "/stations/KXYB/observations": SourceDown("nws: silent"),
        "/stations/KXYC/observations": heard("KXYC", temp_c=6.0),
    })  # fmt: skip
    answer, _ = ask(answers, observed=True)
    assert answer.pasts["kiln"].origins[0].detail.startswith("station KXYC, ")
    assert answer.remarks == ()


def test_three_stations_are_tried_and_then_the_missing_past_is_named() -> None:
    four = [*NEAR, ("KXYD", "D", 43.1, -116.5)]
    answers = usual(
        **{STATIONS: body(stations(four)), "/stations/KXYD/observations": heard("KXYD")}
    )
    del answers["/stations/KXYA/observations"]
    answer, fetcher = ask(answers, observed=True)
    assert answer.pasts == {}
    assert answer.trouble == {}
    assert answer.remarks == (
        "nws: grid BOI 118,77 has no past weather: no /stations/KXYC/observations",
    )
    assert "/stations/KXYD/observations" not in fetcher.asked


def test_cells_that_share_a_station_ask_it_once() -> None:
    answers = usual(**{
        "/points/43.64,-116.2": body(point(43.64, -116.2, x=119)),
        OTHER: a_grid(x=119, lat=43.64),
        f"{OTHER}/stations": body(stations(NEAR)),
    })  # fmt: skip
    answer, fetcher = ask(answers, yard(), yard("mill-ditch", lat=43.64), observed=True)
    assert set(answer.pasts) == {"kiln", "mill-ditch"}
    assert fetcher.asked.count("/stations/KXYA/observations") == 1


def test_reports_of_another_station_are_not_taken() -> None:
    answers = usual(**{
        "/stations/KXYA/observations": heard("KZZZ"),
        "/stations/KXYB/observations": heard("KXYB"),
    })  # fmt: skip
    answer, _ = ask(answers, observed=True)
    assert answer.pasts["kiln"].origins[0].detail.startswith("station KXYB, ")


@pytest.mark.parametrize(
    ("told", "why"),
    [
        (SourceGarbled("nws stations: odd"), "nws stations: odd"),
        (body(stations([])), "the service names no station near it"),
    ],
)
def test_without_a_list_of_stations_the_forecast_stands(told: Canned, why: str) -> None:
    answer, _ = ask(usual(**{STATIONS: told}), observed=True)
    assert "kiln" in answer.outlooks
    assert answer.remarks == (f"nws: grid BOI 118,77 has no past weather: {why}",)


def test_a_place_without_a_link_to_stations_keeps_its_forecast() -> None:
    unlinked = point(43.61, -116.2)
    unlinked["properties"]["observationStations"] = None
    answer, _ = ask(usual(**{POINT: body(unlinked)}), observed=True)
    assert "kiln" in answer.outlooks
    assert "names no stations" in answer.remarks[0]


def test_a_station_that_tells_only_hours_to_come_tells_no_past() -> None:
    late = body(observations("KXYA", [observation(NOW + timedelta(hours=2), temp_c=4.0)]))
    answers = usual(**{"/stations/KXYA/observations": late, STATIONS: body(stations(NEAR[:1]))})
    answer, _ = ask(answers, observed=True)
    assert answer.pasts == {}
    assert "KXYA tells no temperature" in answer.remarks[0]


def test_without_observations_no_station_is_asked() -> None:
    answer, fetcher = ask(usual(), observed=False)
    assert (answer.pasts, answer.remarks) == ({}, ())
    assert fetcher.asked == [POINT, CELL]


def test_where_the_cell_lies_nowhere_the_distance_of_the_station_is_not_told() -> None:
    layers = hourly_layers(START, temp_c=[5.0] * 24, wind_kmh=[5.0] * 24, mentions=FAIR)
    unplaced = grid(start=START, issued=START, layers=layers) | {"geometry": None}
    answer, _ = ask(usual(**{CELL: body(unplaced)}), observed=True)
    assert answer.pasts["kiln"].origins[0].detail == "station KXYA"
    assert "where its cell lies" in answer.remarks[0]
