"""Instants as the book writes them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from windowcast.store.instants import moment_if_told, moment_of, text_if_told, text_of


def test_an_instant_of_another_zone_is_written_in_utc() -> None:
    local = datetime(2027, 1, 12, 6, 40, tzinfo=timezone(timedelta(hours=-7)))
    assert text_of(local) == "2027-01-12T13:40:00.000000Z"
    assert moment_of(text_of(local)) == local
    assert moment_of(text_of(local)).tzinfo is UTC


def test_an_instant_without_a_zone_is_none() -> None:
    with pytest.raises(ValueError, match="a naive datetime is no instant"):
        text_of(datetime(2027, 1, 12))  # noqa: DTZ001


@pytest.mark.parametrize(
    "text", ["", "2027-01-12T13:40:00.000000", "2027-01-12T13:40Z", "2027-13-12T13:40:00.000000Z"]
)
def test_other_text_is_no_instant(text: str) -> None:
    with pytest.raises(ValueError, match=r"is no instant|month must be"):
        moment_of(text)


def test_no_instant_stays_none() -> None:
    assert text_if_told(None) is None
    assert moment_if_told(None) is None
