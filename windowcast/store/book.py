"""The book: one method for each act, each in one transaction, words in and words out."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
from sqlalchemy import ColumnElement, Connection, Engine, select

from windowcast.store import slot_claims, tables
from windowcast.store.blocks import BLOCK_H, laid, merged, told_before
from windowcast.store.engine import BUSY_S, engine_for, reading, spoken, writing
from windowcast.store.entries import add, put, standing, undo
from windowcast.store.instants import text_if_told, text_of
from windowcast.store.opening import make_ready
from windowcast.store.packing import packed, unpacked
from windowcast.store.rows import (
    from_kept,
    from_report,
    from_visit,
    read_all,
    readable,
    to_kept,
    to_report,
    to_run,
    to_told,
    to_visit,
)
from windowcast.store.versions import MIGRATIONS
from windowcast.terms.kept import (
    DONE,
    FAILED,
    Claim,
    Holder,
    KeptOutlook,
    Run,
    SlotKey,
    Told,
)
from windowcast.terms.outlook import FORECAST, Outlook
from windowcast.terms.report import Report
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Place
from windowcast.times import Hours, as_hour

NOWHERE = Place()


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
        cut = [(item.yard_key, told_before(item, as_hour(now))) for item in outlooks]
        with writing(self._engine) as connection:
            for yard_key, blocks in cut:
                for block, outlook in blocks.items():
                    self._keep_block(connection, yard_key, block, outlook, now)

    def hours_of(self, yard_key: str, hours: Hours) -> Outlook | None:
        """The kept weather of a yard on these hours, None where none of them is kept."""
        if not hours.size:
            return None
        numbers = hours.astype(np.int64) // BLOCK_H
        wanted = tables.kept_hours.c.block.between(int(numbers[0]), int(numbers[-1]))
        query = select(tables.kept_hours).where(tables.kept_hours.c.yard_key == yard_key, wanted)
        with reading(self._engine) as connection:
            rows = connection.execute(query.order_by(tables.kept_hours.c.block)).mappings().all()
        with readable(self.where, f"the weather kept of {yard_key}"):
            whole = laid(yard_key, hours, [unpacked(row["packed"]) for row in rows])
        return whole if whole.origins else None

    def keep_outlooks(
        self, outlooks: Sequence[Outlook], now: datetime, places: Mapping[str, Place] | None = None
    ) -> None:
        """Keep the outlook of each yard unless a younger one is kept, or it tells nothing.

        ``places`` are zone and height by yard, as far as a service told them.
        """
        known = places or {}
        kept = [
            KeptOutlook(
                outlook=outlook,
                place=known.get(outlook.yard_key, NOWHERE),
                issued_at=_issued_at(outlook, now),
                kept_at=now,
            )
            for outlook in outlooks
            if (outlook.origin_of_hour >= 0).any()
        ]
        table = tables.kept_outlooks
        with writing(self._engine) as connection:
            for item in kept:
                key = {"yard_key": item.outlook.yard_key}
                query = select(table.c.issued_at).where(table.c.yard_key == key["yard_key"])
                before = connection.execute(query).scalar()
                if before is None or before <= text_of(item.issued_at):
                    put(connection, table, key, from_kept(item), now)

    def outlook_of(self, yard_key: str, issued_from: datetime) -> KeptOutlook | None:
        """The kept outlook of a yard if it was issued at that time or later."""
        table = tables.kept_outlooks
        query = select(table).where(
            table.c.yard_key == yard_key, table.c.issued_at >= text_of(issued_from)
        )
        with reading(self._engine) as connection:
            row = connection.execute(query).mappings().first()
        if row is None:
            return None
        with readable(self.where, f"the outlook kept of {yard_key}"):
            return to_kept(row)

    def claim_slot(
        self, slot: SlotKey, holder: Holder, now: datetime, lease: timedelta
    ) -> Claim | None:
        """The right to run a slot; None where another has it or had it, or it was missed.

        A slot whose lease is over is taken over, and its attempt counts one more.
        """
        with writing(self._engine) as connection:
            return slot_claims.claim(connection, slot, holder, now, lease)

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

    def runs(self, since: date) -> tuple[Run, ...]:
        """What became of the slots from a local day on, by day and time."""
        query = select(tables.runs).where(tables.runs.c.slot_date >= since.isoformat())
        ordered = query.order_by(
            tables.runs.c.slot_date, tables.runs.c.slot_time, tables.runs.c.kind
        )
        with reading(self._engine) as connection:
            rows = list(connection.execute(ordered).mappings())
        return read_all(self.where, rows, to_run)

    def mark_told(self, texts: Mapping[str, str], now: datetime) -> None:
        """Notices were told, by identity: when first and last, and the hash of the last text."""
        with writing(self._engine) as connection:
            for identity, text in texts.items():
                before = connection.execute(
                    select(tables.told).where(tables.told.c.identity == identity)
                ).first()
                row = {
                    "first_told": text_of(now) if before is None else before.first_told,
                    "last_told": text_of(now),
                    "text_hash": hash_of(text),
                }
                put(connection, tables.told, {"identity": identity}, row, now)

    def told(self, identity: str) -> Told | None:
        """When a notice of that identity was told and with which text, None "never"."""
        query = select(tables.told).where(tables.told.c.identity == identity)
        with reading(self._engine) as connection:
            row = connection.execute(query).mappings().first()
        if row is None:
            return None
        with readable(self.where, f"the notice {identity}"):
            return to_told(row)

    def _keep_block(
        self, connection: Connection, yard_key: str, block: int, new: Outlook, now: datetime
    ) -> None:
        key = {"yard_key": yard_key, "block": block}
        same = (tables.kept_hours.c.yard_key == yard_key, tables.kept_hours.c.block == block)
        before = connection.execute(select(tables.kept_hours.c.packed).where(*same)).scalar()
        content = packed(new)
        if before is not None:
            with readable(self.where, f"the weather kept of {yard_key}"):
                content = packed(merged(unpacked(before), new))
        if content != before:
            put(
                connection,
                tables.kept_hours,
                key,
                {"packed": content, "changed_at": text_of(now)},
                now,
            )


def hash_of(text: str) -> str:
    """SHA-256 of a notice's text: whether it says something new."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _issued_at(outlook: Outlook, now: datetime) -> datetime:
    issued = [o.issued_at for o in outlook.origins if o.kind == FORECAST and o.issued_at]
    return min(issued, default=now)
