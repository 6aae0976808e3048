import json
from datetime import UTC, datetime, timedelta

import pytest
from support.mornings import NOW, TZ

from windowcast.wording.gist import SCOPE
from windowcast.wording.silence import (
    Silence,
    no_forecast_schema,
    silence_document,
    silence_text,
)

WHY = "no usable forecast for any of 5 yards:\n  4 yards: nws: status 503\n  nws: no answer\n"


def silence(**changes) -> Silence:
    facts = {"outfit": "Vellamoor Bees", "tz": TZ, "now": NOW, "why": WHY}
    return Silence(**(facts | changes))


def test_it_says_that_nothing_is_advised_and_why() -> None:
    assert silence_text(silence(until=NOW + timedelta(hours=10))) == (
        "Vellamoor Bees, Tue 12 Jan 2027, 06:00 MST\n"
        "No forecast this morning: nothing is advised.\n"
        "Trying again until 16:00.\n"
        "\n"
        "Why\n"
        " no usable forecast for any of 5 yards:\n"
        " 4 yards: nws: status 503\n"
        " nws: no answer\n"
        "\n"
        "Take care\n"
        " - The label in hand and local law come first.\n"
        f" - {SCOPE}\n"
    )


def test_without_another_try_none_is_promised() -> None:
    assert "again" not in silence_text(silence())


def test_the_time_in_the_hour_that_comes_twice_names_its_zone_once() -> None:
    now = datetime(2026, 11, 1, 8, 30, tzinfo=UTC)
    assert silence(now=now).title == "Vellamoor Bees, Sun 1 Nov 2026, 01:30 MST"


def test_the_document_says_the_same() -> None:
    told = json.loads(silence_document(silence(until=NOW + timedelta(hours=10))))
    assert told["schema_version"] == 1
    assert told["forecast"] is False
    assert told["headline"] == "No forecast this morning: nothing is advised."
    assert told["issued_at"] == "2027-01-12T06:00:00-07:00"
    assert told["trying_until"] == "2027-01-12T16:00:00-07:00"
    assert told["reasons"][1:] == ["4 yards: nws: status 503", "nws: no answer"]
    assert set(told) == set(no_forecast_schema()["required"])


def test_the_document_without_another_try_has_no_time() -> None:
    assert json.loads(silence_document(silence()))["trying_until"] is None


@pytest.mark.parametrize(
    "why", ["x" * 5000, "\n".join(["nws: no answer"] * 500), "a\x1b[31m\u2028b"]
)
def test_reasons_of_any_length_stay_readable(why: str) -> None:
    text = silence_text(silence(why=why, outfit="Bees\r\n\u202e🐝" * 50))
    lines = text.splitlines()
    assert len(lines) < 60
    assert max(map(len, lines)) <= 78
    assert text.replace("\n", "").isprintable()
