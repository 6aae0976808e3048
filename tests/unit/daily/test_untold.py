"""Mornings that did not come are said in the next notice, once."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time

import pytest
from support.errands import DAY, DUE, HOUR, MINUTE, SLOT, THERE, Outfit

from windowcast.daily.errand import Asked
from windowcast.daily.run import run_slot
from windowcast.terms.delivery import Letter, Recipient


def test_missed_mornings_are_said_in_one_sentence_and_only_once(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + 4 * DAY
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "3 mornings were missed, from Wed 13 Jan 06:00 to Fri 15 Jan 06:00: nobody ran it in time"
    )
    outfit.clock.forward(DAY)
    outfit.call()
    assert outfit.mail.texts[-1] == ""


def test_one_missed_morning_is_named(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + 2 * DAY
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the morning of Wed 13 Jan 06:00 was missed: nobody ran it in time"
    )


def test_a_morning_is_missed_after_ten_hours_even_if_nothing_else_is_due(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + DAY + 10 * HOUR + MINUTE
    assert outfit.call() is None
    states = [run.state for run in outfit.book.runs(DUE.date())]
    assert states == ["done", "missed"]


def test_within_ten_hours_it_is_caught_up_and_late(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + DAY + 10 * HOUR
    assert outfit.call() is not None
    assert outfit.mail.subjects[-1] == "late: 2 yards"
    assert outfit.call() is None


def test_before_the_first_run_nothing_was_promised(outfit: Outfit) -> None:
    outfit.clock.now = DUE + 10 * HOUR + MINUTE
    assert outfit.call() is None
    assert outfit.book.runs(DUE.date()) == ()


def test_of_two_slots_of_a_day_only_the_newest_is_caught_up(outfit: Outfit) -> None:
    outfit.run_at = (time(6), time(12))
    outfit.call()
    outfit.clock.now = DUE + DAY + 7 * HOUR
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "2 mornings were missed, from Tue 12 Jan 12:00 to Wed 13 Jan 06:00: nobody ran it in time"
    )


def test_what_was_refused_to_somebody_is_said_until_all_have_it(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + 2 * DAY
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.call()
    outfit.mail.refuses = set()
    outfit.clock.forward(15 * MINUTE)
    outfit.call()
    assert outfit.mail.reached[2:] == ["office", "truck"]
    assert outfit.mail.texts[2] == outfit.mail.texts[3] != ""


def test_a_morning_that_was_killed_and_never_taken_over_is_said(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + DAY
    slot = outfit.book.runs(DUE.date())[0].slot
    tomorrow = type(slot)(day=slot.day.replace(day=13), at=slot.at)
    outfit.book.claim_slot(tomorrow, THERE, outfit.clock(), 10 * MINUTE)
    outfit.clock.forward(DAY)
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the morning of Wed 13 Jan 06:00 failed: it was begun and not finished"
    )


def test_a_run_by_hand_says_it_too_and_then_it_is_told(outfit: Outfit) -> None:
    outfit.call()
    outfit.clock.now = DUE + 3 * DAY - HOUR
    outfit.ask()
    assert outfit.mail.texts[-1].startswith("2 mornings were missed, from Wed 13 Jan 06:00")
    outfit.clock.forward(HOUR)
    outfit.call()
    assert outfit.mail.texts[-1] == ""


def test_a_dead_address_is_said_once_a_day_and_no_morning_failed(outfit: Outfit) -> None:
    outfit.mail.for_good = {"truck@vellamoor.example"}
    for day in range(4):
        outfit.clock.now = DUE + day * DAY
        outfit.call()
    assert outfit.mail.texts == [
        "",
        "the letter of Tue 12 Jan 06:00 did not reach 1 of 2 recipients",
        "the letter of Wed 13 Jan 06:00 did not reach 1 of 2 recipients",
        "the letter of Thu 14 Jan 06:00 did not reach 1 of 2 recipients",
    ]


def test_what_was_missed_is_said_once_though_an_address_is_dead(outfit: Outfit) -> None:
    outfit.call()
    outfit.mail.for_good = {"truck@vellamoor.example"}
    outfit.clock.now = DUE + 2 * DAY
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the morning of Wed 13 Jan 06:00 was missed: nobody ran it in time"
    )
    outfit.clock.forward(DAY)
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the letter of Thu 14 Jan 06:00 did not reach 1 of 2 recipients"
    )


def test_what_was_left_out_is_said_once_for_a_slot(outfit: Outfit) -> None:
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.call()
    outfit.mail.refuses = set()
    outfit.clock.now = DUE + DAY - HOUR
    outfit.ask()
    assert outfit.mail.texts[-1].startswith("the letter of Tue 12 Jan 06:00 did not reach 1 of 2")
    outfit.clock.forward(HOUR)
    outfit.call()
    assert outfit.mail.texts[-1] == ""


def test_a_morning_that_reached_nobody_failed(outfit: Outfit) -> None:
    outfit.mail.for_good = {"truck@vellamoor.example", "office@vellamoor.example"}
    outfit.call()
    outfit.mail.for_good = set()
    outfit.clock.now = DUE + DAY
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the morning of Tue 12 Jan 06:00 failed: 2 of 2 letters could not be delivered"
    )


def test_what_a_crash_kept_from_most_is_said_again(outfit: Outfit) -> None:
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.call()
    outfit.mail.refuses = set()
    outfit.clock.now = DUE + DAY
    errand = replace(outfit.errand(), channels={"mail": Breaking(outfit, at="truck")})
    with pytest.raises(KeyboardInterrupt):
        run_slot(errand, Asked(slot=replace(SLOT, day=SLOT.day + DAY), due_at=DUE + DAY))
    outfit.clock.now = DUE + 2 * DAY
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the letter of Tue 12 Jan 06:00 did not reach 1 of 2 recipients\n"
        "the letter of Wed 13 Jan 06:00 did not reach 1 of 2 recipients"
    )


class Breaking:
    """The mail of an outfit, broken off at the letter to somebody."""

    name = "mail"

    def __init__(self, outfit: Outfit, at: str) -> None:
        self.mail, self.at = outfit.mail, at

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: datetime) -> None:
        if recipient.address.startswith(self.at):
            raise KeyboardInterrupt
        self.mail.send(letter, recipient, identity, now)


def test_a_run_that_was_killed_after_its_last_letter_left_nobody_out(outfit: Outfit) -> None:
    outfit.call()
    held = outfit.book.claim_slot(SLOT, THERE, DUE, HOUR, by_hand=True)
    assert held is not None
    outfit.clock.now = DUE + DAY
    outfit.call()
    assert outfit.mail.texts[-1] == ""
