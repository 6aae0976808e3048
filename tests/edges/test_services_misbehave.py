"""A service that cannot be reached, or does not keep up: on real sockets, within the deadline.

Each way ends in one sentence of a SourceDown or SourceGarbled.
"""

import logging
import subprocess
import sys
import threading
import time
from dataclasses import replace

import pytest
from support.fetching import (
    BODY,
    GRID,
    PATH,
    PATIENT,
    ask,
    nws_at,
    problem_of,
    quick_fetcher,
)
from support.server import (
    Reply,
    Route,
    WeatherServer,
    closed_port,
    json_reply,
    problem_reply,
    redirect,
)

from windowcast.problems import SourceDown, SourceProblem
from windowcast.sources.fetch import Fetcher, Limits


def test_a_refused_connection_is_tried_three_times_and_said_in_one_sentence(
    fetcher: Fetcher,
) -> None:
    port = closed_port()
    problem = problem_of(fetcher, nws_at(f"http://127.0.0.1:{port}"))
    assert isinstance(problem, SourceDown)
    assert str(problem) == (
        f"nws: no answer from 127.0.0.1:{port} for {PATH} in 3 tries"
        " (last: the connection was refused)"
    )
    assert fetcher.requests_made == 3


def test_a_name_that_does_not_exist_is_said(fetcher: Fetcher) -> None:
    problem = problem_of(fetcher, nws_at("http://weather.invalid"))
    assert "no answer from weather.invalid for" in str(problem)
    assert "its name was not found" in str(problem)


def test_a_reset_connection_is_tried_again(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = [Reply(reset=True), Reply(reset=True), json_reply(GRID)]
    assert ask(fetcher, nws_at(server)).value == GRID
    server.routes[PATH] = Reply(reset=True)
    assert "(last: the connection broke off)" in str(problem_of(fetcher, nws_at(server)))


def test_a_connection_that_closes_while_kept_alive_is_opened_anew(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes["/first"] = Reply(body=BODY, cut_at=len(BODY))  # whole, then the end
    server.routes[PATH] = json_reply(GRID)
    ask(fetcher, nws_at(server), "/first")
    assert ask(fetcher, nws_at(server)).value == GRID


@pytest.mark.parametrize(
    "raw", [b"SSH-2.0-OpenSSH\r\n", b"\x00" * 50, b"HTTP/1.1 two OK\r\n\r\n", b"HTTP/9 200\r\n\r\n"]
)
def test_what_does_not_speak_http_is_no_answer(
    server: WeatherServer, once: Fetcher, raw: bytes
) -> None:
    server.routes[PATH] = Reply(raw=raw)
    assert isinstance(problem_of(once, nws_at(server)), SourceProblem)


def test_a_plain_server_behind_an_https_address_is_no_secure_connection(
    server: WeatherServer, once: Fetcher
) -> None:
    problem = problem_of(once, nws_at(server.url.replace("http:", "https:")))
    assert "in 1 try (no secure connection came about)" in str(problem)


def test_headers_without_sense_are_stepped_over_in_silence(
    server: WeatherServer, once: Fetcher, caplog: pytest.LogCaptureFixture
) -> None:
    head = b"HTTP/1.1 200 OK\r\nno colon here\r\nContent-Length: 2\r\n\r\n{}"
    server.routes[PATH] = Reply(raw=head)
    assert ask(once, nws_at(server)).value == {}
    assert not [record for record in caplog.records if record.levelno >= logging.WARNING]


def test_a_thousand_headers_are_no_answer(server: WeatherServer, once: Fetcher) -> None:
    server.routes[PATH] = Reply(body=BODY, headers={f"x-{n}": "y" for n in range(1000)})
    assert isinstance(problem_of(once, nws_at(server)), SourceDown)


SLOW: dict[str, Route] = {
    "silence": Reply(hang_s=60),
    "a drip of headers": replace(json_reply(GRID), drip_headers_s=0.05),
    "a drip of body": replace(json_reply(GRID), drip_body_s=0.05),
    "a drip of gzip": replace(json_reply(GRID), drip_body_s=0.05, zipped=True),
    "an endless run of interim answers": Reply(
        raw=b"HTTP/1.1 100 Continue\r\n\r\n" * 9999, drip_body_s=0.01
    ),
    "a drip of an error": replace(problem_reply(500, "Slow", "slow"), drip_body_s=0.05),
    "a body that stops": replace(json_reply(GRID), content_length=999),
}


@pytest.mark.parametrize("slow", SLOW.values(), ids=SLOW.keys())
def test_one_try_ends_at_the_deadline(server: WeatherServer, hasty: Fetcher, slow: Route) -> None:
    server.routes[PATH] = slow
    began = time.monotonic()
    problem = problem_of(hasty, nws_at(server))
    assert 0.3 < time.monotonic() - began < 2.0
    assert isinstance(problem, SourceDown)
    assert "in 1 try (timed out after 0.4 s" in str(problem) or "stopped in the middle" in str(
        problem
    )


@pytest.mark.parametrize("slow", SLOW.values(), ids=SLOW.keys())
def test_no_thread_outlives_the_deadline_for_long(
    server: WeatherServer, hasty: Fetcher, slow: Route
) -> None:
    server.routes[PATH] = slow
    before = set(threading.enumerate())
    problem_of(hasty, nws_at(server))
    ends = time.monotonic() + 2.0
    while time.monotonic() < ends and _of_ours(before):
        time.sleep(0.01)
    assert not _of_ours(before)


def _of_ours(before: set[threading.Thread]) -> list[threading.Thread]:
    return [one for one in threading.enumerate() if one not in before and "fulfil" in one.name]


def test_silence_between_two_pieces_is_bounded_too(server: WeatherServer) -> None:
    patient = replace(PATIENT, tries=1, read_s=0.2)
    server.routes = {PATH: Reply(hang_s=60), "/half": SLOW["a body that stops"]}
    with quick_fetcher(limits=patient) as fetcher:
        silent = problem_of(fetcher, nws_at(server))
    with quick_fetcher(limits=patient) as fetcher:
        half = problem_of(fetcher, nws_at(server), "/half")
    assert "no answer" in str(silent)
    assert "in 1 try (timed out after 0.2 s without a byte)" in str(silent)
    assert "in 1 try (the answer stopped in the middle)" in str(half)


def test_no_time_left_is_no_request(
    server: WeatherServer,
) -> None:
    limits = replace(PATIENT, tries=1, deadline_s=0.0)
    with quick_fetcher(limits=limits) as fetcher:
        assert "timed out after 0 s" in str(problem_of(fetcher, nws_at(server)))
        assert fetcher.requests_made == 0


def test_redirects_share_the_deadline_of_their_try(server: WeatherServer, hasty: Fetcher) -> None:
    for number in range(5):
        server.routes[f"/{number}"] = replace(redirect(f"/{number + 1}"), hang_s=0.15)
    began = time.monotonic()
    assert "timed out after 0.4 s" in str(problem_of(hasty, nws_at(server), "/0"))
    assert time.monotonic() - began < 2.0
    assert server.count() <= 3


def test_a_slow_start_is_tried_again(server: WeatherServer) -> None:
    server.routes[PATH] = [Reply(hang_s=60), json_reply(GRID)]
    with quick_fetcher(limits=replace(PATIENT, deadline_s=0.5)) as fetcher:
        assert ask(fetcher, nws_at(server)).value == GRID


def test_all_tries_share_a_budget(server: WeatherServer) -> None:
    limits = Limits(deadline_s=0.3, budget_s=0.5, tries=50, waits_s=(0.0,))
    server.routes[PATH] = replace(json_reply(GRID), drip_body_s=0.05)
    began = time.monotonic()
    with quick_fetcher(limits=limits) as fetcher:
        assert "in 2 tries (last: timed out" in str(problem_of(fetcher, nws_at(server)))
    assert 0.45 < time.monotonic() - began < 2.5


def test_a_pause_that_the_budget_does_not_hold_ends_the_tries(server: WeatherServer) -> None:
    limits = replace(PATIENT, budget_s=2.0, waits_s=(30.0,))
    server.routes[PATH] = Reply(status=500)
    waits: list[float] = []
    with quick_fetcher(limits=limits, wait=waits.append) as fetcher:
        assert "in 1 try (status 500" in str(problem_of(fetcher, nws_at(server)))
    assert waits == []


def test_the_program_ends_while_a_thread_still_looks_up_a_name() -> None:
    program = (
        "import threading\n"
        "from windowcast.deadline import DeadlinePassed, within\n"
        "try:\n"
        "    within(0.1, threading.Event().wait)\n"
        "except DeadlinePassed:\n"
        "    print('went on')\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=20, check=False
    )
    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "went on\n", "")
