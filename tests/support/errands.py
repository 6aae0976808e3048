"""Runs with a real book, and a weather service, post and clock that do as they are told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from support.books import fresh_book
from support.outlooks import CREW, outlook, yard

from windowcast.daily.choice import by_hand, by_the_clock
from windowcast.daily.errand import Errand, Outcome
from windowcast.daily.run import run_slot
from windowcast.morning import Desk
from windowcast.problems import NoticeProblem
from windowcast.store.book import Book
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import Letter, Recipient
from windowcast.terms.kept import Holder, SlotKey
from windowcast.terms.outlook import Answer, Origin
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Place, Yard

TZ = "America/Los_Angeles"
RUN_AT = (time(6),)
DUE = datetime(2027, 1, 12, 14, tzinfo=UTC)  # 06:00 there
SLOT = SlotKey(day=date(2027, 1, 12), at=time(6))
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
HERE, THERE = Holder(host="shed", pid=41), Holder(host="office", pid=77)
OFFICE, TRUCK, INES = (
    Recipient(channel="mail", address=f"{name}@vellamoor.example")
    for name in ("office", "truck", "ines")
)


@dataclass
class Clock:
    """Shows what it was set to."""

    now: datetime = DUE

    def __call__(self) -> datetime:
        return self.now

    def forward(self, step: timedelta) -> None:
        self.now += step


@dataclass
class Weather:
    """A service that forecasts ten calm days from yesterday on, or is away."""

    away: bool = False
    asked: int = 0
    name: str = "nws"
    reach_h: int = 192

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        self.asked += 1
        if self.away:
            return Answer(trouble={one.key: "nws: no answer" for one in yards})
        first = now.replace(minute=0) - DAY
        origin = Origin(name="nws", issued_at=now - HOUR)
        told = {one.key: outlook(one.key, first, 240, origin) for one in yards}
        return Answer(outlooks=told, places={one.key: Place(tz=TZ) for one in yards})


@dataclass
class Postbox:
    """A channel that keeps what it was given, and refuses some addresses, some of them for good."""

    name: str = "mail"
    refuses: set[str] = field(default_factory=set)
    for_good: set[str] = field(default_factory=set)
    tried: list[str] = field(default_factory=list)
    got: list[tuple[str, str, str]] = field(default_factory=list)  # address, subject, identity
    texts: list[str] = field(default_factory=list)

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: datetime) -> None:
        self.tried.append(recipient.address.partition("@")[0])
        if recipient.address in self.refuses | self.for_good:
            lasting = recipient.address in self.for_good
            raise NoticeProblem(f"mail to {recipient.address}: the server said no", lasting=lasting)
        self.got.append((recipient.address, letter.subject, identity))
        self.texts.append(letter.text)

    @property
    def reached(self) -> list[str]:
        return [address.partition("@")[0] for address, _, _ in self.got]

    @property
    def subjects(self) -> list[str]:
        return [subject for _, subject, _ in self.got]


def letter_of(morning: Morning, late: bool) -> Letter:
    """A letter whose text are the remarks."""
    subject = f"{'late: ' if late else ''}{len(morning.advice)} yards"
    return Letter(subject=subject, text="\n".join(morning.remarks), html="", document="{}")


def no_forecast_letter(why: str, now: datetime, until: datetime | None) -> Letter:
    return Letter(subject="no forecast", text=f"{why}\nuntil {until}", html="", document="{}")


@dataclass
class Outfit:
    """One outfit with its book; whoever calls at a time of its clock."""

    book: Book
    clock: Clock = field(default_factory=Clock)
    weather: Weather = field(default_factory=Weather)
    mail: Postbox = field(default_factory=Postbox)
    recipients: tuple[Recipient, ...] = (OFFICE, TRUCK)
    run_at: tuple[time, ...] = RUN_AT
    stopping: bool = False

    def errand(self, holder: Holder = HERE) -> Errand:
        desk = Desk(
            outfit="Vellamoor Bees", tz=TZ, yards=(yard("kiln"), yard("mill-ditch")),
            crews=(CREW,), practice=Practice(), sources=(self.weather,), memory=self.book,
        )  # fmt: skip
        return Errand(
            desk=desk, book=self.book, holder=holder, clock=self.clock,
            recipients=self.recipients, channels={"mail": self.mail},
            letter_of=letter_of, no_forecast_letter=no_forecast_letter,
            stopping=lambda: self.stopping,
        )  # fmt: skip

    def call(self, holder: Holder = HERE) -> Outcome | None:
        """What a timer does: run what is due."""
        asked = by_the_clock(self.book, self.run_at, TZ, self.clock())
        return None if asked is None else run_slot(self.errand(holder), asked)

    def ask(self, again: bool = False) -> Outcome:
        """What a person does."""
        asked = by_hand(self.book, self.run_at, TZ, self.clock(), again=again)
        return run_slot(self.errand(), asked)

    def state(self, slot: SlotKey = SLOT) -> str:
        return next(run.state for run in self.book.runs(slot.day) if run.slot == slot)


@contextmanager
def an_outfit(folder: Path, kind: str = "sqlite") -> Iterator[Outfit]:
    """An outfit with an empty book, in a file or in PostgreSQL."""
    with fresh_book(kind, folder) as book:
        yield Outfit(book)
