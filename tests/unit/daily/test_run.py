"""One slot from the claim to the last letter."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from support.errands import DAY, DUE, HERE, HOUR, INES, MINUTE, OFFICE, SLOT, THERE, Outfit
from support.outlooks import outlook

from windowcast.clock import PATIENCE_S
from windowcast.daily.choice import by_the_clock
from windowcast.daily.errand import LEASE, Asked
from windowcast.daily.run import run_slot
from windowcast.problems import StoreProblem
from windowcast.terms.delivery import Letter, Recipient


def test_a_due_morning_is_kept_and_sent_to_everybody(outfit: Outfit) -> None:
    outcome = outfit.call()
    assert outcome is not None
    assert outcome.morning is not None
    assert outfit.mail.reached == ["office", "truck"]
    assert outfit.state() == "done"
    assert [row.state for row in outfit.book.deliveries(SLOT)] == ["sent", "sent"]


def test_the_weather_is_kept_with_it(outfit: Outfit) -> None:
    outfit.call()
    past = outlook("kiln", DUE - DAY, 24).hours
    assert outfit.book.hours_of("kiln", past) is not None
    kept = outfit.book.outlook_of("kiln", DUE - 2 * HOUR)
    assert kept is not None
    assert kept.place.tz == "America/Los_Angeles"


def test_the_identity_names_slot_issue_and_recipient(outfit: Outfit) -> None:
    outfit.call()
    identities = [identity for _, _, identity in outfit.mail.got]
    assert identities[0] == "2027-01-12/06:00/morning/1/mail/office@vellamoor.example"
    assert len(set(identities)) == 2


def test_a_morning_that_was_sent_is_not_sent_again(outfit: Outfit) -> None:
    outfit.call()
    for _ in range(3):
        outfit.clock.forward(20 * MINUTE)
        assert outfit.call() is None
    assert len(outfit.mail.got) == 2


def test_who_asks_while_another_runs_it_is_told_who(outfit: Outfit) -> None:
    outfit.book.claim_slot(SLOT, THERE, DUE, LEASE)
    assert outfit.call() is None
    outcome = outfit.ask()
    assert outcome.taken is not None
    assert outcome.taken.holder == THERE
    assert outfit.weather.asked == 0
    assert outfit.mail.got == []


def test_two_that_saw_the_same_slot_due_run_it_once(outfit: Outfit) -> None:
    asked = by_the_clock(outfit.book, outfit.run_at, "America/Los_Angeles", DUE)
    assert asked == Asked(slot=SLOT, due_at=DUE)
    assert run_slot(outfit.errand(), asked).taken is None
    second = run_slot(outfit.errand(THERE), asked)
    assert second.taken is not None
    assert second.taken.state == "done"
    assert len(outfit.mail.got) == 2


def test_a_refused_letter_is_tried_again_after_a_quarter_of_an_hour(outfit: Outfit) -> None:
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outcome = outfit.call()
    assert outcome is not None
    assert [row.remark for row in outcome.unsent] == [
        "mail to truck@vellamoor.example: the server said no"
    ]
    assert outcome.retry_at == DUE + 15 * MINUTE
    outfit.mail.refuses = set()
    outfit.clock.forward(15 * MINUTE - MINUTE)
    assert outfit.call() is None
    outfit.clock.forward(MINUTE)
    again = outfit.call()
    assert again is not None
    assert [row.recipient for row in again.had] == [OFFICE]
    assert outfit.mail.reached == ["office", "truck"]
    assert outfit.state() == "done"


def test_who_was_tried_less_often_comes_first(outfit: Outfit) -> None:
    outfit.mail.refuses = {"office@vellamoor.example"}
    outfit.call()
    outfit.mail.refuses = set()
    outfit.recipients = (*outfit.recipients, INES)
    outfit.clock.forward(15 * MINUTE)
    outcome = outfit.call()
    assert outcome is not None
    assert outfit.mail.reached == ["truck", "ines", "office"]
    assert [row.recipient for row in outcome.sent] == [OFFICE, INES]


def test_a_refused_letter_is_not_tried_after_the_hours_of_catching_up(outfit: Outfit) -> None:
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.clock.now = DUE + 10 * HOUR - 15 * MINUTE
    first = outfit.call()
    assert first is not None
    assert first.retry_at == DUE + 10 * HOUR
    outfit.clock.now = DUE + 10 * HOUR
    last = outfit.call()
    assert last is not None
    assert last.retry_at is None
    assert outfit.call() is None
    assert outfit.state() == "failed"


def test_a_letter_after_twenty_minutes_is_late(outfit: Outfit) -> None:
    outfit.clock.now = DUE + 20 * MINUTE
    outfit.call()
    outfit.clock.now = DUE + DAY + 21 * MINUTE
    outfit.call()
    assert outfit.mail.subjects == ["2 yards"] * 2 + ["late: 2 yards"] * 2


def test_a_person_sends_only_to_those_who_lack_it(outfit: Outfit) -> None:
    outfit.call()
    outfit.recipients = (*outfit.recipients, INES)
    outcome = outfit.ask()
    assert [row.recipient for row in outcome.sent] == [INES]
    assert len(outcome.had) == 2
    assert outfit.mail.reached == ["office", "truck", "ines"]


def test_a_person_may_send_it_to_everybody_again(outfit: Outfit) -> None:
    outfit.call()
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.ask(again=True)
    outfit.mail.refuses = set()
    outfit.clock.forward(15 * MINUTE)
    outfit.call()
    assert outfit.mail.reached == ["office", "truck", "office", "truck"]
    issues = [identity.split("/")[3] for _, _, identity in outfit.mail.got]
    assert issues == ["1", "1", "2", "2"]
    assert "late" not in outfit.mail.subjects[-1]


def test_before_the_first_slot_of_the_day_a_run_has_a_slot_of_its_own(outfit: Outfit) -> None:
    outfit.clock.now = DUE - HOUR
    first, second = outfit.ask(), outfit.ask()
    assert (first.slot.kind, len(first.sent)) == ("by_hand", 2)
    assert (len(second.sent), len(second.had)) == (0, 2)
    outfit.clock.now = DUE
    assert outfit.call() is not None
    assert outfit.mail.reached == ["office", "truck"] * 2


def test_without_times_to_run_at_a_day_has_one_slot(outfit: Outfit) -> None:
    outfit.run_at = ()
    assert outfit.ask().slot == replace(SLOT, at=SLOT.at.replace(hour=0), kind="by_hand")
    outfit.clock.forward(3 * HOUR)
    assert len(outfit.ask().had) == 2


def test_nobody_to_write_to_is_no_failure(outfit: Outfit) -> None:
    outfit.recipients = ()
    outcome = outfit.call()
    assert outcome is not None
    assert (outcome.sent, outcome.unsent) == ((), ())
    assert outfit.state() == "done"


class Stopping:
    """A channel during whose first letter somebody asks the program to stop."""

    name = "mail"

    def __init__(self, outfit: Outfit) -> None:
        self.outfit = outfit

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: object) -> None:
        self.outfit.stopping = True


def test_a_stop_lets_the_letter_in_hand_finish_and_leaves_the_rest(outfit: Outfit) -> None:
    asked = Asked(slot=SLOT, due_at=DUE)
    errand = replace(outfit.errand(), channels={"mail": Stopping(outfit)})
    outcome = run_slot(errand, asked)
    assert len(outcome.sent) == len(outcome.unsent) == 1
    assert outcome.retry_at == DUE
    outfit.stopping = False
    outfit.call()
    assert outfit.mail.reached == ["truck"]


class Breaking:
    """A channel that breaks in a way that nobody foresaw."""

    name = "mail"

    def __init__(self, fault: BaseException) -> None:
        self.fault = fault

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: object) -> None:
        raise self.fault


@pytest.mark.parametrize(
    ("fault", "remark", "wait"),
    [
        (KeyboardInterrupt(), "it was broken off", 0 * MINUTE),
        (ZeroDivisionError(), "windowcast stopped with a fault", 15 * MINUTE),
        (StoreProblem("the book is full"), "the book is full", 15 * MINUTE),
    ],
)
def test_a_run_that_breaks_leaves_its_slot_to_the_next(
    outfit: Outfit, fault: BaseException, remark: str, wait: object
) -> None:
    errand = replace(outfit.errand(), channels={"mail": Breaking(fault)})
    with pytest.raises(type(fault)):
        run_slot(errand, Asked(slot=SLOT, due_at=DUE))
    (run,) = outfit.book.runs(SLOT.day)
    assert (run.state, run.remark, run.lease_until) == ("failed", remark, DUE + wait)


def test_the_lease_is_new_before_each_letter(outfit: Outfit) -> None:
    class Slow:
        name = "mail"

        def send(self, letter: Letter, recipient: Recipient, identity: str, now: object) -> None:
            outfit.clock.forward(9 * MINUTE)
            assert outfit.book.claim_slot(SLOT, THERE, outfit.clock(), LEASE) is None

    errand = replace(outfit.errand(), channels={"mail": Slow()})
    assert len(run_slot(errand, Asked(slot=SLOT, due_at=DUE)).sent) == 2


def test_who_lost_the_slot_stops_sending(outfit: Outfit) -> None:
    class Lost:
        name = "mail"

        def send(self, letter: Letter, recipient: Recipient, identity: str, now: object) -> None:
            outfit.clock.forward(LEASE)
            assert outfit.book.claim_slot(SLOT, THERE, outfit.clock(), LEASE) is not None

    errand = replace(outfit.errand(), channels={"mail": Lost()})
    with pytest.raises(StoreProblem, match="is no longer ours"):
        run_slot(errand, Asked(slot=SLOT, due_at=DUE))
    (run,) = outfit.book.runs(SLOT.day)
    assert (run.state, run.holder) == ("running", THERE)
    assert [row.state for row in outfit.book.deliveries(SLOT)] == ["sent", "waiting"]


def test_after_a_kill_the_next_begins_where_it_ended(outfit: Outfit) -> None:
    held = outfit.book.claim_slot(SLOT, THERE, DUE, LEASE)
    assert held is not None
    rows = outfit.errand(HERE).recipients
    assert len(rows) == 2
    outfit.clock.now = DUE + LEASE - MINUTE
    assert outfit.call() is None
    outfit.clock.now = DUE + LEASE
    outcome = outfit.call()
    assert outcome is not None
    assert outfit.mail.reached == ["office", "truck"]
    assert [run.attempt for run in outfit.book.runs(SLOT.day)] == [2]


def test_a_letter_that_was_refused_for_good_is_not_tried_again_by_itself(outfit: Outfit) -> None:
    outfit.mail.for_good = {"truck@vellamoor.example"}
    outcome = outfit.call()
    assert outcome is not None
    assert outcome.retry_at is None
    assert [row.state for row in outfit.book.deliveries(SLOT)] == ["sent", "refused"]
    for _ in range(3):
        outfit.clock.forward(20 * MINUTE)
        assert outfit.call() is None
    assert outfit.state() == "failed"
    assert outfit.mail.tried == ["office", "truck"]


def test_a_person_tries_again_what_was_refused_for_good(outfit: Outfit) -> None:
    outfit.mail.for_good = {"truck@vellamoor.example"}
    outfit.call()
    outfit.mail.for_good = set()
    outcome = outfit.ask()
    assert [row.recipient.address for row in outcome.sent] == ["truck@vellamoor.example"]
    assert outfit.state() == "done"


def test_only_those_who_may_yet_be_reached_are_tried_again(outfit: Outfit) -> None:
    outfit.recipients = (*outfit.recipients, INES)
    outfit.mail.for_good = {"office@vellamoor.example"}
    outfit.mail.refuses = {"truck@vellamoor.example"}
    first = outfit.call()
    assert first is not None
    assert first.retry_at == DUE + 15 * MINUTE
    outfit.mail.refuses = set()
    outfit.clock.forward(15 * MINUTE)
    second = outfit.call()
    assert second is not None
    assert outfit.mail.tried == ["office", "truck", "ines", "truck"]
    assert ([row.recipient for row in second.unsent], second.retry_at) == ([OFFICE], None)


def test_a_letter_that_was_refused_today_is_tried_again_tomorrow(outfit: Outfit) -> None:
    outfit.mail.for_good = {"truck@vellamoor.example"}
    outfit.call()
    outfit.clock.now = DUE + DAY
    outfit.call()
    assert outfit.mail.tried == ["office", "truck"] * 2


@pytest.mark.parametrize(
    ("fault", "remark"),
    [
        (KeyboardInterrupt(), "it was broken off"),
        (ZeroDivisionError(), "windowcast stopped with a fault"),
        (StoreProblem("the book is full"), "the book is full"),
    ],
)
def test_a_done_slot_that_a_person_takes_again_and_breaks_stays_done(
    outfit: Outfit, fault: BaseException, remark: str
) -> None:
    outfit.call()
    errand = replace(outfit.errand(), channels={"mail": Breaking(fault)})
    with pytest.raises(type(fault)):
        run_slot(errand, Asked(slot=SLOT, due_at=DUE, by_hand=True, again=True))
    (run,) = outfit.book.runs(SLOT.day)
    assert (run.state, run.remark, run.lease_until) == ("done", remark, None)
    outfit.clock.forward(HOUR)
    assert outfit.call() is None
    assert len(outfit.mail.got) == 2


def test_a_lease_lasts_as_long_as_a_child_of_serve_may_take() -> None:
    assert timedelta(seconds=PATIENCE_S) == LEASE
