"""From settings to what a run needs besides a desk."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime, time
from pathlib import Path

import pytest
from support.books import claimed, learned
from support.configs import OUTFIT, write_config
from support.outlooks import outlook

from windowcast.problems import ConfigProblem
from windowcast.settings import Settings, load_settings
from windowcast.store.book import open_book
from windowcast.terms.delivery import Recipient
from windowcast.terms.kept import Learned
from windowcast.terms.yard import Place
from windowcast.wiring_out import channels_of, recipients_of, run_times, zone_of

NOW = datetime(2027, 1, 12, 14, tzinfo=UTC)
TIMES = 'run_at = ["06:00", "12:30"]\nzone = "America/Boise"\n'
MAIL = """
[mail]
host = "mail.vellamoor.example"
from = "office@vellamoor.example"
to = ["ines@vellamoor.example", "jo@vellamoor.example"]
user = "office"
password_env = "MAIL_PASSWORD"
"""
POSTS = """
[[posts]]
name = "screen"
url = "https://screen.vellamoor.example/mornings"
token_env = "SCREEN_TOKEN"
[[posts]]
name = "shop"
url = "https://shop.vellamoor.example/"
"""
SECRETS = {"MAIL_PASSWORD": "s3cret", "SCREEN_TOKEN": "t0ken"}


def settings(folder: Path, before: str = "", after: str = "") -> Settings:
    return load_settings(write_config(folder, outfit=before + OUTFIT + after))


def test_mail_and_posts_become_recipients_in_order(tmp_path: Path) -> None:
    assert recipients_of(settings(tmp_path, after=MAIL + POSTS)) == (
        Recipient(channel="mail", address="ines@vellamoor.example"),
        Recipient(channel="mail", address="jo@vellamoor.example"),
        Recipient(channel="post", address="screen"),
        Recipient(channel="post", address="shop"),
    )


def test_without_mail_and_posts_there_is_nobody_and_no_channel(tmp_path: Path) -> None:
    assert recipients_of(settings(tmp_path)) == ()
    assert channels_of(settings(tmp_path), {}) == ()


def test_a_channel_for_each_kind_holds_what_the_file_says(tmp_path: Path) -> None:
    mail, post = channels_of(settings(tmp_path, after=MAIL + POSTS), SECRETS)
    assert (mail.name, post.name) == ("mail", "post")
    assert (mail.host, mail.port, mail.security) == ("mail.vellamoor.example", 587, "starttls")  # type: ignore[attr-defined]
    assert (mail.user, mail.password) == ("office", "s3cret")  # type: ignore[attr-defined]
    assert set(post.posts) == {"screen", "shop"}  # type: ignore[attr-defined]
    assert post.tokens == {"screen": "t0ken"}  # type: ignore[attr-defined]


def test_no_secret_shows_in_a_channel(tmp_path: Path) -> None:
    told = repr(channels_of(settings(tmp_path, after=MAIL + POSTS), SECRETS))
    assert not any(secret in told for secret in SECRETS.values())


@pytest.mark.parametrize("gone", SECRETS)
def test_a_secret_that_is_gone_is_a_fault_of_the_configuration(tmp_path: Path, gone: str) -> None:
    rest = {name: value for name, value in SECRETS.items() if name != gone}
    with pytest.raises(ConfigProblem, match=gone):
        channels_of(settings(tmp_path, after=MAIL + POSTS), rest)


def test_times_to_run_at_come_with_their_clock(tmp_path: Path) -> None:
    assert run_times(settings(tmp_path, TIMES)) == ((time(6), time(12, 30)), "America/Boise")
    with pytest.raises(ConfigProblem, match="no time is written at which the morning is due"):
        run_times(settings(tmp_path / "without"))


def test_the_clock_is_that_of_the_outfit_else_of_a_yard_that_is_known(tmp_path: Path) -> None:
    outfit = settings(tmp_path)
    with closing(open_book(outfit.outfit.book)) as book:
        assert zone_of(settings(tmp_path / "timed", TIMES), book) == "America/Boise"
        assert zone_of(outfit, book) == "UTC"
        told = learned(outlook("kiln"))
        placed = Learned(fresh=told.fresh, places={"kiln": Place(tz="America/Los_Angeles")})
        book.keep_result(claimed(book), placed, [], NOW)
        assert zone_of(outfit, book) == "America/Los_Angeles"
