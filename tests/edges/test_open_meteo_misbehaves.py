"""Open-Meteo on a real socket: how it lets a morning down, and what is made of it."""

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.fetching import NOW, QUICK, quick_fetcher
from support.open_meteo_payloads import answer, body, payload
from support.server import Asked, Reply, WeatherServer, html_reply, json_reply, redirect

from windowcast.sources.fetch import AnswerCache, Fetcher
from windowcast.sources.open_meteo import OpenMeteo
from windowcast.terms.outlook import Answer
from windowcast.terms.yard import Yard

PATH = "/v1/forecast"
KEY = "s3cr3t-customer-key"
KILN = Yard(key="kiln", name="Kiln", lat_deg=43.61, lon_deg=-116.2)


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    with WeatherServer() as running:
        yield running


@pytest.fixture
def fetcher() -> Iterator[Fetcher]:
    with quick_fetcher() as one:
        yield one


def morning(fetcher: Fetcher, server: WeatherServer, *yards: Yard) -> Answer:
    source = OpenMeteo(fetcher, base_url=server.url, api_key=KEY)
    return source.outlooks(yards or (KILN,), NOW)


def sentence(told: Answer) -> str:
    """The one sentence on the one blind yard."""
    assert told.outlooks == {}
    said = told.trouble["kiln"]
    assert said.startswith("open_meteo: ")
    assert "\n" not in said
    assert KEY not in said
    return said


def test_a_whole_answer_is_asked_for_once_and_read(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply(body=payload("usual.json"))
    told = morning(fetcher, server)
    assert "kiln" in told.outlooks
    assert len(server.asked) == 1
    assert server.asked[0].params["apikey"] == KEY
    assert server.asked[0].params["timezone"] == "auto"
    assert "office@vellamoor.example" in server.asked[0].headers["user-agent"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("error_first.json", "Minutely API request limit exceeded"),
        ("reason_first.json", "The service is overloaded"),
        ("plain_text.txt", "error code: 525"),
        ("cut_off.json", "not JSON"),
        ("unit_slip.json", "a unit is wrong"),
        ("unknown_unit.json", "furlong"),
        ("three_hourly.json", "3 hours"),
    ],
)
def test_an_error_that_calls_itself_200_is_no_forecast(
    server: WeatherServer, fetcher: Fetcher, name: str, said: str
) -> None:
    server.routes[PATH] = Reply(body=payload(name))
    assert said in sentence(morning(fetcher, server))


def test_a_web_page_is_no_forecast(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = html_reply(payload("gateway.html").decode())
    sentence(morning(fetcher, server))


@pytest.mark.parametrize("status", [400, 403, 404, 429, 500, 502, 503])
def test_a_status_that_means_no_is_no_forecast(
    server: WeatherServer, fetcher: Fetcher, status: int
) -> None:
    server.routes[PATH] = json_reply({"error": True, "reason": "not today"}, status)
    sentence(morning(fetcher, server))


def test_an_overload_that_passes_is_waited_for(server: WeatherServer, fetcher: Fetcher) -> None:
    busy = json_reply({"error": True, "reason": "The service is overloaded"}, 503)
    server.routes[PATH] = [busy, Reply(body=payload("usual.json"))]
    assert "kiln" in morning(fetcher, server).outlooks


def test_silence_ends_at_the_deadline(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply(hang_s=5.0)
    sentence(morning(fetcher, server))


def test_a_redirect_to_another_host_is_not_followed(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = redirect("https://elsewhere.example/v1/forecast")
    assert "elsewhere.example" in sentence(morning(fetcher, server))


def test_a_redirect_to_its_own_host_is_taken_on_the_configured_base(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = redirect("https://api.open-meteo.com/v2/forecast")
    server.routes["/v2/forecast"] = Reply(body=payload("usual.json"))
    assert "kiln" in morning(fetcher, server).outlooks


def test_a_second_morning_within_the_hour_asks_nobody(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = Reply(body=payload("usual.json"))
    for _ in range(2):
        with quick_fetcher(AnswerCache(tmp_path)) as fetcher:
            told = morning(fetcher, server)
    assert "kiln" in told.outlooks
    assert len(server.asked) == 1
    assert not any(KEY.encode() in kept.read_bytes() for kept in tmp_path.iterdir())


def test_an_error_does_not_push_out_the_answer_that_was_kept(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = Reply(body=payload("reason_first.json"))
    with quick_fetcher(AnswerCache(tmp_path)) as fetcher:
        sentence(morning(fetcher, server))
    assert list(tmp_path.iterdir()) == []


def test_many_yards_are_asked_in_batches_one_after_the_other(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    def for_all(asked: Asked) -> Reply:
        lats = [float(text) for text in asked.params["latitude"].split(",")]
        told = [answer(3, lat=lat) for lat in lats]
        return Reply(body=body(told if len(told) > 1 else told[0]))

    server.routes[PATH] = for_all
    yards = [
        Yard(key=f"y{n}", name="Y", lat_deg=43.0 + n / 1000, lon_deg=-116.2) for n in range(101)
    ]
    told = morning(fetcher, server, *yards)
    assert set(told.outlooks) == {yard.key for yard in yards}
    assert [len(a.params["latitude"].split(",")) for a in server.asked] == [50, 50, 1]
    assert all(len(a.target) < 8192 for a in server.asked)


def test_the_key_stands_in_no_line_of_the_log(
    server: WeatherServer, fetcher: Fetcher, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    server.routes[PATH] = json_reply({"error": True, "reason": f"bad {KEY}"}, 400)
    sentence(morning(fetcher, server))
    assert KEY not in caplog.text


def test_an_answer_beyond_the_cap_is_refused(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply(body=b" " * (QUICK.cap_bytes + 1))
    assert "larger than" in sentence(morning(fetcher, server))
