"""Runs that are killed or stopped in the middle: taken over, and nobody is left out."""

from __future__ import annotations

import asyncio
import random
import signal
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from support.mail_servers import MailServer
from support.office import ISSUED, START, office_routes, sound_grid
from support.rounds_out import child, mail_table, sending, until
from support.server import WeatherServer

from windowcast.daily.errand import LEASE
from windowcast.store.book import open_book

FOUR = tuple(f"{name}@vellamoor.example" for name in ("ines", "jo", "truck", "office"))
MINUTE = timedelta(minutes=1)
ROUNDS = 6
SEED = 20270112


class SlowMail(MailServer):
    """Takes its time before it says yes."""

    pause_s: float = 0.15

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        await asyncio.sleep(self.pause_s)
        return await super().handle_DATA(server, session, envelope)


@pytest.fixture
def mail() -> Iterator[SlowMail]:
    with SlowMail() as server:
        yield server


@pytest.fixture
def weather() -> Iterator[WeatherServer]:
    with WeatherServer(office_routes()) as server:
        yield server


@pytest.fixture
def config(tmp_path: Path, weather: WeatherServer, mail: SlowMail) -> Path:
    return sending(tmp_path / "bees", weather.url, mail_table(mail.port, FOUR))


def due(config: Path, at: datetime) -> tuple[object, ...]:
    return ("run", "--if-due", "--config", config, "--at", at.isoformat())


def six(day: int = 0) -> datetime:
    return datetime.fromisoformat("2027-01-12T06:00-08:00") + timedelta(days=day)


def states(config: Path) -> list[str]:
    with closing(open_book(config / "state" / "book.sqlite")) as book:
        return [run.state for run in book.runs(date(2027, 1, 1))]


def reached(mail: MailServer) -> Counter[str]:
    return Counter(address for got in mail.inbox for address in got.recipients)


def finish(config: Path, at: datetime) -> int:
    with child(*due(config, at)) as running:
        running.communicate(timeout=60)
    return int(running.returncode)


def test_a_killed_run_is_taken_over_after_its_lease_and_not_before(
    config: Path, mail: SlowMail
) -> None:
    with child(*due(config, six())) as running:
        until(lambda: len(mail.inbox) == 2)
        running.kill()
        running.wait()
    assert states(config) == ["running"]
    assert finish(config, six() + LEASE - MINUTE) == 0
    assert sum(reached(mail).values()) in (2, 3)  # the server may have had one more in hand
    assert finish(config, six() + LEASE + MINUTE) == 0
    assert states(config) == ["done"]
    assert set(reached(mail)) == set(FOUR)
    assert sum(reached(mail).values()) <= 5


def test_kills_at_random_moments_leave_nobody_out_and_cost_one_copy_at_most(
    config: Path, mail: SlowMail, weather: WeatherServer
) -> None:
    chance = random.Random(SEED)
    for day in range(ROUNDS):
        later = timedelta(days=day)
        weather.routes.update(office_routes(sound_grid(issued=ISSUED + later, start=START + later)))
        mail.inbox.clear()
        with child(*due(config, six(day))) as running:
            time.sleep(chance.uniform(0.3, 2.5))
            running.kill()
            running.wait()
        assert finish(config, six(day) + LEASE + MINUTE) == 0
        copies = Counter(str(got.mail["Message-ID"]) for got in mail.inbox)
        assert set(reached(mail)) == set(FOUR), f"round {day}"
        assert len(copies) == len(FOUR)
        assert sum(copies.values()) <= len(FOUR) + 1
    assert set(states(config)) == {"done"}


def test_a_run_that_is_asked_to_stop_finishes_the_letter_in_hand(
    config: Path, mail: SlowMail
) -> None:
    mail.pause_s = 0.6
    with child(*due(config, six())) as running:
        until(lambda: len(mail.inbox) == 1)
        time.sleep(0.2)  # the second letter is under way
        running.send_signal(signal.SIGTERM)
        _, said = running.communicate(timeout=30)
    assert running.returncode == 5
    assert "Sent to 2 of 4." in said
    assert said.count("windowcast was asked to stop before it was sent") == 2
    mail.pause_s = 0.0
    assert finish(config, six() + timedelta(seconds=30)) == 0
    assert reached(mail) == Counter(FOUR)


def test_of_six_processes_at_once_one_sends(config: Path, mail: SlowMail) -> None:
    codes: list[int] = []
    threads = [
        threading.Thread(target=lambda: codes.append(finish(config, six()))) for _ in range(6)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert codes == [0] * 6
    assert reached(mail) == Counter(FOUR)
    assert states(config) == ["done"]
