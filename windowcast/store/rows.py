"""Words as rows of the book, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict
from datetime import date, time
from typing import Any, TypeVar

from sqlalchemy import RowMapping

from windowcast.problems import StoreProblem
from windowcast.store.instants import moment_if_told, moment_of, text_if_told, text_of
from windowcast.store.packing import packed, unpacked
from windowcast.terms.delivery import Delivery, Recipient
from windowcast.terms.kept import Holder, KeptOutlook, Run, SlotKey, Told
from windowcast.terms.report import (
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    Report,
    RoadSeen,
    Seen,
)
from windowcast.terms.visit import Treated, Visit, VisitWeather
from windowcast.terms.yard import Place

T = TypeVar("T")
Row = dict[str, Any]

# What stands in the book for each kind of sight; a name here is never changed or used again.
SIGHTS: Mapping[str, type[Seen]] = {
    "brood": BroodSeen,
    "pollen": PollenSeen,
    "mite_wash": MiteWash,
    "mite_board": MiteBoard,
    "road": RoadSeen,
    "rain": RainMeasured,
    "bloom": BloomSeen,
}
_PLAIN = ("yard_name", "state", "crew", "person", "product", "registration", "note")


@contextmanager
def readable(where: str, what: str) -> Iterator[None]:
    """A row that cannot be what it claims to be is a StoreProblem that names it."""
    try:
        yield
    except (ValueError, TypeError, KeyError) as error:
        raise StoreProblem(
            f"the book {where} is damaged: {what} cannot be read ({error}); restore a copy of it"
        ) from error


def from_visit(visit: Visit) -> Row:
    """The columns of a visit but number and times of the row."""
    weather = visit.weather and {**asdict(visit.weather), "hour": text_of(visit.weather.hour)}
    return {
        "yard_key": visit.yard_key,
        "day": visit.day.isoformat(),
        "round_no": visit.round_no,
        "began_at": text_if_told(visit.began_at),
        **{name: getattr(visit, name) for name in _PLAIN},
        "treated": [asdict(item) for item in visit.treated],
        "of_colonies": visit.of_colonies,
        "whole": visit.whole,
        "weather": weather,
        "logged_at": text_of(visit.logged_at),
    }


def to_visit(row: RowMapping) -> Visit:
    """The visit of a row."""
    weather = row["weather"]
    return Visit(
        number=row["number"],
        yard_key=row["yard_key"],
        day=date.fromisoformat(row["day"]),
        round_no=row["round_no"],
        began_at=moment_if_told(row["began_at"]),
        **{name: row[name] for name in _PLAIN},
        treated=tuple(Treated(**item) for item in row["treated"]),
        of_colonies=row["of_colonies"],
        whole=row["whole"],
        weather=weather and VisitWeather(**{**weather, "hour": moment_of(weather["hour"])}),
        logged_at=moment_of(row["logged_at"]),
    )


def from_report(report: Report) -> Row:
    """The columns of a report but number and times of the row."""
    kinds = {word: kind for kind, word in SIGHTS.items()}
    return {
        "yard_key": report.yard_key,
        "at": text_of(report.at),
        "kind": kinds[type(report.seen)],
        "seen": asdict(report.seen),
        "person": report.person,
        "note": report.note,
        "logged_at": text_of(report.logged_at),
    }


def to_report(row: RowMapping) -> Report:
    """The report of a row."""
    return Report(
        number=row["number"],
        yard_key=row["yard_key"],
        at=moment_of(row["at"]),
        seen=SIGHTS[row["kind"]](**row["seen"]),
        person=row["person"],
        note=row["note"],
        logged_at=moment_of(row["logged_at"]),
    )


def from_kept(kept: KeptOutlook) -> Row:
    """The columns of a kept outlook."""
    return {
        "issued_at": text_of(kept.issued_at),
        "kept_at": text_of(kept.kept_at),
        "place": asdict(kept.place),
        "packed": packed(kept.outlook),
    }


def to_kept(row: RowMapping) -> KeptOutlook:
    """The kept outlook of a row."""
    return KeptOutlook(
        outlook=unpacked(row["packed"]),
        place=Place(**row["place"]),
        issued_at=moment_of(row["issued_at"]),
        kept_at=moment_of(row["kept_at"]),
    )


def from_slot(slot: SlotKey) -> Row:
    """The columns that make a run unique."""
    return {
        "slot_date": slot.day.isoformat(),
        "slot_time": slot.at.isoformat(timespec="minutes"),
        "kind": slot.kind,
    }


def to_slot(row: RowMapping) -> SlotKey:
    """The slot that a row belongs to."""
    return SlotKey(
        day=date.fromisoformat(row["slot_date"]),
        at=time.fromisoformat(row["slot_time"]),
        kind=row["kind"],
    )


def to_run(row: RowMapping) -> Run:
    """The run of a row."""
    return Run(
        slot=to_slot(row),
        state=row["state"],
        attempt=row["attempt"],
        started_at=moment_of(row["started_at"]),
        ended_at=moment_if_told(row["ended_at"]),
        lease_until=moment_if_told(row["lease_until"]),
        holder=None if row["host"] is None else Holder(host=row["host"], pid=row["pid"]),
        remark=row["remark"],
    )


def from_delivery(delivery: Delivery) -> Row:
    """The columns of a delivery that change."""
    return {"state": delivery.state, "tries": delivery.tries, "remark": delivery.remark}


def to_delivery(row: RowMapping) -> Delivery:
    """The delivery of a row."""
    return Delivery(
        slot=to_slot(row),
        issue=row["issue"],
        recipient=Recipient(channel=row["channel"], address=row["address"]),
        state=row["state"],
        tries=row["tries"],
        remark=row["remark"],
    )


def to_told(row: RowMapping) -> Told:
    """The told notice of a row."""
    return Told(
        identity=row["identity"],
        first_told=moment_of(row["first_told"]),
        last_told=moment_of(row["last_told"]),
        text_hash=row["text_hash"],
    )


def read_all(where: str, rows: list[RowMapping], word: Callable[[RowMapping], T]) -> tuple[T, ...]:
    """The words of numbered rows."""
    words = []
    for row in rows:
        with readable(where, f"{word.__name__.removeprefix('to_')} {row['number']}"):
            words.append(word(row))
    return tuple(words)
