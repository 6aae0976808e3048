"""The book: one method for each act, each in one transaction, words in and words out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

from sqlalchemy import ColumnElement, Engine, select

from windowcast.store import deliveries, slot_claims, tables, telling, weather
from windowcast.store.engine import BUSY_S, engine_for, reading, spoken, writing
from windowcast.store.entries import add, standing, standing_numbers, undo
from windowcast.store.instants import text_if_told, text_of
from windowcast.store.opening import make_ready
from windowcast.store.rows import (
    from_report,
    from_visit,
    read_all,
    to_delivery,
    to_report,
    to_run,
    to_visit,
)
from windowcast.store.versions import MIGRATIONS
from windowcast.terms.delivery import REFUSED, WAITING, Delivery
from windowcast.terms.kept import (
    DONE,
    FAILED,
    Claim,
    Holder,
    KeptOutlook,
    Learned,
    Run,
    SlotKey,
    Told,
)
from windowcast.terms.outlook import Outlook
from windowcast.terms.report import Report
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Place
from windowcast.times import Hours


def open_book(book: Path | str, *, busy_s: float = BUSY_S, migrations: Path = MIGRATIONS) -> Book:
    """Open the book in a SQLite file (a Path) or in PostgreSQL (an address), making it if need be.

    An older book is copied beside itself and carried forward. StoreProblem where the book is
    newer than the program, is no book, or cannot be reached.
    """
    engine = engine_for(book, busy_s=busy_s)
    try:
        make_ready(engine, migrations)
    except BaseException:
        engine.dispose()
        raise
    return Book(engine)


class Book:
    """What was seen, done, forecast and told. Each thread opens its own.

    Every method that writes is all or nothing; StoreProblem where it is nothing. ``now`` is the
    aware time of the act.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self.where = spoken(engine)

    def close(self) -> None:
        """Let go of the connections; the book may be opened again."""
        self._engine.dispose()

    def add_visit(self, visit: Visit, now: datetime) -> Visit:
        """The same visit with the number that the book gave it."""
        with writing(self._engine) as connection:
            return replace(visit, number=add(connection, tables.visits, from_visit(visit), now))

    def add_judged_visit(self, visit: Visit, known: Collection[int], now: datetime) -> Visit | None:
        """The visit with its number, if those of its yard are still the ones that are ``known``.

        None, and nothing is kept, where one was added or struck out since somebody looked.
        """
        with writing(self._engine) as connection:
            if standing_numbers(connection, tables.visits, visit.yard_key) != frozenset(known):
                return None
            return replace(visit, number=add(connection, tables.visits, from_visit(visit), now))

    def add_visits(self, some: Iterable[Visit], now: datetime) -> tuple[Visit, ...]:
        """The same visits with their numbers; all of them are kept, or none."""
        with writing(self._engine) as connection:
            return tuple(
                replace(visit, number=add(connection, tables.visits, from_visit(visit), now))
                for visit in some
            )

    def undo_visit(self, number: int, now: datetime) -> Visit:
        """Strike a visit out, and return it; it is not deleted but listed no more."""
        with writing(self._engine) as connection:
            return read_all(self.where, [undo(connection, tables.visits, number, now)], to_visit)[0]

    def visits(self, season: int | None = None) -> tuple[Visit, ...]:
        """Visits by day, then as they were logged; of one season (2026 starts in July 2026)."""
        wanted: list[ColumnElement[bool]] = []
        if season is not None:
            first, last = date(season, 7, 1).isoformat(), date(season + 1, 6, 30).isoformat()
            wanted = [tables.visits.c.day >= first, tables.visits.c.day <= last]
        with reading(self._engine) as connection:
            rows = standing(connection, tables.visits, *wanted, order=tables.visits.c.day)
        return read_all(self.where, rows, to_visit)

    def add_report(self, report: Report, now: datetime) -> Report:
        """The same report with the number that the book gave it."""
        with writing(self._engine) as connection:
            return replace(report, number=add(connection, tables.reports, from_report(report), now))

    def add_reports(self, some: Iterable[Report], now: datetime) -> tuple[Report, ...]:
        """The same reports with their numbers; all of them are kept, or none."""
        with writing(self._engine) as connection:
            return tuple(
                replace(report, number=add(connection, tables.reports, from_report(report), now))
                for report in some
            )

    def undo_report(self, number: int, now: datetime) -> Report:
        """Strike a report out, and return it; it is not deleted but listed no more."""
        with writing(self._engine) as connection:
            return read_all(self.where, [undo(connection, tables.reports, number, now)], to_report)[
                0
            ]

    def reports(
        self, since: datetime | None = None, until: datetime | None = None
    ) -> tuple[Report, ...]:
        """Reports by the time of seeing, from ``since`` on and before ``until``."""
        wanted: list[ColumnElement[bool]] = []
        if since is not None:
            wanted.append(tables.reports.c.at >= text_of(since))
        if until is not None:
            wanted.append(tables.reports.c.at < text_of(until))
        with reading(self._engine) as connection:
            rows = standing(connection, tables.reports, *wanted, order=tables.reports.c.at)
        return read_all(self.where, rows, to_report)

    def keep_hours(self, outlooks: Iterable[Outlook], now: datetime) -> None:
        """Keep the hours before that of ``now``; each from its best telling (``blocks``)."""
        pieces = weather.cut(outlooks, now)
        with writing(self._engine) as connection:
            weather.keep_hours(connection, self.where, pieces, now)

    def hours_of(self, yard_key: str, hours: Hours) -> Outlook | None:
        """The kept weather of a yard on these hours, None where none of them is kept."""
        with reading(self._engine) as connection:
            return weather.hours_of(connection, self.where, yard_key, hours)

    def keep_outlooks(
        self, outlooks: Sequence[Outlook], now: datetime, places: Mapping[str, Place] | None = None
    ) -> None:
        """Keep the outlook of each yard unless a younger one is kept, or it tells nothing.

        ``places`` are zone and height by yard, as far as a service told them.
        """
        kept = weather.outlooks_kept(outlooks, places or {}, now)
        with writing(self._engine) as connection:
            weather.set_aside_if_moved(connection, kept, now)
            weather.keep_outlooks(connection, kept, now)

    def outlook_of(self, yard_key: str, issued_from: datetime) -> KeptOutlook | None:
        """The kept outlook of a yard if it was issued at that time or later."""
        with reading(self._engine) as connection:
            return weather.outlook_of(connection, self.where, yard_key, issued_from)

    def claim_slot(
        self,
        slot: SlotKey,
        holder: Holder,
        now: datetime,
        lease: timedelta,
        by_hand: bool = False,
    ) -> Claim | None:
        """The right to run a slot; None where another has it or had it, or it was missed.

        A slot whose lease is over is taken over, and its attempt counts one more. A run that a
        person asked for (``by_hand``) takes any slot that nobody is running now.
        """
        with writing(self._engine) as connection:
            return slot_claims.claim(connection, slot, holder, now, lease, by_hand)

    def extend_lease(self, held: Claim, now: datetime, lease: timedelta) -> Claim:
        """The same claim until ``now`` plus the lease; StoreProblem where it was taken over."""
        until = now + lease
        with writing(self._engine) as connection:
            slot_claims.change_claimed(connection, held, {"lease_until": text_of(until)})
        return replace(held, lease_until=until)

    def end_slot(self, held: Claim, now: datetime, remark: str = "") -> None:
        """The slot was run; nobody runs it again. StoreProblem where it was taken over."""
        row = {"state": DONE, "ended_at": text_of(now), "lease_until": None, "remark": remark}
        with writing(self._engine) as connection:
            slot_claims.change_claimed(connection, held, row)

    def fail_slot(
        self, held: Claim, now: datetime, remark: str, retry_at: datetime | None = None
    ) -> None:
        """The run failed; it may be claimed again from ``retry_at`` on, never without one."""
        row = {
            "state": FAILED,
            "ended_at": text_of(now),
            "lease_until": text_if_told(retry_at),
            "remark": remark,
        }
        with writing(self._engine) as connection:
            slot_claims.change_claimed(connection, held, row)

    def miss_slot(self, slot: SlotKey, now: datetime, remark: str = "") -> bool:
        """Mark a slot that nobody will run; False where it was claimed or marked before."""
        with writing(self._engine) as connection:
            return slot_claims.miss(connection, slot, now, remark)

    def settle_slot(self, slot: SlotKey, now: datetime, remark: str) -> bool:
        """Count a slot as done, whoever has it; False where it was done before."""
        with writing(self._engine) as connection:
            return slot_claims.settle(connection, slot, now, remark)

    def runs(self, since: date) -> tuple[Run, ...]:
        """What became of the slots from a local day on, by day and time."""
        query = select(tables.runs).where(tables.runs.c.slot_date >= since.isoformat())
        ordered = query.order_by(
            tables.runs.c.slot_date, tables.runs.c.slot_time, tables.runs.c.kind
        )
        with reading(self._engine) as connection:
            rows = list(connection.execute(ordered).mappings())
        return read_all(self.where, rows, to_run)

    def keep_result(
        self, held: Claim, learned: Learned, letters: Iterable[Delivery], now: datetime
    ) -> None:
        """Keep what a run learned, with a waiting row for each of its letters that has none.

        StoreProblem, and nothing is kept, where the slot was taken over.
        """
        pieces = weather.cut(learned.outlooks, now)
        kept = weather.outlooks_kept(learned.fresh, learned.places, now)
        with writing(self._engine) as connection:
            slot_claims.demand_ours(connection, held)
            weather.set_aside_if_moved(connection, kept, now)
            weather.keep_hours(connection, self.where, pieces, now)
            weather.keep_outlooks(connection, kept, now)
            deliveries.add_waiting(connection, letters, now)

    def deliveries(self, slot: SlotKey) -> tuple[Delivery, ...]:
        """Who gets the letter of a slot and who has it, by issue."""
        with reading(self._engine) as connection:
            rows = deliveries.rows_of(connection, slot)
        return read_all(self.where, rows, to_delivery)

    def mark_sent(self, letter: Delivery, now: datetime) -> Delivery:
        """The recipient has it; the delivery as it now stands in the book."""
        with writing(self._engine) as connection:
            return deliveries.mark_sent(connection, letter, now)

    def mark_unsent(
        self, letter: Delivery, why: str, now: datetime, *, lasting: bool = False
    ) -> Delivery:
        """A try failed: the letter waits, or was refused; the delivery as it now stands."""
        state = REFUSED if lasting else WAITING
        with writing(self._engine) as connection:
            return deliveries.mark_unsent(connection, letter, state, why, now)

    def mark_told(self, texts: Mapping[str, str], now: datetime) -> None:
        """Notices were told, by identity: when first and last, and the hash of the last text."""
        with writing(self._engine) as connection:
            telling.mark_told(connection, texts, now)

    def told(self, identity: str) -> Told | None:
        """When a notice of that identity was told and with which text, None "never"."""
        with reading(self._engine) as connection:
            return telling.told_of(connection, self.where, identity)
