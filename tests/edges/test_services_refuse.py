"""A service that says no, now or for good, and how long it is left alone."""

import logging
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
    Asked,
    Reply,
    WeatherServer,
    gzip_bomb,
    html_reply,
    json_reply,
    problem_reply,
    redirect,
)

from windowcast.problems import SourceDown
from windowcast.sources.fetch import Fetcher, Limits


@pytest.mark.parametrize("status", [429, 500, 502, 503, 504, *range(520, 527)])
def test_a_passing_trouble_is_tried_again(
    server: WeatherServer, fetcher: Fetcher, status: int
) -> None:
    server.routes[PATH] = [Reply(status=status), html_reply(status=status), json_reply(GRID)]
    assert ask(fetcher, nws_at(server)).value == GRID
    assert server.count() == 3


def test_a_trouble_that_does_not_pass_ends_after_three_tries(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = problem_reply(500, "UnexpectedProblem", "An unexpected problem.")
    problem = problem_of(fetcher, nws_at(server))
    assert isinstance(problem, SourceDown)
    assert problem.status == 500
    assert str(problem) == (
        f"nws: no usable answer from 127.0.0.1:{server.port} for {PATH} in 3 tries (last: status"
        ' 500, internal server error: "UnexpectedProblem: An unexpected problem.")'
    )
    assert server.count() == 3


@pytest.mark.parametrize(
    "status", [201, 204, 206, 300, 305, 400, 401, 403, 404, 410, 418, 501, 530]
)
def test_a_plain_no_is_taken_as_one(server: WeatherServer, fetcher: Fetcher, status: int) -> None:
    server.routes[PATH] = json_reply({}, status)
    problem = problem_of(fetcher, nws_at(server))
    assert isinstance(problem, SourceDown)
    assert problem.status == status
    assert f"in 1 try (status {status}" in str(problem)
    assert server.count() == 1


def test_the_reason_of_a_marine_cell_is_quoted(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = problem_reply(404, "MarineForecastNotSupported", "No \x1b[1mforecast")
    problem = problem_of(fetcher, nws_at(server))
    assert str(problem).endswith(
        'status 404, not found: "MarineForecastNotSupported: No [1mforecast")'
    )


def test_a_403_says_what_to_do_and_never_quotes_a_web_page(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = html_reply("<html><body>Access Denied</body></html>", 403)
    problem = str(problem_of(fetcher, nws_at(server)))
    assert "status 403, forbidden; services refuse requests without a contact" in problem
    assert "see contact in outfit.toml" in problem
    assert "Denied" not in problem


@pytest.mark.parametrize(
    "body",
    [b"error code: 525", b"[1, 2]", b'"no"', b'{"reason": 5}', b'{"reason": " "}', b"[" * 99_999],
)
def test_an_error_body_of_another_form_is_not_quoted(
    server: WeatherServer, fetcher: Fetcher, body: bytes
) -> None:
    server.routes[PATH] = Reply(status=400, body=body)
    assert str(problem_of(fetcher, nws_at(server))).endswith("(status 400, bad request)")


@pytest.mark.parametrize(
    "reply",
    [
        Reply(status=404, body=b"x" * 2**20),
        Reply(status=404, body=BODY, content_length=10**9, cut_at=5),
        Reply(status=404, body=b"no gzip", headers={"content-encoding": "gzip"}),
        replace(gzip_bomb(2**20), status=404),
    ],
    ids=["large", "cut", "not the gzip it claims", "bomb"],
)
def test_an_error_with_a_broken_body_still_is_that_error(
    server: WeatherServer, fetcher: Fetcher, reply: Reply
) -> None:
    server.routes[PATH] = reply
    assert str(problem_of(fetcher, nws_at(server))).endswith("(status 404, not found)")


def test_a_long_reason_is_shortened(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = json_reply({"error": True, "reason": "too much " * 999}, 400)
    assert len(str(problem_of(fetcher, nws_at(server)))) < 300


@pytest.mark.parametrize(
    "reply",
    [
        problem_reply(503, "ForecastGridExpired", "Grid issued 2027-01-10 has expired"),
        json_reply({"title": "Forecast Grid Expired", "detail": "has expired"}, 503),
        json_reply({"type": "https://api.weather.gov/problems/ForecastGridExpired"}, 503),
    ],
)
def test_an_office_whose_feed_is_out_is_not_asked_again(
    server: WeatherServer, fetcher: Fetcher, reply: Reply
) -> None:
    server.routes[PATH] = reply
    problem = str(problem_of(fetcher, nws_at(server)))
    assert "in 1 try (status 503, service unavailable: " in problem
    assert "ForecastGridExpired" in problem.replace(" ", "")


@pytest.mark.parametrize("span", ["Hourly", "Daily", "Monthly"])
def test_a_long_limit_is_not_waited_for(server: WeatherServer, fetcher: Fetcher, span: str) -> None:
    reason = f"{span} API request limit exceeded. Please try again later."
    server.routes[PATH] = json_reply({"error": True, "reason": reason}, 429)
    assert f'in 1 try (status 429, too many requests: "{reason}")' in str(
        problem_of(fetcher, nws_at(server))
    )


def test_a_short_limit_is_waited_for(server: WeatherServer, fetcher: Fetcher) -> None:
    busy = json_reply({"reason": "Too many concurrent requests", "error": True}, 429)
    server.routes[PATH] = [busy, json_reply(GRID)]
    assert ask(fetcher, nws_at(server)).value == GRID


def waits_for(server: WeatherServer, first: Reply, limits: Limits = PATIENT) -> list[float]:
    """The waits before the second try after a first answer."""
    server.routes[PATH] = [first, json_reply(GRID)]
    waits: list[float] = []
    roomy = replace(limits, budget_s=600.0)
    with quick_fetcher(limits=roomy, wait=waits.append) as fetcher:
        ask(fetcher, nws_at(server))
    return waits


def test_waits_grow_and_differ_a_little_each_time(server: WeatherServer) -> None:
    server.routes[PATH] = Reply(status=500)
    waits: list[float] = []
    limits = Limits(tries=5, waits_s=(1.0, 4.0))
    with quick_fetcher(limits=limits, wait=waits.append) as fetcher:
        problem_of(fetcher, nws_at(server))
    assert [round(wait / told) for wait, told in zip(waits, (1, 4, 4, 4), strict=True)] == [1] * 4
    assert all(0.7 * 1 <= wait <= 1.3 * 4 for wait in waits)
    assert len(set(waits)) == 4


def test_no_waits_told_is_no_waiting(server: WeatherServer) -> None:
    assert waits_for(server, Reply(status=500), replace(PATIENT, waits_s=())) == [0.0]


@pytest.mark.parametrize(
    "headers",
    [
        {"retry-after": "7"},
        {"retry-after": "Tue, 12 Jan 2027 13:00:07 GMT"},
        {
            "retry-after": "Fri, 01 Feb 2030 00:00:07 GMT",
            "date": "Fri, 01 Feb 2030 00:00:00 GMT",
        },
        {"retry-after": "Tue, 12 Jan 2027 13:00:07 -0000", "date": "nonsense"},
    ],
    ids=["seconds", "date", "date by the clock of the service", "date without a zone"],
)
@pytest.mark.parametrize("status", [429, 503])
def test_retry_after_is_honoured(
    server: WeatherServer, status: int, headers: dict[str, str]
) -> None:
    assert waits_for(server, Reply(status=status, headers=headers)) == [pytest.approx(7, abs=0.5)]


@pytest.mark.parametrize(
    "text", ["soon", "-5", "1.5", "", "Tue, 12 Jan 2027 12:00:00 GMT", "99 Foo 0 99:99:99", "0"]
)
def test_a_retry_after_without_sense_leaves_the_usual_wait(
    server: WeatherServer, text: str
) -> None:
    first = Reply(status=503, headers={"retry-after": text})
    waits = waits_for(server, first, replace(PATIENT, waits_s=(2.0,)))
    assert waits == [pytest.approx(2.0, abs=0.61)]


def test_a_short_retry_after_does_not_shorten_the_usual_wait(server: WeatherServer) -> None:
    first = Reply(status=503, headers={"retry-after": "1"})
    waits = waits_for(server, first, replace(PATIENT, waits_s=(10.0,)))
    assert waits == [pytest.approx(10.0, abs=3.1)]


def test_everybody_waits_when_the_service_asks_for_it(server: WeatherServer) -> None:
    server.routes = {
        PATH: [Reply(status=429, headers={"retry-after": "9"}), json_reply(GRID)],
        "/other": json_reply(GRID),
    }
    waits: list[float] = []
    with quick_fetcher(limits=replace(PATIENT, budget_s=600.0), wait=waits.append) as fetcher:
        ask(fetcher, nws_at(server))
        ask(fetcher, nws_at(server), "/other")
    assert waits == [pytest.approx(9, abs=0.5)] * 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("31", "it asks to wait 31 s"),
        ("600", "it asks to wait 10 min"),
        ("9" * 400, "it asks to wait more than a day"),
        ("Fri, 12 Jan 2029 13:00:00 GMT", "it asks to wait more than a day"),
    ],
)
def test_a_long_retry_after_ends_the_tries_and_is_said(
    server: WeatherServer, fetcher: Fetcher, text: str, said: str
) -> None:
    server.routes[PATH] = Reply(status=503, headers={"retry-after": text})
    assert f"in 1 try (status 503, service unavailable, {said})" in str(
        problem_of(fetcher, nws_at(server))
    )


def test_a_secret_is_neither_in_a_sentence_nor_in_a_log(
    server: WeatherServer, fetcher: Fetcher, caplog: pytest.LogCaptureFixture
) -> None:
    def tell(asked: Asked) -> Reply:
        return json_reply({"reason": f"key {asked.params['apikey']} is not known"}, 500)

    caplog.set_level(logging.DEBUG)
    server.routes[PATH] = tell
    with pytest.raises(SourceDown) as caught:
        ask(fetcher, nws_at(server), params={"apikey": "hush-hush"})
    assert '"key *** is not known"' in str(caught.value)
    with pytest.raises(SourceDown) as in_path:
        ask(fetcher, nws_at(server), PATH + "?apikey=hush-hush")
    assert "apikey=***" in str(in_path.value)
    assert "event=retry" in caplog.text
    assert "hush" not in caplog.text + str(caught.value) + str(in_path.value)
    assert caught.value.__cause__ is None


def test_a_secret_in_a_refused_redirect_is_not_told(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = redirect("/a b?apikey=hush-hush")
    assert "hush" not in str(problem_of(fetcher, nws_at(server)))
