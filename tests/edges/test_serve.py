"""``windowcast serve`` as a process of its own, by the machine's own clock."""

from __future__ import annotations

import asyncio
import signal
import subprocess
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from support.mail_servers import MailServer
from support.rounds_out import (
    TO,
    around_noon,
    child,
    mail_table,
    office_of_now,
    sending,
    stopped,
    until,
)

from windowcast.store.book import open_book
from windowcast.terms.kept import Holder

HOUR = timedelta(hours=1)


class SlowMail(MailServer):
    """Takes its time before it says yes."""

    pause_s: float = 0.0

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        await asyncio.sleep(self.pause_s)
        return await super().handle_DATA(server, session, envelope)


@pytest.fixture
def mail() -> Iterator[SlowMail]:
    with SlowMail() as server:
        yield server


@pytest.fixture
def weather() -> Iterator[str]:
    with office_of_now() as server:
        yield server.url


@pytest.fixture
def config(tmp_path: Path, weather: str, mail: SlowMail) -> Path:
    """An outfit whose morning was due two hours ago."""
    return due_since(2 * HOUR, tmp_path / "bees", weather, mail)


def due_since(ago: timedelta, folder: Path, weather: str, mail: MailServer) -> Path:
    return sending(folder, weather, mail_table(mail.port), *around_noon(ago))


def serve(config: Path, stack: ExitStack) -> subprocess.Popen[str]:
    return stack.enter_context(child("serve", "--config", config, "--tick", 1))


def reached(mail: MailServer) -> Counter[str]:
    return Counter(address for got in mail.inbox for address in got.recipients)


def states(config: Path) -> list[str]:
    place = config / "state" / "book.sqlite"
    if not place.exists():
        return []
    with closing(open_book(place)) as book:
        return [run.state for run in book.runs(date(2020, 1, 1))]


def test_a_morning_that_was_due_goes_out_at_once_late_and_only_once(
    config: Path, mail: SlowMail
) -> None:
    with ExitStack() as stack:
        running = serve(config, stack)
        until(lambda: states(config) == ["done"])
        time.sleep(2.5)  # two more ticks
        status, log = stopped(running)
    assert status == 0
    assert reached(mail) == Counter(TO)
    assert all(str(got.mail["Subject"]).startswith("Late ") for got in mail.inbox)
    with ExitStack() as stack:
        again = serve(config, stack)
        time.sleep(2.5)
        stopped(again)
    assert len(mail.inbox) == len(TO)
    events = [line.split(" ", 3)[2] for line in log.splitlines()]
    assert events == [
        "serve_began", "run_began", "run_said", "run_ended", "serve_ended"
    ]  # fmt: skip
    assert "status=0" in log
    assert "@" not in log


def test_serve_and_four_that_ask_at_once_send_it_once(config: Path, mail: SlowMail) -> None:
    with ExitStack() as stack:
        running = serve(config, stack)
        others = [stack.enter_context(child("run", "--if-due", "--config", config)) for _ in "1234"]
        for other in others:
            other.communicate(timeout=60)
        until(lambda: states(config) == ["done"])
        assert stopped(running)[0] == 0
    assert [other.returncode for other in others] == [0] * 4
    assert reached(mail) == Counter(TO)


def test_sigterm_ends_it_soon_and_lets_the_letter_in_hand_go_out(
    config: Path, mail: SlowMail
) -> None:
    mail.pause_s = 1.0
    with ExitStack() as stack:
        running = serve(config, stack)
        until(lambda: states(config) == ["running"])
        until(lambda: len(mail.inbox) == 1)
        began = time.monotonic()
        status, log = stopped(running)
    assert status == 0
    assert time.monotonic() - began < 30
    assert "run_ended" in log
    assert "run_killed" not in log
    mail.pause_s = 0.0
    with ExitStack() as stack:
        again = serve(config, stack)
        until(lambda: states(config) == ["done"])
        stopped(again)
    assert reached(mail) == Counter(TO)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_ends_at_once_when_nothing_is_under_way(
    tmp_path: Path, weather: str, mail: SlowMail, number: signal.Signals
) -> None:
    config = due_since(-2 * HOUR, tmp_path / "bees", weather, mail)
    with ExitStack() as stack:
        running = serve(config, stack)
        assert running.stderr is not None
        assert "serve_began" in running.stderr.readline()
        began = time.monotonic()
        running.send_signal(number)
        assert running.wait(timeout=30) == 0
        assert time.monotonic() - began < 5
        assert "serve_ended" in running.stderr.read()
    assert mail.inbox == []


def test_a_slot_that_was_left_by_a_crash_is_taken_over_after_its_lease(
    config: Path, mail: SlowMail
) -> None:
    from windowcast.cli.serve import due_there  # the slot as the program sees it

    asked = due_there(str(config), datetime.now(UTC))
    assert asked is not None
    with closing(open_book(config / "state" / "book.sqlite")) as book:
        now = datetime.now(UTC)
        book.claim_slot(asked.slot, Holder(host="gone", pid=1), now, timedelta(seconds=4))
    with ExitStack() as stack:
        running = serve(config, stack)
        time.sleep(2)
        assert mail.inbox == []
        until(lambda: states(config) == ["done"])
        stopped(running)
    assert reached(mail) == Counter(TO)


def test_edits_of_the_configuration_take_effect_and_a_slip_ends_nothing(
    tmp_path: Path, weather: str, mail: SlowMail
) -> None:
    config = due_since(-2 * HOUR, tmp_path / "bees", weather, mail)
    path = config / "outfit.toml"
    sound = path.read_text("utf-8")
    with ExitStack() as stack:
        running = serve(config, stack)
        assert running.stderr is not None
        running.stderr.readline()
        path.write_text(sound.replace("[mail]", "[male]"), "utf-8")
        assert "trouble text=" in running.stderr.readline()
        time.sleep(1.5)
        path.write_text(sound, "utf-8")
        assert "trouble_over" in running.stderr.readline()
        due_since(HOUR, config, weather, mail)
        until(lambda: states(config) == ["done"])
        assert stopped(running)[0] == 0
    assert reached(mail) == Counter(TO)


def test_without_times_to_run_at_it_does_not_start(config: Path) -> None:
    path = config / "outfit.toml"
    path.write_text(path.read_text("utf-8").partition("\n")[2], "utf-8")
    with child("serve", "--config", config) as running:
        _, said = running.communicate(timeout=30)
    assert running.returncode == 3
    assert said.startswith("outfit.toml: run_at: no time is written")


def test_a_book_that_is_held_is_said_and_tried_again(config: Path, mail: SlowMail) -> None:
    place = config / "state" / "book.sqlite"
    with ExitStack() as stack:
        running = serve(config, stack)
        until(lambda: states(config) == ["done"])
        aside = place.with_name("aside")
        place.rename(aside)
        place.mkdir()
        assert running.stderr is not None
        until(lambda: "trouble text=" in running.stderr.readline())  # type: ignore[union-attr]
        place.rmdir()
        aside.rename(place)
        until(lambda: "trouble_over" in running.stderr.readline())  # type: ignore[union-attr]
        assert stopped(running)[0] == 0
    assert reached(mail) == Counter(TO)


def test_two_mornings_a_minute_apart_are_each_mailed_once(
    tmp_path: Path, weather: str, mail: SlowMail
) -> None:
    time.sleep(max(0.0, datetime.now(UTC).second - 49))  # not at the end of a minute
    (first, zone), (second, _) = around_noon(), around_noon(-timedelta(minutes=1))
    config = sending(tmp_path / "bees", weather, mail_table(mail.port), first, zone)
    path = config / "outfit.toml"
    both = f'run_at = ["{first}", "{second}"]'
    path.write_text(path.read_text("utf-8").replace(f'run_at = ["{first}"]', both), "utf-8")
    with ExitStack() as stack:
        running = serve(config, stack)
        until(lambda: states(config) == ["done", "done"], patience_s=75.0)
        time.sleep(2.5)  # two more ticks
        status, log = stopped(running)
    assert (status, log.count("run_began")) == (0, 2)
    assert reached(mail) == Counter({address: 2 for address in TO})
    assert len({str(got.mail["Message-ID"]) for got in mail.inbox}) == 4
    assert not any(str(got.mail["Subject"]).startswith("Late ") for got in mail.inbox)
