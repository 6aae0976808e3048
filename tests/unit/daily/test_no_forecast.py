"""A morning without any forecast is said once, and made up for when the services are back."""

from __future__ import annotations

from dataclasses import replace

from support.errands import DAY, DUE, HOUR, INES, MINUTE, SLOT, Outfit

from windowcast.daily.errand import Asked
from windowcast.daily.run import run_slot


def away(outfit: Outfit) -> None:
    outfit.weather.away = True


def test_it_is_said_to_everybody_and_tried_again(outfit: Outfit) -> None:
    away(outfit)
    outcome = outfit.call()
    assert outcome is not None
    assert str(outcome.no_forecast).startswith("no usable forecast for any of 2 yards")
    assert outcome.retry_at == DUE + 15 * MINUTE
    assert outfit.mail.subjects == ["no forecast"] * 2
    assert outfit.mail.texts[0].endswith("until 2027-01-13 00:00:00+00:00")
    assert outfit.state() == "failed"


def test_it_is_said_once_for_a_slot(outfit: Outfit) -> None:
    away(outfit)
    for _ in range(4):
        assert outfit.call() is not None
        outfit.clock.forward(15 * MINUTE)
    assert outfit.mail.subjects == ["no forecast"] * 2


def test_the_real_morning_follows_with_an_identity_of_its_own(outfit: Outfit) -> None:
    away(outfit)
    outfit.call()
    outfit.weather.away = False
    outfit.clock.forward(30 * MINUTE)
    outfit.call()
    assert outfit.mail.subjects == ["no forecast"] * 2 + ["late: 2 yards"] * 2
    assert len({identity for _, _, identity in outfit.mail.got}) == 4
    assert outfit.state() == "done"


def test_who_could_not_be_told_is_told_at_the_next_try(outfit: Outfit) -> None:
    away(outfit)
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outcome = outfit.call()
    assert outcome is not None
    assert len(outcome.unsent) == 1
    outfit.mail.refuses = set()
    outfit.clock.forward(15 * MINUTE)
    outfit.call()
    assert outfit.mail.reached == ["office", "truck"]


def test_who_has_the_morning_is_not_told_that_there_is_none(outfit: Outfit) -> None:
    outfit.call()
    away(outfit)
    outfit.recipients = (*outfit.recipients, INES)
    errand = outfit.errand()
    forgetful = replace(errand, desk=replace(errand.desk, memory=None))
    outcome = run_slot(forgetful, Asked(slot=SLOT, due_at=DUE, by_hand=True))
    assert outcome.no_forecast is not None
    assert [row.recipient for row in outcome.sent] == [INES]
    assert outfit.state() == "done"


def test_the_outlook_of_the_morning_before_stands_in(outfit: Outfit) -> None:
    outfit.call()
    away(outfit)
    outfit.clock.now = DUE + HOUR
    outfit.recipients = (INES,)
    assert outfit.ask().morning is not None
    assert outfit.mail.texts[-1].startswith("no source has a forecast for every yard")


def test_a_slot_that_was_done_stays_done(outfit: Outfit) -> None:
    outfit.recipients = ()
    away(outfit)
    held = outfit.book.claim_slot(SLOT, outfit.errand().holder, DUE, HOUR)
    assert held is not None
    outfit.book.end_slot(held, DUE)
    outcome = outfit.ask()
    assert outcome.no_forecast is not None
    assert outfit.state() == "done"


def test_after_the_hours_of_catching_up_it_has_failed_for_good(outfit: Outfit) -> None:
    away(outfit)
    outfit.clock.now = DUE + 10 * HOUR
    outcome = outfit.call()
    assert outcome is not None
    assert outcome.retry_at is None
    assert outfit.mail.texts[-1].endswith("until None")
    outfit.clock.now = DUE + DAY
    outfit.weather.away = False
    outfit.call()
    assert outfit.mail.texts[-1] == (
        "the morning of Tue 12 Jan 06:00 failed: no source had a usable forecast"
    )
