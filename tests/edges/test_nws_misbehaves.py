"""The National Weather Service on a real socket, well behaved and not.

Every case ends in a forecast or in one sentence of trouble for the yard, never in an exception.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from support.fetching import QUICK, quick_fetcher
from support.nws_payloads import (
    NO_WEATHER,
    body,
    from_f,
    grid,
    hourly_layers,
    observation,
    observations,
    payload,
    point,
    stations,
    utc,
)
from support.server import (
    Asked,
    Reply,
    Route,
    WeatherServer,
    gzip_bomb,
    html_reply,
    json_reply,
    problem_reply,
    redirect,
)

from windowcast.sources.fetch import AnswerCache
from windowcast.sources.nws import Nws
from windowcast.terms.outlook import Answer
from windowcast.terms.yard import Yard

NOW = utc("2027-01-12T13:00:00Z")
START = utc("2027-01-12T06:00:00Z")
KILN = Yard(key="kiln", name="Kiln", lat_deg=43.61, lon_deg=-116.2)
POINT, CELL, OTHER = "/points/43.61,-116.2", "/gridpoints/BOI/118,77", "/gridpoints/BOI/119,77"
STATIONS, REPORTS = f"{CELL}/stations", "/stations/KXYA/observations"

LAYERS = hourly_layers(
    START,
    temp_c=[from_f(43)] * 48,
    wind_kmh=[5.556] * 48,
    rain_mm=[0.0] * 48,
    mentions=[[NO_WEATHER]] * 48,
)
GRID = grid(start=START, issued=START, layers=LAYERS)
ELSEWHERE = grid(start=START, issued=START, layers=LAYERS, lat=45.0)
MARINE = problem_reply(404, "MarineForecastNotSupported", "Marine Forecast Not Supported")


def hourly(first: Any, count: int) -> list[dict[str, Any]]:
    return [
        observation(first + timedelta(hours=h, minutes=-7), temp_c=4.0, wind_kmh=7.2)
        for h in range(count)
    ]


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    routes: dict[str, Route] = {
        POINT: json_reply(point(43.61, -116.2)),
        CELL: json_reply(GRID),
        STATIONS: json_reply(stations([("KXYA", "Quarry Bench", 43.64, -116.24)])),
        REPORTS: json_reply(observations("KXYA", hourly(START, 7))),
    }
    with WeatherServer(routes) as running:
        yield running


def asked_of(server: WeatherServer) -> list[str]:
    """The paths asked for so far, without their queries."""
    return [target.partition("?")[0] for target in server.paths]


def ask(server: WeatherServer, *yards: Yard, cache: AnswerCache | None = None) -> Answer:
    with quick_fetcher(cache, limits=replace(QUICK, tries=2)) as fetcher:
        return Nws(fetcher, base_url=server.url).outlooks(yards or (KILN,), NOW)


def test_a_usual_morning_costs_four_requests(server: WeatherServer) -> None:
    answer = ask(server)
    assert asked_of(server) == [POINT, CELL, STATIONS, REPORTS]
    assert answer.outlooks["kiln"].hours.size == 48
    assert answer.pasts["kiln"].hours.size == 7
    assert (answer.trouble, answer.remarks) == ({}, ())


def test_a_second_morning_asks_only_for_what_may_have_changed(
    server: WeatherServer, tmp_path: Path
) -> None:
    cache = AnswerCache(tmp_path)
    ask(server, cache=cache)
    asked = len(server.paths)
    answer = ask(server, cache=cache)
    assert sorted(asked_of(server)[asked:]) == sorted([CELL, REPORTS])
    assert "kiln" in answer.outlooks


def test_a_place_that_is_redirected_is_followed(server: WeatherServer) -> None:
    server.routes["/points/43.6112,-116.2"] = redirect("/points/43.61,-116.2")
    answer = ask(server, replace(KILN, lat_deg=43.6112))
    assert "kiln" in answer.outlooks


def test_a_grid_that_moved_is_found_again_and_kept(server: WeatherServer, tmp_path: Path) -> None:
    cache = AnswerCache(tmp_path)
    ask(server, cache=cache)
    server.routes |= {
        POINT: json_reply(point(43.61, -116.2, x=119)),
        CELL: json_reply(ELSEWHERE),
        OTHER: json_reply(grid(start=START, issued=START, layers=LAYERS, x=119)),
    }
    answer = ask(server, cache=cache)
    assert answer.outlooks["kiln"].origins[0].detail == "grid BOI 119,77"
    asked = len(server.paths)
    ask(server, cache=cache)
    assert server.paths[asked] == OTHER  # the new cell is remembered


def test_a_cell_that_became_sea_is_looked_up_once_and_then_named(server: WeatherServer) -> None:
    server.routes[CELL] = MARINE
    answer = ask(server)
    assert "Marine Forecast Not Supported" in answer.trouble["kiln"]
    assert asked_of(server) == [POINT, CELL, POINT, CELL]


def test_a_yard_abroad_is_told_in_the_words_of_the_service(server: WeatherServer) -> None:
    server.routes["/points/51.5,-0.12"] = problem_reply(
        404, "InvalidPoint", "Unable to provide data for requested point 51.5,-0.12"
    )
    abroad = Yard(key="abroad", name="Abroad", lat_deg=51.5, lon_deg=-0.12)
    answer = ask(server, abroad, KILN)
    assert "Unable to provide data for requested point" in answer.trouble["abroad"]
    assert set(answer.outlooks) == {"kiln"}


def test_a_failure_that_passes_is_tried_again(server: WeatherServer) -> None:
    server.routes[CELL] = [
        problem_reply(500, "UnexpectedProblem", "An unexpected problem has occurred."),
        json_reply(GRID),
    ]
    assert "kiln" in ask(server).outlooks


def raw(answer: bytes) -> Reply:
    return Reply(body=answer, headers={"content-type": "application/geo+json"})


MISBEHAVIOURS: dict[str, Route] = {
    "503": problem_reply(503, "ForecastGridExpired", "the forecast grid has expired"),
    "500": problem_reply(500, "UnexpectedProblem", "An unexpected problem has occurred."),
    "403": html_reply("<html>Access Denied</html>", status=403),
    "429": html_reply("<html>slow down</html>", status=429),
    "web page": html_reply("<html><body>maintenance</body></html>"),
    "cut json": raw(body(GRID)[:2000]),
    "nothing": raw(b""),
    "not a number": raw(body(GRID).replace(b"6.111111111111111", b"NaN")),
    "list": raw(b"[]"),
    "wrong unit": raw(payload("unknown_unit")),
    "unit slip": raw(payload("unit_slip")),
    "no temperature": json_reply(grid(start=START, issued=START, layers={})),
    "deep": raw(b"[" * 500_000),
    "bomb": gzip_bomb(2**24),
    "hang": Reply(hang_s=2.0),
    "drip": replace(json_reply(GRID), drip_body_s=0.05),
    "reset": Reply(reset=True),
    "other host": redirect("https://example.org/gridpoints"),
    "short": replace(json_reply(GRID), cut_at=500),
}


@pytest.mark.parametrize("case", MISBEHAVIOURS)
def test_a_grid_that_misbehaves_is_one_sentence_of_trouble(
    server: WeatherServer, case: str
) -> None:
    server.routes[CELL] = MISBEHAVIOURS[case]
    began = time.monotonic()
    answer = ask(server)
    assert time.monotonic() - began < 5.0
    assert answer.outlooks == {}
    assert answer.trouble["kiln"].startswith("nws")
    assert answer.trouble["kiln"].isprintable()


@pytest.mark.parametrize("case", ["500", "web page", "cut json", "list", "hang"])
def test_a_place_that_misbehaves_is_one_sentence_of_trouble(
    server: WeatherServer, case: str
) -> None:
    server.routes[POINT] = MISBEHAVIOURS[case]
    answer = ask(server)
    assert answer.trouble["kiln"].startswith("nws")
    assert CELL not in server.paths


@pytest.mark.parametrize("case", ["500", "web page", "cut json", "list", "hang"])
@pytest.mark.parametrize("path", [STATIONS, REPORTS])
def test_a_missing_past_is_named_and_costs_no_forecast(
    server: WeatherServer, case: str, path: str
) -> None:
    server.routes[path] = MISBEHAVIOURS[case]
    answer = ask(server)
    assert "kiln" in answer.outlooks
    assert (answer.trouble, answer.pasts) == ({}, {})
    (remark,) = answer.remarks
    assert remark.startswith("nws: grid BOI 118,77 has no past weather: ")


def test_one_broken_cell_costs_no_other_yard(server: WeatherServer) -> None:
    mill = Yard(key="mill-ditch", name="Mill Ditch", lat_deg=43.9, lon_deg=-116.2)
    server.routes |= {
        "/points/43.9,-116.2": json_reply(point(43.9, -116.2, x=130)),
        "/gridpoints/BOI/130,77": raw(b"{"),
    }
    answer = ask(server, mill, KILN)
    assert (set(answer.outlooks), set(answer.trouble)) == ({"kiln"}, {"mill-ditch"})


def test_every_request_says_which_form_it_wants(server: WeatherServer) -> None:
    accepted = []

    def note(asked: Asked) -> Reply:
        accepted.append(asked.headers["accept"])
        return json_reply(GRID)

    server.routes[CELL] = note
    ask(server)
    assert accepted == ["application/geo+json"]


def test_reports_are_asked_for_the_last_seven_days(server: WeatherServer) -> None:
    asked_for = {}

    def note(asked: Asked) -> Reply:
        asked_for.update(asked.params)
        return json_reply(observations("KXYA", hourly(START, 3)))

    server.routes[REPORTS] = note
    ask(server)
    assert asked_for == {"start": "2027-01-05T13:00:00Z", "end": "2027-01-12T13:00:00Z"}
