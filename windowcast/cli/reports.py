"""``windowcast reports``: what people saw, listed, undone, exported and imported."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import WRONG_USE, ConfigDir, app, say
from windowcast.cli.given import yard_of
from windowcast.cli.ledger import (
    Export,
    Import,
    Undo,
    Yes,
    agreed,
    demand_one,
    put_table,
    table_bytes,
)
from windowcast.cli.moments import past_day, zone_for_days
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.cli.sights import FORMS
from windowcast.times import local_date

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.store.book import Book
    from windowcast.terms.report import Report

SomeYard = Annotated[
    str | None, typer.Argument(metavar="YARD", help="Only this yard, by key or name.")
]
Since = Annotated[
    str | None,
    typer.Option(metavar="DAY", help="Only from this day on: a date, today or yesterday."),
]
OfKind = Annotated[
    str | None, typer.Option("--kind", metavar="KIND", help=f"Only one of {', '.join(FORMS)}.")
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """An outfit, its book, and the hour."""

    settings: Settings
    book: Book
    now: datetime


@app.command(epilog="Example: windowcast reports kiln --since 2026-11-01 --kind mites")
def reports(  # noqa: PLR0913, PLR0917  one option for each act, and three that narrow the list
    yard: SomeYard = None,
    since: Since = None,
    kind: OfKind = None,
    undo: Undo = None,
    export: Export = None,
    import_: Import = None,
    yes: Yes = False,
    config: ConfigDir = ".",
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """List what people saw, undo a report, or take all of them to a spreadsheet and back."""
    from windowcast.settings import load_settings
    from windowcast.wiring import book_of

    demand_one(**{"undo": undo, "export": export, "import": import_, "json": as_json})
    settings, now = load_settings(Path(config)), now_or(at)
    with closing(book_of(settings)) as book:
        ledger = Ledger(settings=settings, book=book, now=now)
        if undo is not None:
            strike(ledger, undo, yes=yes)
        elif import_ is not None:
            add_table(ledger, import_, yes=yes)
        elif export is not None:
            write_table(ledger, _wanted(ledger, yard, since, kind), export, yes=yes)
        else:
            show(ledger, _wanted(ledger, yard, since, kind), as_json=as_json)


def _wanted(
    ledger: Ledger, yard: str | None, since: str | None, kind: str | None
) -> tuple[Report, ...]:
    """The reports of the book that the list was narrowed to."""
    from windowcast.wording.reports import KINDS

    kind = kind and kind.strip().casefold()
    if kind is not None and kind not in KINDS:
        known = ", ".join(KINDS)
        raise typer.BadParameter(f'"{kind}" is no kind; use {known}', param_hint="--kind")
    found = ledger.book.reports()
    if yard is not None:
        key = _key(ledger, yard, found)
        found = tuple(report for report in found if report.yard_key == key)
    if kind is not None:
        found = tuple(report for report in found if isinstance(report.seen, KINDS[kind]))
    return found if since is None else _since(ledger, found, since)


def _key(ledger: Ledger, yard: str, found: Iterable[Report]) -> str:
    """The key of a yard of the list, or of one that is in the book alone."""
    gone = {report.yard_key for report in found} - {y.key for y in ledger.settings.yards}
    return yard.strip() if yard.strip() in gone else yard_of(ledger.settings, yard).key


def _since(ledger: Ledger, found: Iterable[Report], since: str) -> tuple[Report, ...]:
    found = tuple(found)
    zones = zones_of(ledger, found)
    today = local_date(ledger.now, ledger.settings.outfit.tz or next(iter(zones.values()), "UTC"))
    try:
        first = past_day(since, today)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--since") from error
    return tuple(r for r in found if local_date(r.at, zones[r.yard_key]) >= first)


def zones_of(ledger: Ledger, some: Iterable[Report]) -> Mapping[str, str]:
    """The zone of every yard of some reports; UTC for a yard that the list no longer has."""
    yards = {yard.key: yard for yard in ledger.settings.yards}
    keys = dict.fromkeys(report.yard_key for report in some)
    return {
        key: zone_for_days(ledger.settings, yards[key], ledger.book) if key in yards else "UTC"
        for key in keys
    }


def show(ledger: Ledger, found: Sequence[Report], *, as_json: bool) -> None:
    """Print some reports, as text or as a document."""
    from windowcast.wording.reports import reports_text
    from windowcast.wording.reports_document import reports_document_text
    from windowcast.wording.scale import scale_of

    zones = zones_of(ledger, found)
    if as_json:
        put(reports_document_text(found, zones))
    elif found:
        put(reports_text(found, zones, scale_of(ledger.settings.outfit.units)))
    else:
        say("no such report is in the book; `windowcast seen --help` shows how to add one")


def write_table(ledger: Ledger, found: Sequence[Report], file: str, *, yes: bool) -> None:
    """Write the table of some reports; what is there is replaced if agreed."""
    from windowcast.records.reports import reports_text
    from windowcast.wording.plain import plural

    text = reports_text(found, zones=zones_of(ledger, found))
    if file == "-":
        put(text)
    elif not Path(file).is_file() or agreed(f"Replace {file}?", yes=yes):
        told = plural(len(found), "report")
        put_table(f"\ufeff{text}", file, told)  # by which spreadsheets know UTF-8


def strike(ledger: Ledger, number: int, *, yes: bool) -> None:
    """Strike a report out after showing it; wrong use where there is none of that number."""
    from windowcast.wording.reports import report_line
    from windowcast.wording.scale import scale_of

    found = [report for report in ledger.book.reports() if report.number == number]
    if not found:
        say(f"the book has no report {number}; `windowcast reports` lists them with their numbers")
        raise typer.Exit(WRONG_USE)
    tz = zones_of(ledger, found)[found[0].yard_key]
    line = report_line(found[0], tz, scale_of(ledger.settings.outfit.units))
    if agreed(f"Strike out report {number}: {line}?", yes=yes):
        ledger.book.undo_report(number, ledger.now)
        say(f"struck out: report {number}: {line}")


def add_table(ledger: Ledger, file: str, *, yes: bool) -> None:
    """Add the reports of a table that the book lacks: all of them, or none where a row is wrong."""
    from windowcast.records.cells import decoded
    from windowcast.records.reports import new_among, read_reports
    from windowcast.wording.plain import clean, joined, plural

    name = clean(file)
    read = read_reports(decoded(table_bytes(file), file=name), file=name, now=ledger.now)
    fresh = new_among(read, ledger.book.reports())
    counted = f"{plural(len(fresh), 'report')} new, {len(read) - len(fresh)} in the book already"
    known = {yard.key for yard in ledger.settings.yards}
    strange = dict.fromkeys(r.yard_key for r in fresh if r.yard_key not in known)
    if strange:
        say(f"{name}: yards.csv has no {joined([clean(key) for key in strange], 'or')}")
    if not fresh:
        say(f"{name}: {counted}; nothing was changed")
    elif agreed(f"{name}: {counted}. Add them?", yes=yes):
        added = ledger.book.add_reports(fresh, ledger.now)
        say(f"{name}: {counted}; {plural(len(added), 'report')} added")
