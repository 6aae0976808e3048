"""``windowcast run`` over real sockets: kept, printed, mailed, and said where it failed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest
from support.mail_servers import MailServer
from support.office import GRID, ISSUED, POINT, START, Ran, office_routes, sound_grid, windowcast
from support.rounds_out import TO, mail_table, sending
from support.server import Asked, Reply, WeatherServer, json_reply

from windowcast.store.book import Book, open_book
from windowcast.terms.kept import Holder, SlotKey

SIX = "2027-01-12T06:00-08:00"
SLOT = SlotKey(day=date(2027, 1, 12), at=time(6))


@dataclass
class World:
    """An outfit with a weather office and a mail server."""

    config: Path
    weather: WeatherServer
    mail: MailServer

    def run(self, *words: str, at: str = SIX) -> Ran:
        return windowcast("run", "--config", self.config, "--at", at, *words)

    def due(self, at: str = SIX) -> Ran:
        return self.run("--if-due", at=at)

    def configure(self, more: str) -> None:
        sending(self.config, self.weather.url, more)

    def book(self) -> Book:
        return open_book(self.config / "state" / "book.sqlite")

    @property
    def reached(self) -> list[str]:
        return [address for got in self.mail.inbox for address in got.recipients]

    @property
    def subjects(self) -> list[str]:
        return [str(got.mail["Subject"]) for got in self.mail.inbox]


@pytest.fixture
def world(tmp_path: Path) -> Iterator[World]:
    with WeatherServer(office_routes()) as weather, MailServer() as mail:
        yield World(sending(tmp_path / "bees", weather.url, mail_table(mail.port)), weather, mail)


def away(world: World) -> None:
    world.weather.routes[POINT] = Reply(status=503)
    world.weather.routes[GRID] = Reply(status=503)


def test_a_run_prints_the_notice_and_mails_it_to_each(world: World) -> None:
    ran = world.run()
    assert ran.returncode == 0
    assert ran.stdout.startswith("Vellamoor Bees, Tue 12 Jan 2027, 06:00")
    assert ran.stderr == "Sent to 2 of 2.\n"
    assert world.reached == list(TO)
    assert world.mail.inbox[0].text("plain") == ran.stdout
    assert world.subjects[0].startswith("Go today 08:00-16:00: the one yard")


def test_the_next_run_sends_it_to_nobody_and_says_who_has_it(world: World) -> None:
    world.run()
    ran = world.run()
    assert ran.returncode == 0
    assert ran.stderr == f"Sent to 0 of 2; already has it: {TO[0]}, {TO[1]}.\n"
    assert len(world.reached) == 2


def test_again_sends_it_to_everybody(world: World) -> None:
    world.run()
    assert world.run("--again").returncode == 0
    assert world.reached == [*TO, *TO]
    assert len({str(got.mail["Message-ID"]) for got in world.mail.inbox}) == 4


def test_a_run_keeps_the_weather(world: World) -> None:
    world.run()
    with closing(world.book()) as book:
        kept = book.outlook_of("kiln", datetime(2027, 1, 1, tzinfo=UTC))
    assert kept is not None
    assert kept.place.tz == "America/Los_Angeles"


def test_with_nobody_to_send_it_to_it_is_kept_and_printed(world: World) -> None:
    world.configure("")
    ran = world.run()
    assert ran.returncode == 0
    assert ran.stdout.startswith("Vellamoor Bees")
    assert ran.stderr == "Nobody is named in outfit.toml to send it to; it is kept in the book.\n"


def test_the_document_is_printed_where_it_is_asked_for(world: World) -> None:
    ran = world.run("--json")
    assert json.loads(ran.stdout)["outfit"] == "Vellamoor Bees"
    assert len(world.reached) == 2


def test_a_refused_mail_is_said_and_the_next_run_sends_only_that(world: World) -> None:
    world.run()
    world.configure(mail_table(world.mail.port, (*TO, "jo@vellamoor.example")))
    world.mail.replies.rcpt = "451 mailbox is busy"
    ran = world.run()
    assert ran.returncode == 5
    first, second = ran.stderr.splitlines()
    assert first == f"Sent to 0 of 3; already has it: {TO[0]}, {TO[1]}."
    assert second.startswith("Not sent: mail to jo@vellamoor.example: ")
    world.mail.replies.rcpt = "250 OK"
    assert world.run().stderr.startswith("Sent to 1 of 3; already")
    assert world.reached == [*TO, "jo@vellamoor.example"]


def test_a_server_that_is_away_is_tried_again_after_a_quarter_of_an_hour(world: World) -> None:
    port = world.mail.port
    world.configure(mail_table(9))
    assert world.due().returncode == 5
    world.configure(mail_table(port))
    assert world.due("2027-01-12T06:14-08:00").stderr == "Nothing is due.\n"
    assert world.due("2027-01-12T06:16-08:00").returncode == 0
    assert world.reached == list(TO)


def test_without_a_forecast_a_letter_says_so_and_the_morning_follows(world: World) -> None:
    routes = dict(world.weather.routes)
    away(world)
    ran = world.due()
    assert ran.returncode == 4
    assert ran.stdout == ""
    assert ran.stderr.startswith("no usable forecast for the one yard:")
    assert ran.stderr.endswith("\nTold 2 recipients that there is none.\n")
    again = world.due("2027-01-12T06:16-08:00")
    assert again.returncode == 4
    assert "Told" not in again.stderr
    assert [s.startswith("No forecast this morning") for s in world.subjects] == [True, True]
    world.weather.routes.update(routes)
    assert world.due("2027-01-12T06:32-08:00").returncode == 0
    assert [s.startswith("Late 06:32: ") for s in world.subjects] == [False, False, True, True]


def test_a_missed_morning_is_said_in_the_next(world: World) -> None:
    world.due()
    later = sound_grid(issued=ISSUED + timedelta(days=2), start=START + timedelta(days=2))
    world.weather.routes.update(office_routes(later))
    ran = world.due("2027-01-14T06:00-08:00")
    assert ran.returncode == 0
    assert "the morning of Wed 13 Jan 06:00 was missed: nobody ran it in time" in " ".join(
        ran.stdout.split()
    )
    assert "was missed" not in world.run(at="2027-01-14T07:00-08:00").stdout


def test_if_due_does_nothing_before_its_time_and_after_it_was_done(world: World) -> None:
    world.due()
    for at in ("2027-01-12T06:30-08:00", "2027-01-13T05:59-08:00"):
        ran = world.due(at)
        assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "Nothing is due.\n")


def test_if_due_without_times_to_run_at_is_a_fault_of_the_configuration(world: World) -> None:
    path = world.config / "outfit.toml"
    path.write_text(path.read_text("utf-8").partition("\n")[2], "utf-8")
    ran = world.due()
    assert ran.returncode == 3
    assert ran.stderr == (
        "outfit.toml: run_at: no time is written at which the morning is due;"
        ' write run_at = ["06:00"], and zone = "America/Boise" with yours\n'
    )
    assert world.run().returncode == 0


def test_if_due_and_again_do_not_go_together(world: World) -> None:
    assert world.run("--if-due", "--again").returncode == 2


def test_a_slot_that_another_holds_is_left_to_it(world: World) -> None:
    now = datetime(2027, 1, 12, 14, tzinfo=UTC)
    with closing(world.book()) as book:
        book.claim_slot(SLOT, Holder(host="shed", pid=41), now, timedelta(minutes=10))
    ran = world.run()
    assert ran.returncode == 6
    assert ran.stderr == (
        "The run of Tue 12 Jan 06:00 is under way in process 41 on shed; it has it until 14:10 UTC"
        " at the latest, wait for it\n"
    )
    assert world.due().returncode == 0
    assert world.reached == []


def test_a_secret_that_is_gone_is_said_before_anything_is_claimed(world: World) -> None:
    login = 'user = "office"\npassword_file = "gone"\n'
    world.configure(mail_table(world.mail.port) + login)
    assert world.run().returncode == 3
    with closing(world.book()) as book:
        assert book.runs(SLOT.day) == ()


def test_a_book_that_is_no_book_ends_the_run_and_nothing_is_sent(world: World) -> None:
    (world.config / "state").mkdir()
    (world.config / "state" / "book.sqlite").write_text("no book at all, but long enough " * 40)
    ran = world.run()
    assert ran.returncode == 1
    assert "is a file but no book" in ran.stderr
    assert world.reached == []


def test_a_document_is_posted_to_a_program(world: World) -> None:
    got: list[Asked] = []

    def take(asked: Asked) -> Reply:
        got.append(asked)
        return json_reply({})

    world.weather.routes["/mornings"] = take
    world.configure(f'[[posts]]\nname = "screen"\nurl = "{world.weather.url}/mornings"\n')
    ran = world.run()
    assert (ran.returncode, ran.stderr) == (0, "Sent to 1 of 1.\n")
    assert [asked.method for asked in got] == ["POST"]
    assert "already has it: screen" in world.run().stderr


def test_a_run_for_a_blind_yard_says_that_something_is_missing(world: World) -> None:
    path = world.config / "yards.csv"
    path.write_text(path.read_text("utf-8") + "far,Far,44.1,-117.3,12\n", "utf-8")
    assert world.run().returncode == 5
    assert len(world.reached) == 2
