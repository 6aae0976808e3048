"""Answers of the weather service about another place or cell than the one that was asked for."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from support.canned import Canned, CannedFetcher
from support.nws_payloads import NO_WEATHER, body, grid, hourly_layers, point, utc
from support.server import Reply, WeatherServer

from windowcast.sources.cache import AnswerCache
from windowcast.sources.fetch import Fetcher, Limits
from windowcast.sources.nws import Nws
from windowcast.terms.outlook import Answer
from windowcast.terms.yard import Yard

NOW = utc("2027-01-12T13:55:00Z")
POINT, CELL, OTHER = "/points/43.61,-116.2", "/gridpoints/BOI/118,77", "/gridpoints/BOI/119,77"
KILN = Yard(key="kiln", name="Kiln", lat_deg=43.61, lon_deg=-116.2)
KM_DEG = 1 / 111.195  # a degree of latitude on a sphere of 6371 km


def a_grid(change: Callable[[dict[str, Any]], object] = dict, **where: Any) -> bytes:
    layers = hourly_layers(
        NOW.replace(minute=0), temp_c=[5.0] * 24, wind_kmh=[5.0] * 24, mentions=[[NO_WEATHER]] * 24
    )
    told = grid(start=NOW.replace(minute=0), issued=NOW, layers=layers, **where)
    change(told)
    return body(told)


def ask(point_told: Canned, grid_told: Canned) -> tuple[Answer, CannedFetcher]:
    fetcher = CannedFetcher({POINT: point_told, CELL: grid_told})
    return Nws(fetcher, observations=False).outlooks([KILN], NOW), fetcher  # type: ignore[arg-type]


# --- points ---------------------------------------------------------------------------------


def test_a_point_answer_for_another_place_is_refused() -> None:
    answer, fetcher = ask(body(point(35.0, -90.0)), a_grid())
    assert answer.trouble["kiln"] == (
        "nws point: the service answers for 35,-90, asked for 43.61,-116.2; it is not used"
    )
    assert fetcher.asked == [POINT]


@pytest.mark.parametrize(("off_km", "told"), [(4.9, True), (5.1, False)])
def test_a_point_answer_may_be_five_kilometres_off(off_km: float, told: bool) -> None:
    answer, _ = ask(body(point(43.61 + off_km * KM_DEG, -116.2)), a_grid())
    assert ("kiln" in answer.outlooks) is told


def test_a_point_answer_without_a_place_is_taken() -> None:
    answer, _ = ask(body(point(43.61, -116.2) | {"geometry": None}), a_grid())
    assert "kiln" in answer.outlooks


# --- grids ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("field", "value", "found"),
    [
        ("gridId", "QQQ", "QQQ 118,77"),
        ("gridX", "77", "BOI 77,77"),
        ("gridX", 119, "BOI 119,77"),
        ("gridY", 118, "BOI 118,118"),
    ],
)
def test_the_answer_of_another_cell_is_refused(field: str, value: object, found: str) -> None:
    def change(told: dict[str, Any]) -> None:
        told["properties"][field] = value
        told["geometry"] = None

    answer, fetcher = ask(body(point(43.61, -116.2)), a_grid(change))
    assert answer.trouble["kiln"] == (
        f"nws: {CELL} holds grid {found}, expected BOI 118,77; it is not used"
    )
    assert fetcher.forgotten == [CELL]


@pytest.mark.parametrize("as_told", [str, int, float])
def test_a_cell_is_the_same_in_text_and_in_numbers(as_told: type) -> None:
    def change(told: dict[str, Any]) -> None:
        told["properties"]["gridX"] = as_told(118)

    answer, _ = ask(body(point(43.61, -116.2)), a_grid(change))
    assert "kiln" in answer.outlooks


def test_a_link_that_names_no_cell_is_taken_at_its_word() -> None:
    elsewhere = point(43.61, -116.2)
    elsewhere["properties"]["forecastGridData"] = "/mirror/boise-grid.json"
    fetcher = CannedFetcher({POINT: body(elsewhere), "/mirror/boise-grid.json": a_grid()})
    answer = Nws(fetcher, observations=False).outlooks([KILN], NOW)  # type: ignore[arg-type]
    assert "kiln" in answer.outlooks


# --- over the wire --------------------------------------------------------------------------


def served(routes: dict[str, Any], cache: AnswerCache | None = None) -> Answer:
    with WeatherServer(routes) as server:
        fetcher = Fetcher(user_agent="test", cache=cache, limits=Limits(tries=1))
        with fetcher:
            source = Nws(fetcher, base_url=server.url, observations=False)
            return source.outlooks([KILN], NOW)


def test_a_cell_that_is_redirected_is_the_one_at_the_end() -> None:
    answer = served({
        POINT: Reply(body=body(point(43.61, -116.2))),
        CELL: Reply(status=301, headers={"location": OTHER}),
        OTHER: Reply(body=a_grid(x=119)),
    })  # fmt: skip
    assert answer.outlooks["kiln"].origins[0].detail == "grid BOI 119,77"


def test_a_point_answer_for_another_place_is_not_kept(tmp_path: Path) -> None:
    cache = AnswerCache(tmp_path)
    wrong = Reply(body=body(point(35.0, -90.0)), headers={"cache-control": "max-age=9999"})
    right = Reply(body=body(point(43.61, -116.2)))
    first = served({POINT: wrong, CELL: Reply(body=a_grid())}, cache)
    second = served({POINT: right, CELL: Reply(body=a_grid())}, cache)
    assert "answers for 35,-90" in first.trouble["kiln"]
    assert "kiln" in second.outlooks
    assert json.loads(right.body)["properties"]["gridX"] == 118
