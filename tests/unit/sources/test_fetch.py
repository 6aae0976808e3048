import threading
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
import responses
from support.fetching import CONTACT, GRID, NOW, PATH, PATIENT, ask, nws_at, quick_fetcher
from support.server import Asked, Reply, WeatherServer, html_reply, json_reply

from windowcast.problems import SourceDown, SourceProblem
from windowcast.sources.fetch import Fetched, Fetcher


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    with WeatherServer({PATH: json_reply(GRID)}) as running:
        yield running


@pytest.fixture
def fetcher() -> Iterator[Fetcher]:
    with quick_fetcher(limits=PATIENT) as one:
        yield one


def test_an_answer_is_read_and_told_with_its_address_and_time(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    fetched = ask(fetcher, nws_at(server))
    assert fetched == Fetched(value=GRID, url=server.url + PATH, fetched_at=NOW, asked=True)
    assert server.paths == [PATH]
    assert fetcher.requests_made == 1


def test_every_request_says_who_asks_and_for_what(server: WeatherServer, fetcher: Fetcher) -> None:
    ask(fetcher, nws_at(server), accept="application/geo+json")
    headers = server.asked[0].headers
    assert headers["user-agent"] == CONTACT
    assert headers["accept"] == "application/geo+json"
    assert headers["accept-encoding"] == "gzip"
    assert "cookie" not in headers


def test_a_name_that_no_header_can_carry_does_not_stop_the_morning(server: WeatherServer) -> None:
    with Fetcher(user_agent="Bëes 蜂\r\nX: y (a@b.example)", cache=None, limits=PATIENT) as fetcher:
        ask(fetcher, nws_at(server))
    assert server.asked[0].headers["user-agent"] == "B?es ? X: y (a@b.example)"


def test_a_cookie_is_not_sent_back(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = json_reply(GRID, set_cookie="track=1; Path=/")
    ask(fetcher, nws_at(server))
    ask(fetcher, nws_at(server))
    assert "cookie" not in server.asked[1].headers


def test_connections_are_kept_alive(server: WeatherServer, fetcher: Fetcher) -> None:
    for _ in range(3):
        ask(fetcher, nws_at(server))
    assert len(server.paths) == 3
    assert server.connections == 1


def test_a_gzip_answer_is_unfolded(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = replace(json_reply(GRID), zipped=True)
    assert ask(fetcher, nws_at(server)).value == GRID


def test_a_chunked_answer_is_joined(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = replace(json_reply(GRID), chunked=True, content_length=999)
    assert ask(fetcher, nws_at(server)).value == GRID


def test_an_answer_without_a_length_ends_with_the_connection(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = Reply(raw=b'HTTP/1.1 200 OK\r\nConnection: close\r\n\r\n{"a": 1}')
    assert ask(fetcher, nws_at(server)).value == {"a": 1}


def test_parameters_are_sent_and_a_path_may_have_its_own(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes["/v1/forecast"] = json_reply(GRID)
    ask(fetcher, nws_at(server), "/v1/forecast?models=best", params={"latitude": "43.6,44.1"})
    assert server.paths == ["/v1/forecast?models=best&latitude=43.6,44.1"]
    assert server.asked[0].params == {"models": "best", "latitude": "43.6,44.1"}


def test_a_base_with_a_prefix_keeps_it(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes["/nws" + PATH] = json_reply(GRID)
    ask(fetcher, nws_at(server.url + "/nws"))
    assert server.paths == ["/nws" + PATH]


def test_a_user_name_in_the_base_is_used_and_never_told(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    fetched = ask(fetcher, nws_at(server.url.replace("//", "//bee:honey@")))
    assert server.asked[0].headers["authorization"].startswith("Basic ")
    assert fetched.url == server.url + PATH


def test_a_proxy_of_the_network_is_not_asked_for_this_machine(
    server: WeatherServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("http_proxy", "HTTP_PROXY", "all_proxy", "ALL_PROXY"):
        monkeypatch.setenv(name, "http://proxy.invalid:3128")
    monkeypatch.delenv("no_proxy", raising=False)
    monkeypatch.delenv("NO_PROXY", raising=False)
    with quick_fetcher(limits=PATIENT) as fetcher:
        assert ask(fetcher, nws_at(server)).value == GRID
        assert ask(fetcher, nws_at(server.url.replace("127.0.0.1", "localhost"))).value == GRID


def test_a_proxy_of_the_network_is_asked_for_the_rest_of_the_world(
    server: WeatherServer, fetcher: Fetcher, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("http_proxy", server.url)
    monkeypatch.delenv("no_proxy", raising=False)
    monkeypatch.delenv("NO_PROXY", raising=False)
    server.routes["http://weather.invalid" + PATH] = json_reply(GRID)
    assert ask(fetcher, nws_at("http://weather.invalid")).value == GRID
    assert server.paths == ["http://weather.invalid" + PATH]


@responses.activate
def test_a_request_can_be_answered_by_the_responses_library(fetcher: Fetcher) -> None:
    responses.get("https://api.weather.gov" + PATH, json=GRID)
    assert ask(fetcher, nws_at("https://api.weather.gov")).value == GRID


def test_a_fault_of_the_parser_is_not_hidden(server: WeatherServer, fetcher: Fetcher) -> None:
    def stumble(body: bytes) -> object:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fetcher.get(nws_at(server), PATH, now=NOW, read=stumble)


class Progress:
    def __init__(self) -> None:
        self.told: list[str] = []

    def expect(self, count: int) -> None:
        self.told.append(f"expect {count}")

    def done(self) -> None:
        self.told.append("done")


def test_jobs_are_answered_in_their_order_with_problems_in_place(server: WeatherServer) -> None:
    progress = Progress()
    with quick_fetcher(limits=PATIENT, watch=progress) as fetcher:
        service = nws_at(server)
        paths = [PATH, "/lost", PATH]
        told = fetcher.all(service, [lambda p=path: ask(fetcher, service, p) for path in paths])
    assert [isinstance(one, SourceProblem) for one in told] == [False, True, False]
    assert isinstance(told[1], SourceDown)
    assert told[1].status == 404
    assert progress.told == ["expect 3", "done", "done", "done"]


def test_no_jobs_are_no_answers(server: WeatherServer, fetcher: Fetcher) -> None:
    assert fetcher.all(nws_at(server), []) == []


def test_a_fault_of_ours_in_a_job_is_not_hidden(server: WeatherServer, fetcher: Fetcher) -> None:
    with pytest.raises(ZeroDivisionError):
        fetcher.all(nws_at(server), [lambda: 1 // 0])


def test_an_interrupted_morning_begins_no_further_jobs(server: WeatherServer) -> None:
    class Interrupted(Progress):
        def done(self) -> None:
            raise KeyboardInterrupt

    server.routes[PATH] = replace(json_reply(GRID), hang_s=0.03)
    service = nws_at(server, at_once=1)
    with quick_fetcher(limits=PATIENT, watch=Interrupted()) as fetcher:
        with pytest.raises(KeyboardInterrupt):
            fetcher.all(service, [lambda: ask(fetcher, service)] * 20)
        time.sleep(0.2)
    assert server.count() <= 2


@pytest.mark.parametrize("at_once", [1, 2])
def test_no_more_requests_run_at_once_than_the_service_stands(
    server: WeatherServer, at_once: int
) -> None:
    server.routes[PATH] = replace(json_reply(GRID), hang_s=0.03)
    service = nws_at(server, at_once=at_once)
    with quick_fetcher(limits=PATIENT) as fetcher:
        told = fetcher.all(service, [lambda: ask(fetcher, service)] * 6)
    assert len(told) == 6
    assert server.most_at_once == at_once


def test_the_bound_on_requests_at_once_holds_across_threads_of_others(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = replace(json_reply(GRID), hang_s=0.03)
    service = nws_at(server, at_once=1)
    threads = [threading.Thread(target=ask, args=(fetcher, service)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(server.paths), server.most_at_once) == (4, 1)


def test_requests_are_spaced_by_the_rate_of_the_service(server: WeatherServer) -> None:
    waits: list[float] = []
    with quick_fetcher(limits=PATIENT, wait=waits.append) as fetcher:
        for _ in range(3):
            ask(fetcher, nws_at(server, per_second=0.1))
    assert waits == [pytest.approx(10, abs=1), pytest.approx(20, abs=1)]


def test_redirects_are_spaced_too(server: WeatherServer) -> None:
    server.routes["/old"] = Reply(status=301, headers={"location": PATH})
    waits: list[float] = []
    with quick_fetcher(limits=PATIENT, wait=waits.append) as fetcher:
        ask(fetcher, nws_at(server, per_second=0.1), "/old")
        assert fetcher.requests_made == 2
    assert waits == [pytest.approx(10, abs=1)]


def test_services_are_paced_apart(server: WeatherServer) -> None:
    waits: list[float] = []
    with quick_fetcher(limits=PATIENT, wait=waits.append) as fetcher:
        ask(fetcher, nws_at(server, per_second=0.1))
        ask(fetcher, replace(nws_at(server, per_second=0.1), name="mirror"))
    assert waits == []


def test_many_threads_share_one_fetcher(server: WeatherServer, fetcher: Fetcher) -> None:
    def answer(asked: Asked) -> Reply:
        return json_reply(asked.path) if asked.path != "/7" else html_reply(status=404)

    server.routes = {f"/{number}": answer for number in range(24)}
    service = nws_at(server, at_once=8)
    told = fetcher.all(service, [lambda n=n: ask(fetcher, service, f"/{n}") for n in range(24)])
    values = [one.value if isinstance(one, Fetched) else None for one in told]
    assert values == [None if n == 7 else f"/{n}" for n in range(24)]
    assert fetcher.requests_made == 24
