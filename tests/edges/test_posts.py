"""Posts against a server on loopback that answers, or misbehaves, as told."""

import logging
import ssl
import time
from typing import Any

import pytest
import requests
import trustme
from support.letters import HUB, IDENTITY, LETTER, NOW, send
from support.mail_servers import RawServer
from support.server import Reply, WeatherServer

from windowcast import __version__
from windowcast.channels.post import PostChannel
from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import POST, Recipient

SECRET = "hook-77-otter"
TOKEN = "fern-2211-heath"
AGAIN = "; it will be tried again with the next run"


def channel(server: WeatherServer, **changes: Any) -> PostChannel:
    """A channel to one post whose address holds a secret."""
    facts = {"posts": {"hub": f"{server.url}/{SECRET}?key={SECRET}"}, "deadline_s": 5.0}
    return PostChannel(**(facts | changes))


def answering(server: WeatherServer, reply: Reply) -> WeatherServer:
    server.routes[f"/{SECRET}"] = reply
    return server


def refusal(channel: PostChannel, to: Recipient = HUB) -> str:
    """The sentence with which a document was not taken, without the name of the post."""
    with pytest.raises(NoticeProblem) as caught:
        send(channel, to=to)
    told = str(caught.value)
    assert SECRET not in told
    assert TOKEN not in told
    assert len(told.splitlines()) == 1
    assert told.startswith(f"post {to.address}: ")
    return told.removeprefix(f"post {to.address}: ")


@pytest.mark.parametrize("status", [200, 201, 204, 299])
def test_a_post_is_taken_by_any_status_that_means_yes(server: WeatherServer, status: int) -> None:
    send(channel(answering(server, Reply(status=status))))
    (asked,) = server.asked
    assert (asked.method, asked.target) == ("POST", f"/{SECRET}?key={SECRET}")
    assert asked.body.decode() == LETTER.document


def test_the_head_of_a_post_says_what_it_is(server: WeatherServer) -> None:
    send(channel(answering(server, Reply())))
    heads = server.asked[0].headers
    assert heads["content-type"] == "application/json"
    assert heads["user-agent"] == f"windowcast/{__version__}"
    assert "authorization" not in heads
    assert "cookie" not in heads


def test_every_try_for_a_recipient_carries_the_same_key(server: WeatherServer) -> None:
    one = channel(answering(server, Reply()))
    send(one)
    send(one)
    one.send(LETTER, HUB, IDENTITY + "2", NOW)
    first, second, other = (asked.headers["idempotency-key"] for asked in server.asked)
    assert first == second != other
    assert len(first) == 64


def test_a_token_goes_along_where_one_is_given(server: WeatherServer) -> None:
    send(channel(answering(server, Reply()), tokens={"hub": TOKEN, "other": "x"}))
    assert server.asked[0].headers["authorization"] == f"Bearer {TOKEN}"


@pytest.mark.parametrize("token", ["", "a b", "a\r\nHost: b", "ä"])
def test_a_token_that_no_header_can_carry_is_refused(server: WeatherServer, token: str) -> None:
    told = refusal(channel(answering(server, Reply()), tokens={"hub": token}))
    assert told.startswith("its token has characters that a header cannot carry")
    assert server.asked == []


@pytest.mark.parametrize(
    ("status", "told"),
    [
        (301, "has moved (301, moved permanently); write the new address into url"),
        (304, "has moved (304, not modified); write the new address into url"),
        (400, "refused the document (400, bad request); ask whoever runs it"),
        (401, "refused the document (401, unauthorized); check its token in outfit.toml"),
        (404, "refused the document (404, not found); check its url in outfit.toml"),
        (410, "refused the document (410, gone); check its url in outfit.toml"),
        (429, f"put it off (429, too many requests){AGAIN}"),
        (500, f"put it off (500, internal server error){AGAIN}"),
        (599, f"put it off (599){AGAIN}"),
    ],
)
def test_any_other_status_is_told_with_what_to_do(
    server: WeatherServer, status: int, told: str
) -> None:
    elsewhere = {"location": f"{server.url}/elsewhere"}
    reply = Reply(status=status, headers=elsewhere, body=SECRET.encode())
    assert refusal(channel(answering(server, reply))).endswith(told)
    assert len(server.asked) == 1  # and no redirect was followed


def test_a_body_without_end_is_not_waited_for(server: WeatherServer) -> None:
    huge = Reply(body=b"x" * 50_000_000)
    began = time.monotonic()
    send(channel(answering(server, huge)))
    send(channel(answering(server, Reply(body=b"x" * 1000, drip_body_s=0.1))))
    assert time.monotonic() - began < 5.0


def test_a_head_that_drips_is_left_at_the_deadline(server: WeatherServer) -> None:
    slow = answering(server, Reply(drip_headers_s=0.1))
    began = time.monotonic()
    assert refusal(channel(slow, deadline_s=0.5)) == (f"127.0.0.1 was not done within 0.5 s{AGAIN}")
    assert time.monotonic() - began < 5.0


def test_a_head_without_end_is_not_read_to_the_end() -> None:
    def endless(reads: Any, writes: Any, over: Any) -> None:
        writes.write(b"HTTP/1.1 200 OK\r\n")
        while not over.is_set():
            writes.write(b"x: y\r\n")

    with RawServer(endless) as raw:
        posts = {"hub": f"http://127.0.0.1:{raw.port}/{SECRET}"}
        told = refusal(PostChannel(posts=posts, deadline_s=5.0))
    assert told == f"127.0.0.1 broke off the connection before it said yes{AGAIN}"


@pytest.mark.parametrize(
    "reply", [Reply(reset=True), Reply(raw=b""), Reply(raw=b"220 mail.vellamoor.example\r\n")]
)
def test_a_connection_that_ends_too_soon_is_no_success(server: WeatherServer, reply: Reply) -> None:
    told = refusal(channel(answering(server, reply)))
    assert told == f"127.0.0.1 broke off the connection before it said yes{AGAIN}"


@pytest.mark.parametrize(
    ("url", "told"),
    [
        ("http://127.0.0.1:1/x", "127.0.0.1 refused the connection; check its url"),
        ("https://hub.invalid/x", "hub.invalid was not found; check its url"),  # RFC 2606
        ("ftp://hub.example/x", "hub.example cannot be reached by the address"),
        ("http://[::1/x", "its host cannot be reached by the address"),
        ("hub.example/x", "its host cannot be reached by the address"),
    ],
)
def test_an_address_that_leads_nowhere_is_told(url: str, told: str) -> None:
    assert refusal(PostChannel(posts={"hub": url}, deadline_s=5.0)).startswith(told)


def test_a_certificate_that_nobody_vouches_for_is_refused(server: WeatherServer) -> None:
    secure = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    trustme.CA().issue_cert("localhost").configure_cert(secure)

    def shaken(reads: Any, writes: Any, over: Any) -> None:
        incoming, outgoing = ssl.MemoryBIO(), ssl.MemoryBIO()
        tls = secure.wrap_bio(incoming, outgoing, server_side=True)
        while not over.is_set():
            incoming.write(reads.read1(65536))
            try:
                tls.do_handshake()
            except ssl.SSLWantReadError:
                writes.write(outgoing.read())
            except ssl.SSLError:
                return

    with RawServer(shaken) as raw:
        posts = {"hub": f"https://localhost:{raw.port}/{SECRET}"}
        told = refusal(PostChannel(posts=posts, deadline_s=5.0))
        assert is_lasting(PostChannel(posts=posts, deadline_s=5.0))
    assert told.startswith("localhost has no valid certificate, so nothing was sent")


def test_a_post_that_is_not_configured_is_named(server: WeatherServer) -> None:
    told = refusal(channel(server), Recipient(channel=POST, address="barn"))
    assert told == "outfit.toml names no such post; add it, or name one"


def test_no_proxy_and_no_password_of_the_machine_is_used(
    server: WeatherServer, monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    netrc = tmp_path / "netrc"
    netrc.write_text("machine 127.0.0.1 login a password b\n")
    netrc.chmod(0o600)
    monkeypatch.setenv("NETRC", str(netrc))
    monkeypatch.setenv("http_proxy", "http://127.0.0.1:1")
    assert requests.utils.get_netrc_auth(server.url) == ("a", "b")
    send(channel(answering(server, Reply())))
    assert "authorization" not in server.asked[0].headers


def test_addresses_and_tokens_stand_nowhere(
    server: WeatherServer, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    one = channel(answering(server, Reply(status=401)), tokens={"hub": TOKEN})
    refusal(one)
    assert SECRET not in repr(one) + caplog.text
    assert TOKEN not in repr(one) + caplog.text


def is_lasting(channel: PostChannel, to: Recipient = HUB) -> bool:
    with pytest.raises(NoticeProblem) as caught:
        send(channel, to=to)
    return caught.value.lasting


@pytest.mark.parametrize(
    ("status", "lasting"),
    [(400, True), (401, True), (403, True), (404, True), (410, True), (302, False), (408, False),
     (409, False), (425, False), (429, False), (500, False), (503, False)],
)  # fmt: skip
def test_a_no_for_good_is_told_from_one_that_may_pass(
    server: WeatherServer, status: int, lasting: bool
) -> None:
    assert is_lasting(channel(answering(server, Reply(status=status)))) is lasting


def test_faults_of_the_configuration_last(server: WeatherServer) -> None:
    assert is_lasting(channel(server), Recipient(channel=POST, address="barn"))
    assert is_lasting(channel(server, tokens={"hub": "a b"}))
    assert is_lasting(PostChannel(posts={"hub": "ftp://hub.example/x"}))
    with RawServer(lambda _, writes, __: writes.write(b"HTTP/1.1 400 No\r\n\r\n")) as plain:
        posts = {"hub": f"https://127.0.0.1:{plain.port}/x"}
        assert is_lasting(PostChannel(posts=posts, deadline_s=5.0))


def test_a_program_that_is_away_may_come_back(server: WeatherServer) -> None:
    assert not is_lasting(channel(answering(server, Reply(reset=True))))
    assert not is_lasting(PostChannel(posts={"hub": "http://127.0.0.1:1/x"}, deadline_s=5.0))
    assert not is_lasting(PostChannel(posts={"hub": "https://hub.invalid/x"}, deadline_s=5.0))
    assert not is_lasting(channel(answering(server, Reply(drip_headers_s=0.1)), deadline_s=0.4))
