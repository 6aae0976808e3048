"""What is kept on disk, when it is used, and what is asked instead."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from support.fetching import BODY, GRID, NOW, PATH, PATIENT, nws_at, quick_fetcher, read_json
from support.server import Asked, Reply, Route, WeatherServer, conditional, html_reply, json_reply

from windowcast.problems import SourceDown, SourceGarbled
from windowcast.sources.fetch import AnswerCache, Fetched, Service

MINUTE = timedelta(minutes=1)


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    with WeatherServer() as running:
        yield running


def ask(
    folder: Path, service: Service, now: datetime = NOW, path: str = PATH, **more: object
) -> Fetched[object]:
    """One get by a fetcher of its own, as on another morning."""
    with quick_fetcher(AnswerCache(folder), limits=PATIENT) as fetcher:
        return fetcher.get(service, path, now=now, read=read_json, **more)  # type: ignore[arg-type]


def entries(folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted(folder.glob("*"))]


def test_two_mornings_within_max_age_make_one_request(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="public, max-age=749, s-maxage=3600")
    first = ask(tmp_path, nws_at(server))
    second = ask(tmp_path, nws_at(server), NOW + timedelta(seconds=748))
    assert server.count() == 1
    assert (second.value, second.url) == (first.value, first.url)
    assert (second.asked, second.fetched_at) == (False, NOW)


def test_after_max_age_the_service_is_asked_again(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=749")
    ask(tmp_path, nws_at(server))
    again = ask(tmp_path, nws_at(server), NOW + timedelta(seconds=749))
    assert server.count() == 2
    assert (again.asked, again.fetched_at) == (True, NOW + timedelta(seconds=749))


@pytest.mark.parametrize(
    ("headers", "requests"),
    [
        ({}, 2),
        ({"cache_control": "max-age=0"}, 2),
        ({"cache_control": "s-maxage=600"}, 2),
        ({"cache_control": "no-cache, max-age=600"}, 2),
        ({"cache_control": "no-store, max-age=600"}, 2),
        ({"cache_control": "max-age=soon"}, 2),
        ({"cache_control": "x-max-age=600"}, 2),
        ({"expires": "Tue, 12 Jan 2037 14:00:00 GMT"}, 2),
        ({"cache_control": 'MAX-AGE = "600"'}, 1),
        ({"cache_control": "max-age=600", "age": "539"}, 1),
        ({"cache_control": "max-age=600", "age": "540"}, 2),
        ({"cache_control": "max-age=600", "age": "9999"}, 2),
        ({"cache_control": "max-age=600", "age": "none"}, 1),
    ],
)
def test_only_a_max_age_makes_a_copy_good_without_asking(
    server: WeatherServer, tmp_path: Path, headers: dict[str, str], requests: int
) -> None:
    server.routes[PATH] = json_reply(GRID, **headers)
    ask(tmp_path, nws_at(server))
    ask(tmp_path, nws_at(server), NOW + MINUTE)
    assert server.count() == requests


def test_an_answer_that_must_not_be_stored_is_not(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="No-Store", etag='"a"')
    ask(tmp_path, nws_at(server))
    assert entries(tmp_path) == []


def test_keep_h_spares_the_service_for_so_long(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = json_reply(GRID)
    for hours in (0, 1, 335):
        ask(tmp_path, nws_at(server), NOW + timedelta(hours=hours), keep_h=336)
    assert server.count() == 1
    ask(tmp_path, nws_at(server), NOW + timedelta(hours=336), keep_h=336)
    assert server.count() == 2


@pytest.mark.parametrize("keep_h", [0, 336])
def test_a_copy_from_the_future_is_asked_for_again(
    server: WeatherServer, tmp_path: Path, keep_h: float
) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=9999")
    ask(tmp_path, nws_at(server), NOW + MINUTE)
    ask(tmp_path, nws_at(server), NOW, keep_h=keep_h)
    assert server.count() == 2


def test_conditions_are_echoed_letter_by_letter_even_from_the_future(
    server: WeatherServer, tmp_path: Path
) -> None:
    stamp = "Mon, 29 Feb 2038  07:00:00 GMT"
    server.routes[PATH] = conditional(BODY, etag='W/"33--gzip"', last_modified=stamp)
    ask(tmp_path, nws_at(server))
    ask(tmp_path, nws_at(server), NOW + MINUTE)
    sent = server.asked[1].headers
    assert (sent["if-none-match"], sent["if-modified-since"]) == ('W/"33--gzip"', stamp)
    assert "if-none-match" not in server.asked[0].headers


@pytest.mark.parametrize("told", [{"etag": '"a"'}, {"last_modified": "yesterday, as it were"}])
def test_not_modified_confirms_the_copy(
    server: WeatherServer, tmp_path: Path, told: dict[str, str]
) -> None:
    server.routes[PATH] = conditional(BODY, **told)
    ask(tmp_path, nws_at(server))
    for minutes in (1, 2):
        fetched = ask(tmp_path, nws_at(server), NOW + minutes * MINUTE)
        assert fetched.value == GRID
        assert (fetched.asked, fetched.fetched_at) == (True, NOW + minutes * MINUTE)
    assert server.count() == 3


def test_not_modified_renews_the_time_and_keeps_the_conditions(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = [
        json_reply(GRID, etag='"a"', last_modified="then"),
        Reply(status=304, headers={"cache-control": "max-age=600"}),
        Reply(status=304, headers={"etag": '"b"'}),
        Reply(status=304),
    ]
    for minutes in (0, 1, 10, 11, 12):
        ask(tmp_path, nws_at(server), NOW + minutes * MINUTE)
    assert server.count() == 4
    assert [asked.headers["if-none-match"] for asked in server.asked[1:]] == ['"a"', '"a"', '"b"']
    assert server.asked[3].headers["if-modified-since"] == "then"


def test_not_modified_without_a_copy_is_asked_once_more_without_conditions(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = [Reply(status=304), json_reply(GRID)]
    assert ask(tmp_path, nws_at(server)).value == GRID
    assert server.count() == 2


def test_not_modified_twice_without_a_copy_is_no_answer(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = Reply(status=304)
    with pytest.raises(SourceDown, match="status 304, not modified"):
        ask(tmp_path, nws_at(server))
    assert server.count() == 2


def newer_read(body: bytes) -> object:
    """A parser that asks for more than the one that kept the copy."""
    if b"gridX" not in body:
        raise SourceGarbled("nws: gridX is missing")
    return read_json(body)


@pytest.mark.parametrize("cache_control", ["max-age=600", "max-age=0"])
def test_a_copy_that_the_parser_no_longer_takes_is_asked_for_anew(
    server: WeatherServer, tmp_path: Path, cache_control: str
) -> None:
    def answer(asked: Asked) -> Reply:
        if "if-none-match" in asked.headers:
            return Reply(status=304)
        return json_reply({"gridX": 59}, etag='"b"')

    server.routes[PATH] = json_reply(GRID, cache_control=cache_control, etag='"a"')
    ask(tmp_path, nws_at(server))
    server.routes[PATH] = answer
    with quick_fetcher(AnswerCache(tmp_path), limits=PATIENT) as fetcher:
        fetched = fetcher.get(nws_at(server), PATH, now=NOW, read=newer_read)
    assert fetched.value == {"gridX": 59}


@pytest.mark.parametrize(
    "bad",
    [html_reply(), Reply(body=BODY[:10]), Reply(), Reply(body=b" \n"), Reply(status=500)],
    ids=["html", "cut json", "empty", "blank", "500"],
)
def test_a_bad_answer_leaves_the_last_good_copy_and_is_not_used_in_its_place(
    server: WeatherServer, tmp_path: Path, bad: Route
) -> None:
    server.routes[PATH] = json_reply(GRID, etag='"a"')
    ask(tmp_path, nws_at(server))
    before = entries(tmp_path)
    server.routes[PATH] = bad
    with pytest.raises((SourceDown, SourceGarbled)):
        ask(tmp_path, nws_at(server), NOW + MINUTE)
    assert entries(tmp_path) == before
    server.routes[PATH] = conditional(BODY, etag='"a"')
    assert ask(tmp_path, nws_at(server), NOW + 2 * MINUTE).value == GRID


def test_a_good_answer_after_a_bad_one_is_kept(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = [html_reply(), json_reply(GRID, cache_control="max-age=600")]
    ask(tmp_path, nws_at(server))
    assert not ask(tmp_path, nws_at(server)).asked


def test_what_is_forgotten_is_asked_for_anew(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=600", etag='"a"')
    ask(tmp_path, nws_at(server), params={"units": "si"})
    with quick_fetcher(AnswerCache(tmp_path), limits=PATIENT) as fetcher:
        fetcher.forget(nws_at(server), PATH, params={"units": "si"})
    assert ask(tmp_path, nws_at(server), params={"units": "si"}).asked
    assert "if-none-match" not in server.asked[1].headers


def test_forgetting_without_a_cache_is_nothing(server: WeatherServer) -> None:
    with quick_fetcher() as fetcher:
        fetcher.forget(nws_at(server), PATH)
    assert server.count() == 0


def test_copies_are_told_apart_by_path_parameters_form_and_base(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes = {
        path: json_reply(path, cache_control="max-age=600")
        for path in (PATH, PATH + "/stations", "/mirror" + PATH)
    }
    service, mirror = nws_at(server), nws_at(server.url + "/mirror")
    for _ in range(2):
        ask(tmp_path, service)
        ask(tmp_path, service, path=PATH + "/stations")
        ask(tmp_path, service, params={"limit": "3"})
        ask(tmp_path, service, accept="application/geo+json")
        ask(tmp_path, mirror)
    assert server.count() == 5
    assert ask(tmp_path, service).value == PATH


def test_the_order_of_parameters_makes_no_other_copy(server: WeatherServer, tmp_path: Path) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=600")
    ask(tmp_path, nws_at(server), params={"a": "1", "b": "2"})
    assert not ask(tmp_path, nws_at(server), params={"b": "2", "a": "1"}).asked


def test_a_key_is_neither_stored_nor_part_of_what_is_kept(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes["/old"] = Reply(status=301, headers={"location": PATH + "?apikey=hush-1"})
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=600")
    first = ask(tmp_path, nws_at(server), path="/old", params={"apikey": "hush-1"})
    assert server.asked[1].params == {"apikey": "hush-1"}
    assert first.url.endswith(PATH + "?apikey=***")
    assert not any(b"hush" in entry for entry in entries(tmp_path))
    second = ask(tmp_path, nws_at(server), path="/old", params={"apikey": "hush-2"})
    assert not second.asked


def test_a_kept_copy_is_used_while_the_service_is_out(tmp_path: Path) -> None:
    with WeatherServer({PATH: json_reply(GRID, cache_control="max-age=600")}) as server:
        ask(tmp_path, nws_at(server))
    with quick_fetcher(AnswerCache(tmp_path), limits=PATIENT) as fetcher:
        with pytest.raises(SourceDown):
            fetcher.get(nws_at(server), "/other", now=NOW, read=read_json)
        assert fetcher.get(nws_at(server), PATH, now=NOW, read=read_json).value == GRID


def test_a_folder_that_cannot_be_used_does_not_stop_the_morning(
    server: WeatherServer, tmp_path: Path
) -> None:
    server.routes[PATH] = json_reply(GRID, cache_control="max-age=600")
    (tmp_path / "cache").write_text("in the way")
    assert ask(tmp_path / "cache", nws_at(server)).value == GRID
    assert ask(tmp_path / "cache", nws_at(server)).value == GRID
    assert server.count() == 2
