"""Whatever happens between mornings: nobody gets a letter twice without a crash, none is lost."""

from __future__ import annotations

import tempfile
from collections import Counter
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from support.errands import DAY, DUE, INES, MINUTE, OFFICE, THERE, TRUCK, Outfit, an_outfit

from windowcast.daily.choice import by_the_clock
from windowcast.daily.errand import LEASE
from windowcast.daily.sending import identity_of
from windowcast.terms.kept import DONE, Run

EVERYBODY = (OFFICE, TRUCK, INES)
WHO = st.sampled_from([one.address for one in EVERYBODY])
EVENTS = st.one_of(
    st.tuples(st.just("wait"), st.integers(1, 40 * 60)),
    st.tuples(st.just("call"), st.none()),
    st.tuples(st.just("ask"), st.booleans()),
    st.tuples(st.just("refuse"), st.frozensets(WHO)),
    st.tuples(st.just("refuse_for_good"), st.frozensets(WHO)),
    st.tuples(st.just("away"), st.booleans()),
    st.tuples(st.just("crash"), WHO),
    st.tuples(st.just("die"), st.none()),
)


class Crash(BaseException):
    """The process ends after the server's yes and before our mark."""


class Crashing:
    """The mail of an outfit, with a crash at the next letter to somebody."""

    name = "mail"

    def __init__(self, outfit: Outfit) -> None:
        self.mail, self.at, self.crashes = outfit.mail, "", 0

    def send(self, letter, recipient, identity, now) -> None:
        self.mail.send(letter, recipient, identity, now)
        if recipient.address == self.at:
            self.at = ""
            self.crashes += 1
            raise Crash


class Story(Outfit):
    """An outfit to which things happen."""

    def begin(self) -> None:
        self.wire = Crashing(self)
        self.recipients = EVERYBODY

    def errand(self, *args):
        return replace(super().errand(*args), channels={"mail": self.wire})

    def happen(self, kind: str, told: object) -> None:
        try:
            getattr(self, f"on_{kind}")(told)
        except Crash:
            self.clock.forward(MINUTE)

    def on_wait(self, minutes: int) -> None:
        self.clock.forward(timedelta(minutes=minutes))

    def on_call(self, _: None) -> None:
        self.call()

    def on_ask(self, again: bool) -> None:
        self.ask(again)

    def on_refuse(self, whom: frozenset[str]) -> None:
        self.mail.refuses = set(whom)

    def on_refuse_for_good(self, whom: frozenset[str]) -> None:
        self.mail.for_good = set(whom)

    def on_away(self, away: bool) -> None:
        self.weather.away = away

    def on_crash(self, at: str) -> None:
        self.wire.at = at

    def on_die(self, _: None) -> None:
        """Another claims what is due, and is killed."""
        asked = by_the_clock(self.book, self.run_at, "America/Los_Angeles", self.clock())
        if asked is not None:
            self.book.claim_slot(asked.slot, THERE, self.clock(), LEASE)


def two_good_days(story: Story) -> None:
    """All is well again, and a timer looks every quarter of an hour."""
    story.mail.refuses, story.mail.for_good = set(), set()
    story.weather.away, story.wire.at = False, ""
    for _ in range(2 * 24 * 4):
        story.call()
        story.clock.forward(15 * MINUTE)


@settings(max_examples=40)
@given(events=st.lists(EVENTS, max_size=25))
def test_letters_come_once_and_what_did_not_come_is_said(events) -> None:
    with tempfile.TemporaryDirectory() as folder, an_outfit(Path(folder)) as plain:
        story = Story(plain.book)
        story.begin()
        for kind, told in events:
            story.happen(kind, told)
        two_good_days(story)
        copies = Counter(identity for _, _, identity in story.mail.got)
        assert sum(copies.values()) - len(copies) <= story.wire.crashes
        runs = story.book.runs((DUE - DAY).date())
        mornings = [run for run in runs if run.slot.kind == "morning"]
        assert mornings[-1].state == DONE
        everybody = story.book.deliveries(mornings[-1].slot)
        assert {row.recipient for row in everybody if row.state == "sent"} == set(EVERYBODY)
        for run in runs:
            rows = story.book.deliveries(run.slot)
            assert all(copies[identity_of(row)] for row in rows if row.state == "sent")
        assert [run for run in mornings if not is_answered_for(story, run)] == []


def is_answered_for(story: Story, run: Run) -> bool:
    """Whether a morning reached all, or a later one said that it did not come or not to all."""
    rows = story.book.deliveries(run.slot)
    reached = {row.recipient for row in rows if row.state == "sent"}
    if run.state == DONE or (reached and reached == {row.recipient for row in rows}):
        return True
    name = f"{run.slot.day.isoformat()}/{run.slot.at.isoformat('minutes')}/morning"
    return any(story.book.told(f"{what}/{name}") for what in ("no morning", "not all"))
