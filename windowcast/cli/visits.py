"""``windowcast visits``: treatments that were done, listed, undone, exported and imported."""

from __future__ import annotations

import shutil
import sys
from contextlib import closing
from dataclasses import dataclass
from functools import partial
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
from windowcast.cli.moments import zone_known
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.times import YEARS, local_date, season_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.store.book import Book
    from windowcast.terms.visit import Visit

WIDE, NARROWEST = 100, 40
HINT = "--export"

SomeYard = Annotated[
    str | None,
    typer.Argument(metavar="YARD", help="Only this yard, by key or name, or a key of the book."),
]
Season = Annotated[
    int | None,
    typer.Option(
        metavar="YEAR",
        min=YEARS[0],
        max=YEARS[-1],
        help="Of the season that began in July of this year; else of the running one.",
    ),
]
AllSeasons = Annotated[bool, typer.Option("--all", help="Of all seasons.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """An outfit, its book, the hour, and what was asked for; ``season`` None is all."""

    settings: Settings
    book: Book
    now: datetime
    season: int | None
    yard: str | None


@app.command(epilog="Example: windowcast visits --season 2026 --export visits.csv")
def visits(  # noqa: PLR0913, PLR0917  one option for each act, and three that narrow the list
    yard: SomeYard = None,
    season: Season = None,
    all_: AllSeasons = False,
    undo: Undo = None,
    export: Export = None,
    import_: Import = None,
    yes: Yes = False,
    config: ConfigDir = ".",
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """List the treatments of a season, strike one out, or take them to a spreadsheet and back."""
    from windowcast.settings import load_settings
    from windowcast.wiring import book_of

    demand_one(**{"undo": undo, "export": export, "import": import_, "json": as_json})
    demand_one(**{"season": season, "all": all_})
    settings, now = load_settings(Path(config)), now_or(at)
    with closing(book_of(settings)) as book:
        wanted = None if all_ else season if season is not None else _running(settings, now)
        ledger = Ledger(settings=settings, book=book, now=now, season=wanted, yard=yard)
        if undo is not None:
            strike(ledger, undo, yes=yes)
        elif import_ is not None:
            import_table(ledger, import_, yes=yes)
        elif export is not None:
            export_table(ledger, export, yes=yes)
        else:
            show(ledger, as_json=as_json)


def show(ledger: Ledger, *, as_json: bool) -> None:
    """Print the visits that were asked for, as text or as a document."""
    from windowcast.wording.scale import scale_of
    from windowcast.wording.visit_document import visits_document_text
    from windowcast.wording.visits import stray_lines, total_line, visit_lines

    key, found = _wanted(ledger)
    running = _running(ledger.settings, ledger.now)
    of_now = [visit for visit in found if season_of(visit.day) == running]
    if as_json:
        zones = _zones(ledger, found)
        put(visits_document_text(found, zones, season=ledger.season, yard=key))
    elif found:
        lines = visit_lines(found, scale_of(ledger.settings.outfit.units), _width())
        put("\n".join(lines) + "\n")
        say(total_line(found, _which(ledger, key)))
    else:
        say(f"no visit {_which(ledger, key)} is in the book; windowcast visit YARD adds one")
    for line in stray_lines(of_now, [yard.key for yard in ledger.settings.yards]):
        say(line)


def export_table(ledger: Ledger, file: str, *, yes: bool) -> None:
    """Write the table of the visits that were asked for; what is there is replaced if agreed."""
    from windowcast.records.visits import visits_text
    from windowcast.wording.plain import plural
    from windowcast.wording.scale import scale_of
    from windowcast.wording.visits import weather_words

    if file != "-" and (not Path(file).name or Path(file).is_dir()):
        raise typer.BadParameter(f'"{file}" is no file; name one, or - to print', param_hint=HINT)
    key, found = _wanted(ledger)
    words = partial(weather_words, scale=scale_of(ledger.settings.outfit.units))
    text = visits_text(found, zones=_zones(ledger, found), weather_words=words)
    told = f"{plural(len(found), 'visit')} {_which(ledger, key)}"
    if file == "-":
        put(text)
    elif not Path(file).is_file() or agreed(f"Replace {file}?", yes=yes):
        put_table(f"\ufeff{text}", file, told)  # by which spreadsheets know UTF-8


def strike(ledger: Ledger, number: int, *, yes: bool) -> None:
    """Undo a visit after showing it; wrong use where there is none of that number."""
    from windowcast.wording.visits import visit_sentence

    found = [visit for visit in ledger.book.visits() if visit.number == number]
    if not found:
        say(f"the book has no visit {number}; windowcast visits --all lists all with their numbers")
        raise typer.Exit(WRONG_USE)
    told = visit_sentence(found[0])
    if agreed(f"Strike out {told}?", yes=yes):
        ledger.book.undo_visit(number, ledger.now)
        say(f"struck out: {told}")


def import_table(ledger: Ledger, file: str, *, yes: bool) -> None:
    """Add the visits of a table that the book lacks: all of them, or none where a row is wrong."""
    from windowcast.records.cells import decoded
    from windowcast.records.visits import new_among, read_visits, unknown_yards
    from windowcast.wording.plain import clean, joined, plural

    name = clean(file)
    read = read_visits(decoded(table_bytes(file), file=name), file=name, now=ledger.now)
    fresh = new_among(read, ledger.book.visits())
    counted = f"{plural(len(fresh), 'visit')} new, {len(read) - len(fresh)} in the book already"
    strange = unknown_yards(fresh, [yard.key for yard in ledger.settings.yards])
    if strange:
        say(f"{name}: yards.csv has no {joined([clean(key) for key in strange], 'or')}")
    if not fresh:
        say(f"{name}: {counted}; nothing was changed")
    elif agreed(f"{name}: {counted}. Add them?", yes=yes):
        added = ledger.book.add_visits(fresh, ledger.now)
        say(f"{name}: {counted}; {plural(len(added), 'visit')} added")


def _running(settings: Settings, now: datetime) -> int:
    return season_of(local_date(now, settings.outfit.tz or "UTC"))


def _wanted(ledger: Ledger) -> tuple[str | None, tuple[Visit, ...]]:
    """The key of the yard that was asked for, and the visits; a yard may be of the book alone."""
    found = ledger.book.visits(ledger.season)
    if ledger.yard is None:
        return None, found
    gone = {visit.yard_key for visit in ledger.book.visits()}
    listed = {yard.key for yard in ledger.settings.yards}
    key = ledger.yard.strip()
    if key not in gone - listed:
        key = yard_of(ledger.settings, key).key
    return key, tuple(visit for visit in found if visit.yard_key == key)


def _which(ledger: Ledger, key: str | None) -> str:
    from windowcast.wording.plain import clean

    where = "" if key is None else f" at {clean(key)}"
    season = ledger.season
    return f"of {'all seasons' if season is None else f'season {season}-{season + 1}'}{where}"


def _zones(ledger: Ledger, some: Iterable[Visit]) -> Mapping[str, str]:
    """The zone of every yard of some visits, as far as the files or the book tell it."""
    yards = {yard.key: yard for yard in ledger.settings.yards}
    keys: Sequence[str] = list(dict.fromkeys(visit.yard_key for visit in some))
    known = {
        key: zone_known(ledger.settings, yards[key], ledger.book) for key in keys if key in yards
    }
    return {key: tz for key, tz in known.items() if tz}


def _width() -> int:
    """Cells of a line: those of a terminal, so that nothing wraps, else as many as are readable."""
    if not sys.stdout.isatty():
        return WIDE
    return max(shutil.get_terminal_size((WIDE, 24)).columns, NARROWEST)
