"""A service that sends us elsewhere."""

from dataclasses import replace

import pytest
from support.fetching import (
    GRID,
    PATH,
    ask,
    nws_at,
    problem_of,
)
from support.server import (
    Reply,
    WeatherServer,
    gzip_bomb,
    json_reply,
    redirect,
)

from windowcast.problems import SourceDown
from windowcast.sources.fetch import Fetcher


@pytest.mark.parametrize("status", [301, 302, 303, 307, 308])
@pytest.mark.parametrize("home", ["", "https://api.weather.gov", "http://127.0.0.1:1"])
def test_a_redirect_is_followed_on_the_configured_base(
    server: WeatherServer, fetcher: Fetcher, status: int, home: str
) -> None:
    server.routes = {"/old": redirect(f"{home}{PATH}?units=si", status), PATH: json_reply(GRID)}
    fetched = ask(fetcher, nws_at(server), "/old")
    assert fetched.url == f"{server.url}{PATH}?units=si"
    assert server.paths == ["/old", f"{PATH}?units=si"]
    assert fetcher.requests_made == 2


def test_a_relative_redirect_stays_beside_where_it_was_seen(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes = {
        "/nws/points/43.60,-116.20": redirect("43.6,-116.2"),
        "/nws/points/43.6,-116.2": json_reply(GRID),
    }
    fetched = ask(fetcher, nws_at(server.url + "/nws"), "/points/43.60,-116.20")
    assert fetched.value == GRID


@pytest.mark.parametrize(
    "to", ["https://example.org" + PATH, "//example.org/", "https://api.weather.gov@example.org/"]
)
def test_a_redirect_to_another_host_is_refused(
    server: WeatherServer, fetcher: Fetcher, to: str
) -> None:
    server.routes[PATH] = redirect(to)
    problem = problem_of(fetcher, nws_at(server))
    assert isinstance(problem, SourceDown)
    assert "in 1 try (a redirect was refused: a link leads to another host, example.org;" in str(
        problem
    )


@pytest.mark.parametrize("to", ["http://[half", "/../admin", "ftp://api.weather.gov/", "/a b"])
def test_a_redirect_to_nowhere_honest_is_refused(
    server: WeatherServer, fetcher: Fetcher, to: str
) -> None:
    server.routes[PATH] = redirect(to)
    assert "is not a link" in str(problem_of(fetcher, nws_at(server)))


def test_a_redirect_without_a_place_is_refused(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply(status=301)
    assert "status 301, a redirect that leads nowhere" in str(problem_of(fetcher, nws_at(server)))


def test_redirects_in_a_circle_are_left(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes = {"/a": redirect("/b"), "/b": redirect("/a")}
    assert "redirects in a circle" in str(problem_of(fetcher, nws_at(server), "/a"))
    assert server.paths == ["/a", "/b"]
    server.routes["/self"] = redirect("/self")
    assert "redirects in a circle" in str(problem_of(fetcher, nws_at(server), "/self"))


def test_five_redirects_are_followed_and_a_sixth_is_not(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes = {f"/{number}": redirect(f"/{number + 1}") for number in range(6)}
    server.routes["/6"] = json_reply(GRID)
    assert ask(fetcher, nws_at(server), "/1").value == GRID
    assert "more than 5 redirects" in str(problem_of(fetcher, nws_at(server), "/0"))


def test_the_body_of_a_redirect_is_not_taken_in(server: WeatherServer, fetcher: Fetcher) -> None:
    bomb = replace(gzip_bomb(2**22), status=302, headers={"location": PATH})
    server.routes = {"/old": bomb, PATH: json_reply(GRID)}
    assert ask(fetcher, nws_at(server), "/old").value == GRID
