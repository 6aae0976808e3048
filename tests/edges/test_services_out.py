"""A service that is out is not asked again in the same run."""

import threading
import time
from dataclasses import replace

import pytest
from support.fetching import (
    GRID,
    PATH,
    PATIENT,
    QUICK,
    ask,
    nws_at,
    problem_of,
    quick_fetcher,
)
from support.server import (
    Reply,
    WeatherServer,
    closed_port,
    html_reply,
    json_reply,
)

from windowcast.problems import SourceDown
from windowcast.sources.fetch import Fetched, Fetcher


def test_after_a_service_was_out_for_one_request_the_others_fail_at_once(
    fetcher: Fetcher,
) -> None:
    service = nws_at(f"http://127.0.0.1:{closed_port()}")
    first = problem_of(fetcher, service)
    second = problem_of(fetcher, service, "/other")
    assert str(second) == str(first)
    assert fetcher.requests_made == 3


def test_forty_yards_on_a_dead_network_take_seconds(server: WeatherServer) -> None:
    server.routes = {f"/{number}": Reply(hang_s=60) for number in range(40)}
    service = nws_at(server)
    with quick_fetcher(limits=replace(QUICK, tries=2)) as fetcher:
        began = time.monotonic()
        told = fetcher.all(service, [lambda n=n: ask(fetcher, service, f"/{n}") for n in range(40)])
    assert time.monotonic() - began < 3.0
    assert all(isinstance(one, SourceDown) for one in told)
    assert fetcher.requests_made <= 9


def test_a_403_shuts_the_gate_too(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply(status=403)
    first, second = (problem_of(fetcher, nws_at(server), path) for path in (PATH, "/other"))
    assert str(first) == str(second)
    assert isinstance(second, SourceDown)
    assert second.status == 403
    assert server.count() == 1


def test_a_limit_that_was_reached_shuts_the_gate(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = json_reply({"reason": "Daily API request limit exceeded."}, 429)
    problem_of(fetcher, nws_at(server))
    problem_of(fetcher, nws_at(server), "/other")
    assert server.count() == 1


@pytest.mark.parametrize("status", [404, 500, 503])
def test_trouble_with_one_grid_leaves_the_gate_open(
    server: WeatherServer, fetcher: Fetcher, status: int
) -> None:
    server.routes = {PATH: Reply(status=status), "/other": json_reply(GRID)}
    problem_of(fetcher, nws_at(server))
    assert ask(fetcher, nws_at(server), "/other").value == GRID


def test_a_garbled_answer_leaves_the_gate_open(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes = {PATH: html_reply(), "/other": json_reply(GRID)}
    problem_of(fetcher, nws_at(server))
    assert ask(fetcher, nws_at(server), "/other").value == GRID


def test_one_sign_of_life_among_the_tries_leaves_the_gate_open(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes = {
        PATH: [Reply(status=500), Reply(reset=True), Reply(reset=True)],
        "/other": json_reply(GRID),
    }
    problem_of(fetcher, nws_at(server))
    assert ask(fetcher, nws_at(server), "/other").value == GRID


def test_a_service_that_answered_somebody_meanwhile_is_not_out(server: WeatherServer) -> None:
    server.routes = {PATH: Reply(hang_s=60), "/other": json_reply(GRID)}
    service = nws_at(server)
    with quick_fetcher(limits=replace(QUICK, tries=1)) as fetcher:

        def good_in_the_middle() -> Fetched[object]:
            time.sleep(0.1)
            return ask(fetcher, service, "/other")

        told = fetcher.all(service, [lambda: ask(fetcher, service), good_in_the_middle])
        assert [type(one) for one in told] == [SourceDown, Fetched]
        assert ask(fetcher, service, "/other").value == GRID


def test_a_success_of_a_request_under_way_opens_the_gate_again(server: WeatherServer) -> None:
    server.routes = {
        PATH: Reply(reset=True),
        "/late": replace(json_reply(GRID), hang_s=0.25),
        "/other": json_reply(GRID),
    }
    service = nws_at(server)
    with quick_fetcher(limits=PATIENT) as fetcher:
        late = threading.Thread(target=ask, args=(fetcher, service, "/late"))
        late.start()
        problem_of(fetcher, service)
        assert str(problem_of(fetcher, service, "/other")).endswith("broke off)")
        late.join()
        assert ask(fetcher, service, "/other").value == GRID


def test_one_service_that_is_out_does_not_hold_up_another(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = json_reply(GRID)
    problem_of(fetcher, nws_at(f"http://127.0.0.1:{closed_port()}"))
    assert ask(fetcher, nws_at(server)).value == GRID


def test_a_fetcher_of_another_run_starts_anew(server: WeatherServer) -> None:
    server.routes[PATH] = [Reply(status=403), json_reply(GRID)]
    with quick_fetcher(limits=PATIENT) as first:
        problem_of(first, nws_at(server))
    with quick_fetcher(limits=PATIENT) as second:
        assert ask(second, nws_at(server)).value == GRID
