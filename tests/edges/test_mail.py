"""Mails as a server gets them, read back with the standard parser."""

import logging
import ssl
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import trustme
from support.letters import ANNA, IDENTITY, LETTER, NOW, PASSWORD, send, smtp
from support.mail_servers import MailServer, RawServer, Replies, answering

from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import MAIL, Recipient

HELLO, OK = "220 mail.vellamoor.example", "250 OK"
AGAIN = "; it will be tried again with the next run"


@pytest.fixture
def server() -> Iterator[MailServer]:
    with MailServer() as running:
        yield running


@pytest.fixture(scope="module")
def authority() -> trustme.CA:
    return trustme.CA()


@pytest.fixture
def ca_file(authority: trustme.CA, tmp_path: Path) -> Path:
    path = tmp_path / "ca.pem"
    authority.cert_pem.write_to_path(str(path))
    return path


def context(authority: trustme.CA, *names: str) -> ssl.SSLContext:
    """What a server needs to speak TLS under these names."""
    made = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    authority.issue_cert(*names).configure_cert(made)
    return made


def refusal(channel, **given) -> str:
    """The sentence with which a letter was not sent."""
    with pytest.raises(NoticeProblem) as caught:
        send(channel, **given)
    told = str(caught.value)
    assert PASSWORD not in told
    assert len(told.splitlines()) == 1
    assert told.startswith("mail to anna@vellamoor.example: ")
    return told.removeprefix("mail to anna@vellamoor.example: ")


def test_a_mail_arrives_with_both_parts_and_the_subject(server: MailServer) -> None:
    send(smtp(server.port))
    (got,) = server.inbox
    assert (got.sender, got.recipients) == ("office@vellamoor.example", (ANNA.address,))
    assert got.mail["Subject"] == LETTER.subject
    assert got.text("plain") == LETTER.text
    assert got.text("html") == LETTER.html
    assert [part.get_content_type() for part in got.mail.walk()] == [
        "multipart/alternative", "text/plain", "text/html",
    ]  # fmt: skip


def test_the_head_of_a_mail_says_from_whom_to_whom_and_when(server: MailServer) -> None:
    send(smtp(server.port))
    mail = server.inbox[0].mail
    assert mail["From"] == "Vellamoor Bees <office@vellamoor.example>"
    assert mail["To"] == "anna@vellamoor.example"
    assert mail["Date"].datetime == NOW
    assert mail["Auto-Submitted"] == "auto-generated"
    assert mail["List-Id"] == "<windowcast.vellamoor.example>"
    assert [name for name in mail if name.lower().startswith("x-")] == []


def test_every_try_for_a_recipient_carries_the_same_number(server: MailServer) -> None:
    channel = smtp(server.port)
    send(channel)
    send(channel)
    channel.send(LETTER, ANNA, IDENTITY + "2", NOW)
    first, second, other = (got.mail["Message-ID"] for got in server.inbox)
    assert first == second != other
    digest = "e7d19fbad98f59b86aa26d414c0b9520d35786b6379b43f1c552a21cf9e531b0"
    assert first == f"<{digest}@vellamoor.example>"  # by sha256sum of coreutils


def test_a_letter_with_the_longest_lines_and_all_alphabets_arrives_whole(
    server: MailServer,
) -> None:
    text = "x" * 3000 + "\n.\n..\n雪と蜂 🐝 ولد \u200f\n" + "é" * 3000 + "\n"
    send(smtp(server.port), replace(LETTER, text=text))
    (got,) = server.inbox
    assert got.text("plain") == text
    assert got.content.isascii()
    assert max(len(line) for line in got.content.split(b"\r\n")) <= 998


@pytest.mark.parametrize(
    "address",
    ["anna", "anna@", "@b.example", "a b@c.example", "a@b.example, c@d.example",
     "a@b.example>", "ä@b.example", "a@b..example", "a@b.example\u2028c", '"a b"@c.example'],
)  # fmt: skip
def test_what_is_no_address_is_refused_before_anything_is_sent(
    server: MailServer, address: str
) -> None:
    to = Recipient(channel=MAIL, address="x@vellamoor.example")
    object.__setattr__(to, "address", address)  # as if the settings had let it through
    with pytest.raises(NoticeProblem, match="is not an address that mail can go to"):
        send(smtp(server.port), to=to)
    assert server.inbox == []


@pytest.mark.parametrize("at_once", [False, True], ids=["starttls", "tls"])
def test_a_mail_goes_out_over_a_checked_connection(
    authority: trustme.CA, ca_file: Path, at_once: bool
) -> None:
    secure = context(authority, "localhost")
    security = "tls" if at_once else "starttls"
    with MailServer(context=secure, at_once=at_once) as server:
        send(smtp(server.port, host="localhost", security=security, ca_file=ca_file))
        assert len(server.inbox) == 1


@pytest.mark.parametrize("at_once", [False, True], ids=["starttls", "tls"])
def test_a_certificate_for_another_host_is_refused(
    authority: trustme.CA, ca_file: Path, at_once: bool
) -> None:
    secure = context(authority, "mail.elsewhere.example")
    security = "tls" if at_once else "starttls"
    with MailServer(context=secure, at_once=at_once) as server:
        told = refusal(smtp(server.port, host="localhost", security=security, ca_file=ca_file))
        assert server.inbox == []
    assert told.startswith("the certificate of localhost is not valid (")
    assert "so nothing was sent; check host in [mail]" in told


def test_a_certificate_of_an_unknown_authority_is_refused(authority: trustme.CA) -> None:
    with MailServer(context=context(authority, "localhost")) as server:
        told = refusal(smtp(server.port, host="localhost", security="starttls"))
        assert server.inbox == []
    assert "name the authority behind it in ca_file" in told


def test_without_starttls_nothing_is_sent(server: MailServer) -> None:
    told = refusal(smtp(server.port, security="starttls", user="anna", password=PASSWORD))
    assert told.startswith("127.0.0.1 offers no STARTTLS, so nothing was sent; write")
    assert (server.inbox, server.users) == ([], [])


def test_tls_with_a_server_that_does_not_speak_it_is_refused(server: MailServer) -> None:
    told = refusal(smtp(server.port, security="tls"))
    assert told.startswith("no secure connection with 127.0.0.1 came about, so nothing was sent")


@pytest.mark.parametrize("text", ["", "no certificate"])
def test_a_file_that_holds_no_authority_is_named(tmp_path: Path, text: str) -> None:
    path = tmp_path / "ca.pem"
    path.write_text(text)
    told = refusal(smtp(1, security="tls", ca_file=path))
    assert told.startswith(f"ca_file {path} cannot be read as certificates")


def test_security_none_leaves_this_machine_by_no_name() -> None:
    told = refusal(smtp(25, host="192.0.2.1"))  # RFC 5737: nobody's address
    assert told.startswith("192.0.2.1 is not on this machine, so nothing was sent")


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "127.9.9.9"])
def test_security_none_is_for_this_machine(host: str) -> None:
    told = refusal(smtp(1, host=host))
    assert told == f"{host} refused the connection; check host and port in [mail] of outfit.toml"


def test_a_server_that_is_not_found_is_named() -> None:
    told = refusal(smtp(25, host="mail.invalid"))  # RFC 2606: never there
    assert told == "the server mail.invalid was not found; check host in [mail] of outfit.toml"


def test_a_login_opens_the_server() -> None:
    replies = Replies(logins={"anna": PASSWORD})
    with MailServer(replies) as server:
        send(smtp(server.port, user="anna", password=PASSWORD))
        assert (server.users, len(server.inbox)) == (["anna"], 1)


def test_a_refused_login_says_what_large_services_want() -> None:
    with MailServer(Replies(logins={"anna": "another"})) as server:
        told = refusal(smtp(server.port, user="anna", password=PASSWORD))
        assert server.inbox == []
    assert told.startswith("127.0.0.1 refused the login (535, ")
    assert "Gmail takes an app password only" in told
    assert "Microsoft has turned SMTP with a password off" in told


def test_a_server_without_login_is_named() -> None:
    with RawServer(answering(HELLO, OK, OK)) as server:
        told = refusal(smtp(server.port, user="anna", password=PASSWORD))
    assert told.startswith("127.0.0.1 offers no login, so nothing was sent")


@pytest.mark.parametrize(
    ("replies", "told"),
    [
        (["421 too busy"], f'127.0.0.1 put it off (421, "too busy"){AGAIN}'),
        (["554 go away"], '127.0.0.1 refused the mail (554, "go away"); ask whoever'),
        ([HELLO, OK, "451 not now"], f'127.0.0.1 put it off (451, "not now"){AGAIN}'),
        ([HELLO, OK, "553 not you"], '127.0.0.1 refused the sender (553, "not you"); check from'),
        ([HELLO, OK, OK, "451 greylisted"], f'127.0.0.1 put it off (451, "greylisted"){AGAIN}'),
        ([HELLO, OK, OK, "452 full"], f'127.0.0.1 put it off (452, "full"){AGAIN}'),
        ([HELLO, OK, OK, "550-5.1.1 nobody\r\n550 of that name"],
         '127.0.0.1 refused the address (550, "5.1.1 nobody"); check it in outfit.toml'),
        ([HELLO, OK, OK, OK, "452 no room"], f'127.0.0.1 put it off (452, "no room"){AGAIN}'),
        ([HELLO, OK, OK, OK, "354 go", "552 too large"],
         '127.0.0.1 refused the mail (552, "too large"); ask whoever'),
        ([HELLO, OK, OK, OK, "354 go", "251 perhaps"],
         '127.0.0.1 gave an answer that is none of mail\'s (251, "perhaps"); check host'),
        ([HELLO, OK, OK, OK, "354 go", ""],
         f"the connection broke off before 127.0.0.1 said yes{AGAIN}"),
        ([HELLO, OK, ""], f"the connection broke off before 127.0.0.1 said yes{AGAIN}"),
        ([""], f"the connection broke off before 127.0.0.1 said yes{AGAIN}"),
        (["HTTP/1.1 400 Bad Request"], "127.0.0.1 gave an answer that is none of mail's"),
        ([HELLO, OK, OK, f"550 {chr(27)}[31m{'x' * 500}"], "127.0.0.1 refused the address (550"),
    ],
)  # fmt: skip
def test_what_the_server_said_and_what_to_do_is_told(replies: list[str], told: str) -> None:
    with RawServer(answering(*replies)) as server:
        said = refusal(smtp(server.port))
    assert said.startswith(told)
    assert len(said) < 400
    assert said.isprintable()


def test_a_server_that_breaks_off_after_its_yes_has_the_mail() -> None:
    with RawServer(answering(HELLO, OK, OK, OK, "354 go", "250 taken")) as server:
        send(smtp(server.port))


@pytest.mark.parametrize("code", ["250", "554"])
def test_only_a_yes_to_the_whole_message_counts(code: str) -> None:
    refused = Replies(content=f"{code} so it is")
    with MailServer(refused) as server:
        if code == "250":
            send(smtp(server.port))
        else:
            refusal(smtp(server.port))
        assert len(server.inbox) == (code == "250")


def test_one_refused_recipient_does_not_pass_for_a_success() -> None:
    with MailServer(Replies(rcpt="550 nobody")) as server:
        assert "refused the address" in refusal(smtp(server.port))
        assert server.inbox == []


def dripping(reads, writes, over) -> None:
    for byte in HELLO.encode() * 1000:
        if over.wait(0.05):
            return
        writes.write(bytes([byte]))


def endless(reads, writes, over) -> None:
    while not over.is_set():
        writes.write(b"220-and\r\n")


def silent(reads, writes, over) -> None:
    over.wait(30)


def dripping_later(reads, writes, over) -> None:
    answering(HELLO, OK, OK)(reads, writes, over)
    reads.readline()
    dripping(reads, writes, over)


@pytest.mark.parametrize("talk", [dripping, silent, dripping_later])
@pytest.mark.parametrize("security", ["none", "starttls", "tls"])
def test_a_server_that_drips_or_hangs_is_left_at_the_deadline(talk, security: str) -> None:
    with RawServer(talk) as server:
        began = time.monotonic()
        told = refusal(smtp(server.port, security=security, deadline_s=0.5))
        assert time.monotonic() - began < 5.0
    if security == "none" or talk is silent:
        assert told == f"127.0.0.1 was not done within 0.5 s{AGAIN}"


def test_a_greeting_without_end_is_not_read_to_the_end() -> None:
    with RawServer(endless) as server:
        refusal(smtp(server.port, deadline_s=5.0))


def test_the_password_stands_nowhere(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    echo = f"535 no such login: {PASSWORD} AGFubmEAbW9zcy00NzExLWxpY2hlbg=="
    with RawServer(answering(HELLO, "250-x\r\n250 AUTH PLAIN", echo)) as server:
        channel = smtp(server.port, user="anna", password=PASSWORD)
        told = refusal(channel)
    assert told.startswith('127.0.0.1 refused the login (535, "no such login: *** ***")')
    assert PASSWORD not in repr(channel) + caplog.text


def test_a_security_that_is_none_is_no_channel() -> None:
    with pytest.raises(ValueError, match="'perhaps' is no security; use starttls, tls, none"):
        smtp(25, security="perhaps")


def is_lasting(channel) -> bool:
    with pytest.raises(NoticeProblem) as caught:
        send(channel)
    return caught.value.lasting


@pytest.mark.parametrize(
    ("replies", "lasting"),
    [
        (["421 too busy"], False),
        (["554 go away"], False),  # to anybody, perhaps because of too many
        ([HELLO, OK, "451 not now"], False),
        ([HELLO, OK, "553 not you"], True),
        ([HELLO, OK, OK, "450 greylisted"], False),
        ([HELLO, OK, OK, "550 nobody of that name"], True),
        ([HELLO, OK, OK, OK, "452 no room"], False),
        ([HELLO, OK, OK, OK, "554 no mail"], True),
        ([HELLO, OK, OK, OK, "354 go", "451 later"], False),
        ([HELLO, OK, OK, OK, "354 go", "552 too large"], True),
        ([HELLO, OK, OK, OK, "354 go", ""], False),
        (["HTTP/1.1 400 Bad Request"], False),
    ],
)
def test_a_no_for_good_is_told_from_one_that_may_pass(replies: list[str], lasting: bool) -> None:
    with RawServer(answering(*replies)) as server:
        assert is_lasting(smtp(server.port)) is lasting


@pytest.mark.parametrize(("code", "lasting"), [("535", True), ("454", False)])
def test_a_refused_login_lasts_and_one_that_is_put_off_does_not(code: str, lasting: bool) -> None:
    offer = "250-mail.vellamoor.example\r\n250 AUTH PLAIN"
    with RawServer(answering(HELLO, offer, f"{code} no")) as server:
        assert is_lasting(smtp(server.port, user="anna", password=PASSWORD)) is lasting


def test_faults_of_the_configuration_last(server: MailServer, authority: trustme.CA) -> None:
    assert is_lasting(smtp(server.port, security="starttls"))
    assert is_lasting(smtp(server.port, security="tls"))
    assert is_lasting(smtp(25, host="192.0.2.1"))
    with RawServer(answering(HELLO, OK, OK)) as without_login:
        assert is_lasting(smtp(without_login.port, user="anna", password=PASSWORD))
    with MailServer(context=context(authority, "127.0.0.1"), at_once=True) as unknown:
        assert is_lasting(smtp(unknown.port, security="tls"))


def test_a_server_that_is_away_may_come_back() -> None:
    assert not is_lasting(smtp(1))
    assert not is_lasting(smtp(25, host="mail.invalid"))
    with RawServer(silent) as server:
        assert not is_lasting(smtp(server.port, deadline_s=0.3))
    with RawServer(lambda *_: None) as broken_off:
        assert not is_lasting(smtp(broken_off.port, security="tls"))
