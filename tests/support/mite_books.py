"""Washes, boards and visits of invented yards, as reports and counts."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from windowcast.science.colony.counting import mite_counts, round_spans
from windowcast.science.colony.record import YardRecord
from windowcast.terms.mites import MitePractice
from windowcast.terms.report import MiteBoard, MiteWash, Report
from windowcast.terms.visit import Treated, Visit
from windowcast.terms.yard import Yard

DAY_0 = date(2026, 12, 20)
LOGGED = datetime(2027, 3, 1, tzinfo=UTC)
TZ = "America/Los_Angeles"
LIMITS = MitePractice()


def on(day: int, hour: int = 20) -> datetime:
    """So many days after the day of the treatment; 20:00 UTC is noon at the yard."""
    at = DAY_0 + timedelta(days=day)
    return datetime(at.year, at.month, at.day, hour, tzinfo=UTC)


def washed(day: int, mites: int, bees: int = 300, colony: str = "", key: str = "kiln") -> Report:
    seen = MiteWash(mites=mites, bees=bees, colony=colony)
    return Report(yard_key=key, at=on(day), seen=seen, logged_at=LOGGED)


def board(day: int, mites: int, over_d: float = 3.0, colony: str = "") -> Report:
    seen = MiteBoard(mites=mites, over_d=over_d, colony=colony)
    return Report(yard_key="kiln", at=on(day), seen=seen, logged_at=LOGGED)


def visited(
    day: int = 0, round_no: int = 1, colonies: int | None = None, of: int | None = None
) -> Visit:
    treated = () if colonies is None else (Treated(kind="doubles", colonies=colonies),)
    return Visit(
        yard_key="kiln", day=DAY_0 + timedelta(days=day), round_no=round_no, logged_at=LOGGED,
        treated=treated, of_colonies=of,
    )  # fmt: skip


def yard(colonies: int = 24, key: str = "kiln") -> Yard:
    return Yard(key=key, name=key, lat_deg=45.9, lon_deg=-119.6, doubles=colonies)


def record(
    *reports: Report, visits: tuple[Visit, ...] = (), colonies: int = 1, key: str = "kiln"
) -> YardRecord:
    """What the book holds of a yard of one colony, unless more are told."""
    days = [visit.day for visit in visits]
    counts = mite_counts(reports, yard(colonies, key), TZ, days, LIMITS)
    return YardRecord(yard_key=key, counts=counts, spans=round_spans(visits, colonies))
