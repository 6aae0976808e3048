"""A book that only the commands write and read, in a file and in PostgreSQL."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support.books import free_place
from support.mail_servers import MailServer
from support.office import Ran, office_routes, windowcast
from support.rounds_out import TO, mail_table, sending
from support.server import WeatherServer

KINDS = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]
SIX, ELEVEN = "2027-01-12T06:00-08:00", "2027-01-12T11:00-08:00"
LONG_AGO = "2025-02-01T11:00-08:00"  # what was seen was seen before now, by the machine's clock


@pytest.fixture
def mail() -> Iterator[MailServer]:
    with MailServer() as server:
        yield server


@pytest.fixture(params=KINDS)
def bees(request: pytest.FixtureRequest, tmp_path: Path, mail: MailServer) -> Iterator[Path]:
    """An outfit that sends, with its book in its state folder or on the server."""
    with WeatherServer(office_routes()) as weather, free_place(request.param, tmp_path) as place:
        folder = sending(tmp_path / "bees", weather.url, mail_table(mail.port))
        if isinstance(place, str):
            path = folder / "outfit.toml"
            address = place.replace("postgresql+psycopg://", "postgresql://")
            path.write_text(f'book = "{address}"\n' + path.read_text("utf-8"), "utf-8")
        yield folder


def typed(bees: Path, *words: object, at: str = ELEVEN) -> Ran:
    ran = windowcast(*words, "--config", bees, "--at", at)
    assert ran.returncode == 0, ran.stderr
    return ran


def told(bees: Path, *words: object, at: str = ELEVEN) -> Any:
    return json.loads(typed(bees, *words, "--json", at=at).stdout)


def test_a_morning_goes_out_once(bees: Path, mail: MailServer) -> None:
    assert typed(bees, "run", "--if-due", at=SIX).stderr == "Sent to 2 of 2.\n"
    assert typed(bees, "run", "--if-due").stderr == "Nothing is due.\n"
    assert "already has it" in typed(bees, "run").stderr
    assert Counter(to for got in mail.inbox for to in got.recipients) == Counter(TO)


def test_a_visit_is_booked_listed_struck_out_and_taken_in_again(bees: Path) -> None:
    typed(bees, "run", at=SIX)
    typed(bees, "visit", "kiln", "2027-01-12", "--done", "doubles=24", "--person", "Ines", "--yes")
    typed(bees, "visits", "--export", bees / "visits.csv")
    (booked,) = told(bees, "visits")["visits"]
    assert (booked["yard"], booked["day"], booked["round"]) == ("kiln", "2027-01-12", 1)
    assert booked["weather"] is not None
    typed(bees, "visits", "--undo", booked["number"], "--yes")
    assert told(bees, "visits")["visits"] == []
    typed(bees, "visits", "--import", bees / "visits.csv", "--yes")
    (again,) = told(bees, "visits")["visits"]
    assert {**again, "number": 0} == {**booked, "number": 0}


def test_what_was_seen_is_kept_listed_struck_out_and_taken_in_again(bees: Path) -> None:
    typed(bees, "seen", "kiln", "brood", "capped", "--colonies", 2, "--of", 10, at=LONG_AGO)
    typed(bees, "seen", "kiln", "road", "soft", "--note", "by the gate; =cmd", at=LONG_AGO)
    typed(bees, "reports", "--export", bees / "reports.csv")
    first, second = told(bees, "reports")["reports"]
    typed(bees, "reports", "--undo", first["number"], "--yes")
    assert told(bees, "reports")["reports"] == [second]
    typed(bees, "reports", "--import", bees / "reports.csv", "--yes")
    assert len(told(bees, "reports")["reports"]) == 2


def washed(bees: Path, colony: int, mites: int, day: str) -> None:
    words = ("seen", "kiln", "mites", mites, "--bees", 300, "--colony", colony)
    typed(bees, *words, at=f"{day}T12:00-08:00")


def test_mites_before_and_after_a_round_are_judged(bees: Path) -> None:
    for colony in range(8):
        washed(bees, colony, 30, "2024-12-18")
        washed(bees, colony, 3, "2025-01-10")
    typed(bees, "visit", "kiln", "2024-12-20", "--done", "doubles=24", "--yes", at=LONG_AGO)
    (yard,) = told(bees, "mites", at=LONG_AGO)["yards"]
    assert yard["key"] == "kiln"
    assert "observed reduction" in " ".join(typed(bees, "mites", at=LONG_AGO).stdout.split())
