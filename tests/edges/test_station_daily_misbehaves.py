"""The station archive on a real socket: a past that does not come is a remark, no more."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from support.fetching import quick_fetcher
from support.server import Reply, WeatherServer, html_reply, redirect
from support.station_files import CLIMATES, STATION, long, season, wide_of_archive, zipped

from windowcast.sources.fetch import AnswerCache, Fetcher
from windowcast.sources.station_daily import StationDaily
from windowcast.terms.outlook import Answer
from windowcast.terms.yard import Yard

NOW = datetime(2026, 12, 24, 13, tzinfo=UTC)
KILN = Yard(key="kiln", name="Kiln", lat_deg=43.61, lon_deg=-116.2, tz="America/Boise")
BASIN = season(CLIMATES["basin"], date(2026, 8, 25), 120, seed=3)
PATH = f"/by_station/{STATION}.csv.gz"


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    with WeatherServer() as running:
        yield running


def morning(server: WeatherServer, cache: AnswerCache | None = None) -> Answer:
    with quick_fetcher(cache) as fetcher:
        return ask(fetcher, f"{server.url}/by_station")


def ask(fetcher: Fetcher, base_url: str) -> Answer:
    return StationDaily(fetcher, station=STATION, base_url=base_url).outlooks([KILN], NOW)


def remark(told: Answer) -> str:
    """The one remark; no yard is in trouble for a missing past."""
    assert (dict(told.pasts), dict(told.trouble)) == ({}, {})
    (said,) = told.remarks
    assert said.startswith("station_daily: ")
    assert "\n" not in said
    return said


@pytest.mark.parametrize("is_coded", [False, True])
def test_a_gzip_file_is_read_whether_or_not_it_is_sent_as_a_coded_body(
    server: WeatherServer, is_coded: bool
) -> None:
    body = long(BASIN) if is_coded else zipped(long(BASIN))
    headers = {"content-type": "application/gzip"}
    server.routes[PATH] = Reply(body=body, headers=headers, zipped=is_coded)
    assert "kiln" in morning(server).pasts


def test_a_wide_file_is_read_from_the_access_folder(server: WeatherServer) -> None:
    server.routes[f"/access/{STATION}.csv"] = Reply(body=wide_of_archive(BASIN))
    with quick_fetcher() as fetcher:
        assert "kiln" in ask(fetcher, f"{server.url}/access").pasts


def test_a_second_morning_of_the_day_asks_nobody(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = Reply(body=zipped(long(BASIN)))
    for _ in range(2):
        told = morning(server, AnswerCache(tmp_path))
    assert "kiln" in told.pasts
    assert len(server.asked) == 1


@pytest.mark.parametrize("status", [403, 404, 500, 503])
def test_a_status_that_means_no_is_a_remark(server: WeatherServer, status: int) -> None:
    server.routes[PATH] = Reply(status=status)
    remark(morning(server))


def test_a_web_page_is_a_remark(server: WeatherServer) -> None:
    server.routes[PATH] = html_reply()
    remark(morning(server))


def test_a_file_cut_on_its_way_is_a_remark(server: WeatherServer) -> None:
    server.routes[PATH] = Reply(body=zipped(long(BASIN)), cut_at=300)
    remark(morning(server))


def test_a_file_of_another_station_is_a_remark(server: WeatherServer) -> None:
    server.routes[PATH] = Reply(body=zipped(long(BASIN, station="USC00999902")))
    assert "USC00999902" in remark(morning(server))


def test_a_redirect_to_another_host_is_not_followed(server: WeatherServer) -> None:
    server.routes[PATH] = redirect("https://elsewhere.example/file.csv.gz")
    assert "elsewhere.example" in remark(morning(server))


def test_silence_ends_at_the_deadline(server: WeatherServer) -> None:
    server.routes[PATH] = Reply(hang_s=5.0)
    remark(morning(server))
