"""Hosts, addresses and secrets: whatever is written, it is taken or refused without an echo."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlsplit

from hypothesis import given
from hypothesis import strategies as st
from support.configs import OUTFIT, document, faults_of
from support.outcomes import value_or_refusal

from windowcast.channels.message import bare_address
from windowcast.settings.hosts import is_host, is_loopback
from windowcast.settings.mail import mail_address, mail_host, mailbox
from windowcast.settings.outfit import outfit_of
from windowcast.settings.posts import post_url
from windowcast.settings.readings import book_address, clock
from windowcast.settings.run_at import run_time
from windowcast.settings.spelling import toml_text
from windowcast.terms.delivery import MAIL, POST, Recipient

HERE = Path("here").absolute()
URL_BITS = (
    "http", "https", "://", ":", "/", "//", "@", "?", "#", "[", "]", "::1", "127.0.0.1",
    "localhost", ".", "example", "a", "-", "_", "\\", "%", " ", "\n", "\u0000", "\ud800", "８", "é",
    "99999", "0", "postgresql", "password=", "&", "=", "ffff",
)  # fmt: skip
bits = st.lists(st.sampled_from(URL_BITS), max_size=12).map("".join) | st.text()
values = st.none() | st.booleans() | st.integers() | st.floats() | st.lists(bits) | st.times()


@given(value=values | bits)
def test_any_value_is_read_or_refused(value: object) -> None:
    for read in (mail_host, mail_address, mailbox, post_url, book_address, clock, run_time):
        found, sentence = value_or_refusal(read, value)
        assert (found is None) != (sentence is None)
        assert sentence is None or "\n" not in sentence


@given(text=bits)
def test_any_text_is_a_host_or_none_and_only_a_host_is_this_machine(text: str) -> None:
    assert not is_loopback(text) or is_host(text)


@given(text=bits | st.from_regex(r"[a-z.]{0,9}@[a-z.-]{0,9}", fullmatch=True))
def test_an_address_that_settings_take_is_one_that_mail_takes(text: str) -> None:
    address, refused = value_or_refusal(mailbox, text)
    if refused is None:
        assert bare_address(str(address)) == address
        assert Recipient(channel=MAIL, address=str(address)).address == address


@given(secret=st.text(st.characters(codec="utf-8"), min_size=12, max_size=40), bits=bits)
def test_no_refusal_repeats_the_address_of_a_post(secret: str, bits: str) -> None:
    for url in (f"https://x.example/{secret}{bits}", f"{bits}{secret}"):
        _, sentence = value_or_refusal(post_url, url)
        assert sentence is None or secret not in sentence


@given(url=bits)
def test_an_address_that_is_taken_names_a_host_and_no_login(url: str) -> None:
    found, refused = value_or_refusal(post_url, url)
    if refused is None:
        parts = urlsplit(str(found))
        assert parts.scheme in ("http", "https")
        assert is_host(parts.hostname or "")
        assert "@" not in parts.netloc


@given(name=st.text(), url=bits)
def test_a_post_that_is_taken_can_be_a_recipient(name: str, url: str) -> None:
    text = f"{OUTFIT}[[posts]]\nname = {toml_text(name)}\nurl = {toml_text(url)}\nallow_http = true"
    read = document(text)
    if not faults_of(lambda: outfit_of(read, HERE)):
        (post,) = outfit_of(read, HERE).posts
        assert Recipient(channel=POST, address=post.name).address == post.name


SECRET = "s3cr3tXYZ"
KEYS = ("password", "token", "api_key", "url", "password_env", "token_env", "book")
around = st.text(st.sampled_from("\"'“”[]{}(),;:=#\\/@.- \t1aé"), max_size=6)


@given(
    key=st.sampled_from(KEYS),
    heading=st.sampled_from(["[mail]", "[[posts]]", "[[sources]]", ""]),
    sign=st.sampled_from(["=", " = ", ": ", ":", " "]),
    before=around,
    after=around,
)
def test_a_secret_is_never_repeated_however_its_line_is_spoilt(
    key: str, heading: str, sign: str, before: str, after: str
) -> None:
    told = faults_of(
        lambda: outfit_of(
            document(f"{OUTFIT}{heading}\n{key}{sign}{before}{SECRET}{after}\n"), HERE
        )
    )
    assert SECRET not in "".join(map(str, told))
