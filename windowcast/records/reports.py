"""Reports as a table for a spreadsheet, and back.

Every report comes back as it was. ``number`` is the book's own and is not read. ``seen`` is the
stage, yes or no, the count of mites, the footing, or the depth of rain with its unit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from typing import Any

from windowcast.problems import ConfigProblem
from windowcast.records.cells import Row, count_of, each_read, number_of, shown, table_rows
from windowcast.records.cells import table_text as written
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
from windowcast.times import YEARS, instant, local
from windowcast.units import quantity

COLUMNS = (
    "number", "at", "yard", "kind", "seen", "plant", "colony", "colonies", "of", "bees", "days",
    "person", "note", "logged_at",
)  # fmt: skip
NEEDED = ("at", "yard", "kind", "seen")

Cells = dict[str, str]


def reports_text(reports: Iterable[Report], *, zones: Mapping[str, str]) -> str:
    """The table of some reports. Instants are on the clock of ``zones`` by yard, else in UTC."""
    rows = (_cells(report, zones.get(report.yard_key)) for report in reports)
    return written(COLUMNS, ([cells.get(column, "") for column in COLUMNS] for cells in rows))


def read_reports(text: str, *, file: str, now: datetime) -> tuple[Report, ...]:
    """The reports of a table; ConfigProblem with every fault of every row.

    A report without ``logged_at`` counts as logged ``now``.
    """
    rows = table_rows(text, file=file, columns=COLUMNS, needed=NEEDED)
    return each_read(rows, partial(_report, now=now))


def new_among(read: Iterable[Report], booked: Iterable[Report]) -> tuple[Report, ...]:
    """Those of the read reports that the book lacks.

    The same are those whose content is, apart from number and time of logging. What was seen
    twice, such as no mites in two washes of a morning, is two reports, in a file as in the book.
    """
    left = Counter(_content(report) for report in booked)
    fresh = []
    for report in read:
        content = _content(report)
        if left[content]:
            left[content] -= 1
        else:
            fresh.append(report)
    return tuple(fresh)


def _content(report: Report) -> Report:
    return replace(report, number=None, logged_at=report.at)


def _cells(report: Report, tz: str | None) -> Cells:
    kind, cells = _sight_cells(report.seen)
    return cells | {
        "number": "" if report.number is None else str(report.number),
        "at": _moment(report.at, tz),
        "yard": report.yard_key,
        "kind": kind,
        "person": report.person,
        "note": report.note,
        "logged_at": _moment(report.logged_at, tz),
    }


def _sight_cells(seen: Seen) -> tuple[str, Cells]:
    """The name of a kind, and the cells that are its own."""
    cells: Cells
    match seen:
        case BroodSeen():
            counts = {"colonies": _plain(seen.colonies), "of": _plain(seen.looked_into)}
            kind, cells = "brood", {"seen": seen.stage, **counts}
        case PollenSeen():
            kind, cells = "pollen", {"seen": "yes" if seen.coming else "no", "plant": seen.plant}
        case MiteWash():
            counts = {"seen": str(seen.mites), "bees": str(seen.bees)}
            kind, cells = "wash", {**counts, "colony": seen.colony}
        case MiteBoard():
            counts = {"seen": str(seen.mites), "days": _plain(seen.over_d)}
            kind, cells = "board", {**counts, "colony": seen.colony}
        case RoadSeen():
            kind, cells = "road", {"seen": seen.footing}
        case RainMeasured():
            depth = f"{_plain(seen.rain_mm)} mm"
            kind, cells = "rain", {"seen": depth, "days": _plain(seen.over_d)}
        case BloomSeen():
            kind, cells = "bloom", {"seen": seen.stage, "plant": seen.plant}
    return kind, cells


def _plain(value: float | None) -> str:
    """A number with as many digits as make the same number again."""
    return "" if value is None else repr(value).removesuffix(".0")


def _moment(moment: datetime, tz: str | None) -> str:
    here = local(moment, tz) if tz else moment.astimezone(UTC)
    return (here if here.year in YEARS else moment).isoformat()


def _report(row: Row, *, now: datetime) -> Report:
    """The report of a row; ConfigProblem with all that is wrong with it."""
    columns = ("yard", "plant", "colony")
    made = row.read(
        {
            "at": _instant,
            "logged_at": partial(_logged, now=now),
            "kind": _kind,
            **dict.fromkeys(columns, str.strip),
            **dict.fromkeys(("person", "note"), str),
            **dict.fromkeys(("colonies", "of", "bees"), partial(_if_told, count_of)),
            "days": partial(_if_told, partial(number_of, commas=row.commas)),
        }
    )
    _demand_at_home(row, made["kind"])
    try:
        seen = _SIGHTS[made["kind"]](row, made)
    except ValueError as error:
        raise ConfigProblem([row.wrong("seen", error)]) from error
    try:
        return Report(
            yard_key=made["yard"], at=made["at"], seen=seen, logged_at=made["logged_at"],
            person=made["person"], note=made["note"],
        )  # fmt: skip
    except ValueError as error:
        raise ConfigProblem([row.wrong("", error)]) from error


def _demand_at_home(row: Row, kind: str) -> None:
    """Refuse a cell that means nothing for its kind: it stands in the wrong row or column."""
    strangers = [name for name in _OWN if name not in _CELLS[kind] and row.told(name)]
    if strangers:
        error = ValueError(f"means nothing for {kind}; empty this cell, or correct the kind")
        raise ConfigProblem([row.wrong(name, error) for name in strangers])


def _brood(row: Row, made: Mapping[str, Any]) -> Seen:
    return BroodSeen(
        stage=row.told("seen").casefold(), colonies=made["colonies"], looked_into=made["of"]
    )


def _pollen(row: Row, made: Mapping[str, Any]) -> Seen:
    word = row.told("seen").casefold()
    if word not in ("yes", "no"):
        raise ValueError(f"{shown(word)} is neither; write yes or no")
    return PollenSeen(coming=word == "yes", plant=made["plant"])


def _wash(row: Row, made: Mapping[str, Any]) -> Seen:
    if made["bees"] is None:
        raise ValueError("a wash has no bees beside it; write how many were washed below bees")
    return MiteWash(mites=count_of(row.told("seen")), bees=made["bees"], colony=made["colony"])


def _board(row: Row, made: Mapping[str, Any]) -> Seen:
    if made["days"] is None:
        raise ValueError("a board has no days beside it; write how long it lay below days")
    return MiteBoard(mites=count_of(row.told("seen")), over_d=made["days"], colony=made["colony"])


def _road(row: Row, made: Mapping[str, Any]) -> Seen:
    return RoadSeen(footing=row.told("seen").casefold())


def _rain(row: Row, made: Mapping[str, Any]) -> Seen:
    depth = row.told("seen")
    plain = depth.replace(",", ".") if row.commas and depth.count(",") == 1 else depth
    over_d = 1.0 if made["days"] is None else made["days"]
    return RainMeasured(rain_mm=quantity(plain, "depth"), over_d=over_d)


def _bloom(row: Row, made: Mapping[str, Any]) -> Seen:
    return BloomSeen(plant=made["plant"], stage=row.told("seen").casefold())


_SIGHTS: Mapping[str, Callable[[Row, Mapping[str, Any]], Seen]] = {
    "brood": _brood,
    "pollen": _pollen,
    "wash": _wash,
    "board": _board,
    "road": _road,
    "rain": _rain,
    "bloom": _bloom,
}
_CELLS = {
    "brood": ("colonies", "of"),
    "pollen": ("plant",),
    "wash": ("bees", "colony"),
    "board": ("days", "colony"),
    "road": (),
    "rain": ("days",),
    "bloom": ("plant",),
}
_OWN = ("plant", "colony", "colonies", "of", "bees", "days")


def _kind(text: str) -> str:
    word = text.strip().casefold()
    if word not in _SIGHTS:
        raise ValueError(f"{shown(text)} is no kind of report; use {', '.join(_SIGHTS)}")
    return word


def _if_told(read: Callable[[str], Any], text: str) -> Any:
    return read(text) if text.strip() else None


def _instant(text: str) -> datetime:
    try:
        return instant(text.strip())
    except (ValueError, OverflowError) as error:
        raise ValueError(
            f"{shown(text)} is not a time with its offset; write it as 2027-01-12T10:30-08:00"
        ) from error


def _logged(text: str, *, now: datetime) -> datetime:
    moment = _instant(text) if text.strip() else now
    if moment > now:
        raise ValueError(f"{shown(text)} has not come yet; write a time gone by")
    return moment
