"""Answers with status 200 that are none."""

import gzip
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from support.fetching import (
    BODY,
    GRID,
    PATH,
    ask,
    nws_at,
    problem_of,
)
from support.server import (
    Reply,
    Route,
    WeatherServer,
    gzip_bomb,
    html_reply,
    json_reply,
)

from windowcast.problems import SourceDown, SourceGarbled, SourceProblem
from windowcast.sources.fetch import Fetcher

GARBLED: dict[str, Route] = {
    "a web page": html_reply(),
    "a web page called JSON": Reply(
        body=b"\xef\xbb\xbf \n<!DOCTYPE html><p>", headers={"content-type": "application/json"}
    ),
    "half a JSON": Reply(body=BODY[:20]),
    "nothing": Reply(),
    "blanks": Reply(body=b" \r\n"),
    "an empty gzip": Reply(zipped=True),
    "text": Reply(body=b"error code: 525"),
    "no gzip under the name of gzip": Reply(body=BODY, headers={"content-encoding": "gzip"}),
}


@pytest.mark.parametrize("garbled", GARBLED.values(), ids=GARBLED.keys())
def test_a_garbled_answer_is_asked_for_once_more_and_no_oftener(
    server: WeatherServer, fetcher: Fetcher, garbled: Route
) -> None:
    server.routes[PATH] = garbled
    problem = problem_of(fetcher, nws_at(server))
    assert isinstance(problem, SourceGarbled)
    assert server.count() == 2
    assert "<" not in str(problem)
    server.routes["/again"] = [garbled, json_reply(GRID)]
    assert ask(fetcher, nws_at(server), "/again").value == GRID


def test_the_sentence_about_a_web_page_says_what_was_expected(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = html_reply()
    assert str(problem_of(fetcher, nws_at(server))).endswith(
        "in 2 tries (last: a web page where application/json is expected)"
    )


def test_the_sentence_of_the_parser_is_kept_and_says_where(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = Reply(body=b"{")
    assert str(problem_of(fetcher, nws_at(server))) == (
        f"nws: the answer is not JSON (in the answer of 127.0.0.1:{server.port} for {PATH})"
    )


def test_an_empty_answer_is_said(server: WeatherServer, fetcher: Fetcher) -> None:
    server.routes[PATH] = Reply()
    assert "(last: an empty answer)" in str(problem_of(fetcher, nws_at(server)))


CUT: dict[str, Callable[[bytes], Reply]] = {
    "a body": lambda body: Reply(body=body, cut_at=9),
    "a gzip": lambda body: Reply(body=body, cut_at=20, zipped=True),
    "chunks": lambda body: Reply(body=body, cut_at=9, chunked=True),
    "a gzip of honest length": lambda body: Reply(
        body=gzip.compress(body)[:-9], headers={"content-encoding": "gzip"}
    ),
    "a body of another length": lambda body: Reply(body=body, content_length=500, cut_at=499),
}


@pytest.mark.parametrize("cut", CUT.values(), ids=CUT.keys())
def test_a_cut_transfer_is_tried_again(
    server: WeatherServer, fetcher: Fetcher, cut: Callable[[bytes], Reply]
) -> None:
    server.routes[PATH] = [cut(BODY), json_reply(GRID)]
    assert ask(fetcher, nws_at(server)).value == GRID
    server.routes["/always"] = cut(BODY)
    problem = problem_of(fetcher, nws_at(server), "/always")
    assert isinstance(problem, SourceDown)
    assert "in 3 tries (last: the answer was cut short)" in str(problem)


def test_a_cut_that_happens_to_be_json_is_still_cut(
    server: WeatherServer, fetcher: Fetcher
) -> None:
    server.routes[PATH] = Reply(body=b"[1]", content_length=999, cut_at=3)
    assert "cut short" in str(problem_of(fetcher, nws_at(server)))


LARGE: dict[str, Reply] = {
    "a large body": Reply(body=b" " * (2**20 + 1)),
    "a large length": Reply(body=BODY, content_length=2**20 + 1),
    "an endless body": Reply(body=b" " * (2**20 + 1), chunked=True),
    "a bomb": gzip_bomb(2**23),
    "a bomb in two parts": Reply(
        body=gzip.compress(bytes(2**20)) + gzip.compress(b" "),
        headers={"content-encoding": "gzip"},
    ),
}


@pytest.mark.parametrize("large", LARGE.values(), ids=LARGE.keys())
def test_an_answer_above_the_cap_is_refused_at_once(
    server: WeatherServer, fetcher: Fetcher, large: Reply
) -> None:
    server.routes[PATH] = large
    problem = problem_of(fetcher, nws_at(server))
    assert isinstance(problem, SourceGarbled)
    assert str(problem).endswith("in 1 try (an answer larger than 1 MB)")


def test_an_answer_of_just_the_cap_is_taken(server: WeatherServer, fetcher: Fetcher) -> None:
    filled = b"[]" + b" " * (2**20 - 2)
    for reply in (Reply(body=filled), Reply(body=filled, zipped=True)):
        server.routes[PATH] = reply
        assert ask(fetcher, nws_at(server)).value == []


def test_a_bomb_is_not_unfolded(server: WeatherServer) -> None:
    """A body of 200 MB behind 200 kB must not cost 200 MB of memory."""
    server.routes[PATH] = Reply(
        body=gzip.compress(bytes(200 * 2**20), 9), headers={"content-encoding": "gzip"}
    )
    program = (
        "import resource, sys\n"
        "sys.path.insert(0, 'tests')\n"
        "from support.fetching import NOW, nws_at, quick_fetcher, read_json, PATIENT\n"
        "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "try:\n"
        f"    quick_fetcher(limits=PATIENT).get("
        f"nws_at({server.url!r}), {PATH!r}, now=NOW, read=read_json)\n"
        "except Exception as problem:\n"
        "    print(type(problem).__name__)\n"
        "print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)\n"
    )
    root = Path(__file__).resolve().parents[2]
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=root, timeout=60,
        check=True,
    )  # fmt: skip
    kind, grown_mb = ended.stdout.split()
    assert kind == "SourceGarbled"
    assert int(grown_mb) < 40


def test_gzip_in_parts_is_joined(server: WeatherServer, fetcher: Fetcher) -> None:
    parts = gzip.compress(b'{"a"') + gzip.compress(b": 1}")
    server.routes[PATH] = Reply(body=parts, headers={"content-encoding": "x-gzip"})
    assert ask(fetcher, nws_at(server)).value == {"a": 1}


@pytest.mark.parametrize("coding", ["br", "deflate", "gzip, gzip"])
def test_a_coding_that_was_not_asked_for_is_refused(
    server: WeatherServer, fetcher: Fetcher, coding: str
) -> None:
    server.routes[PATH] = Reply(body=BODY, headers={"content-encoding": coding})
    assert f'a body coded as "{coding}" where gzip or nothing was asked' in str(
        problem_of(fetcher, nws_at(server))
    )


@pytest.mark.parametrize("told", ["none", "-1", "4 2", "9" * 30])
def test_a_length_without_sense_is_not_believed(
    server: WeatherServer, once: Fetcher, told: str
) -> None:
    head = f"HTTP/1.1 200 OK\r\nContent-Length: {told}\r\n\r\n".encode()
    server.routes[PATH] = Reply(raw=head + BODY)
    try:
        assert ask(once, nws_at(server)).value == GRID
    except SourceProblem as problem:
        assert "\n" not in str(problem)  # noqa: PT017  either outcome is sound
