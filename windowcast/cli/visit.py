"""``windowcast visit``: a treatment that was done, into the book."""

from __future__ import annotations

import sys
from contextlib import closing
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import WRONG_USE, ConfigDir, app, say
from windowcast.cli.given import YardKey, yard_of
from windowcast.cli.ledger import Yes
from windowcast.cli.moments import zone_known
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.cli.progress import progress_bar
from windowcast.cli.visit_words import began_at, crew_of, treated, visit_day
from windowcast.problems import ConfigProblem, Fault, WindowcastError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date, datetime
    from typing import TypeVar

    from windowcast.gather import Gathered
    from windowcast.settings import Settings
    from windowcast.store.book import Book
    from windowcast.terms.visit import Visit
    from windowcast.terms.yard import Yard

    Found = TypeVar("Found")

VisitDay = Annotated[
    str,
    typer.Argument(
        metavar="DAY", help="Date such as 2027-01-12, today, yesterday, or fri for the last Friday."
    ),
]
Round = Annotated[
    int | None, typer.Option("--round", metavar="N", help="Which round; else the one that is due.")
]
Done = Annotated[
    str | None,
    typer.Option(
        metavar="KINDS",
        help="Colonies that were done, such as doubles=12,nucs=3 (doubles, singles, nucs,"
        " nucs_above); else the whole yard.",
    ),
]
Whole = Annotated[
    bool,
    typer.Option(
        "--whole",
        help="The round is whole with this visit, whatever the counts say: the rest is dead or"
        " gone, or was done before.",
    ),
]
Grams = Annotated[
    str | None,
    typer.Option(metavar="KINDS", help="Grams of acid for all of a kind, such as doubles=48."),
]
Began = Annotated[
    str | None, typer.Option(metavar="HH:MM", help="When the work began, by the yard's clock.")
]
Crew = Annotated[str, typer.Option(metavar="NAME", help="Which crew, as in outfit.toml.")]
Person = Annotated[str, typer.Option(metavar="NAME", help="Who did it.")]
Note = Annotated[str, typer.Option(metavar="TEXT", help="Anything else worth keeping.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was typed about a visit."""

    day: str
    round_no: int | None
    done: str | None
    grams: str | None
    began: str | None
    crew: str
    person: str
    note: str
    whole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AtYard:
    """A yard with its clock, what the book has, and who else can be asked."""

    settings: Settings
    book: Book
    yard: Yard
    now: datetime
    tz: str
    ask: Callable[[], Gathered]


@app.command(epilog="Example: windowcast visit kiln yesterday --done doubles=12 --began 10:30")
def visit(  # noqa: PLR0913, PLR0917  a record has many columns
    yard: YardKey,
    day: VisitDay = "today",
    round_: Round = None,
    done: Done = None,
    whole: Whole = False,
    grams: Grams = None,
    began: Began = None,
    crew: Crew = "",
    person: Person = "",
    note: Note = "",
    yes: Yes = False,
    config: ConfigDir = ".",
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """Keep a treatment that was done: of a whole yard, or of so many colonies of a kind."""
    from windowcast.settings import load_settings
    from windowcast.wiring import book_of

    told = Told(
        day=day, round_no=round_, done=done, grams=grams, began=began, crew=crew, person=person,
        note=note, whole=whole,
    )  # fmt: skip
    settings, now = load_settings(Path(config)), now_or(at)
    known = yard_of(settings, yard)
    with closing(book_of(settings)) as book:
        book_it(_place(settings, book, known, now), told, config, yes=yes, as_json=as_json)


def book_it(place: AtYard, told: Told, config: str, *, yes: bool, as_json: bool) -> None:
    """Put a visit into the book once its doubts are settled, with the weather of its hour.

    Where another visit to the yard is booked or struck out in the meantime, all begins anew.
    """
    kept, why = _try_to_book(place, told, yes=yes)
    while kept is None:
        say(f"The visits of {place.yard.key} have changed meanwhile: looking at them again.")
        kept, why = _try_to_book(place, told, yes=yes)
    _confirm(place, kept, why, config, as_json=as_json)


def _try_to_book(place: AtYard, told: Told, *, yes: bool) -> tuple[Visit | None, str]:
    """The visit as the book has it, None where others were faster, and why it has no weather."""
    from windowcast.booking import hour_meant, weather_at

    booked = place.book.visits()
    meant = _visit(place, told, booked)
    _settle(place, meant, booked, yes=yes)
    hour = hour_meant(meant.began_at, meant.day, place.now, place.tz)
    weather, why = weather_at(place.yard.key, hour, place.now, place.book, place.ask, place.yard)
    judged = [v.number for v in booked if v.yard_key == place.yard.key and v.number is not None]
    whole = replace(meant, weather=weather)
    return place.book.add_judged_visit(whole, judged, place.now), why


def _place(settings: Settings, book: Book, yard: Yard, now: datetime) -> AtYard:
    """The yard with its zone: as the files or the book tell it, else as a source does."""

    @cache
    def ask() -> Gathered:
        return _asked(settings, book, yard, now)

    tz = zone_known(settings, yard, book) or _zone_asked(yard, ask)
    return AtYard(settings=settings, book=book, yard=yard, now=now, tz=tz, ask=ask)


def _asked(settings: Settings, book: Book, yard: Yard, now: datetime) -> Gathered:
    from windowcast.morning import look_out
    from windowcast.wiring import wire

    with progress_bar() as bar:
        wired = wire(settings, bar, book)
        with wired.fetcher:
            gathered = look_out(replace(wired.desk, yards=(yard,)), now)
    if not gathered.kept_keys:  # what was asked is kept, so that the next visit knows the zone
        book.keep_outlooks(gathered.outlooks, now, gathered.places)
        book.keep_hours(gathered.outlooks, now)
    return gathered


def _zone_asked(yard: Yard, ask: Callable[[], Gathered]) -> str:
    try:
        gathered = ask()
    except WindowcastError as problem:
        why = str(problem).partition("\n")[0]
    else:
        tz = next((seen.tz for seen in gathered.yards if seen.tz), None)
        if tz:
            return tz
        why = "; ".join(blind.why for blind in gathered.blind)
    found = f"nothing tells the zone of {yard.key}, whose clock a visit goes by ({why})"
    cure = 'write zone = "America/..." there, or run it again when a source answers'
    raise ConfigProblem([Fault(file="outfit.toml", field="zone", found=found, cure=cure)])


def _visit(place: AtYard, told: Told, booked: tuple[Visit, ...]) -> Visit:
    """The visit that was typed; wrong use for what cannot be."""
    from windowcast.terms.visit import Visit

    yard, label = place.yard, place.settings.label
    day = _taken("DAY", lambda: visit_day(told.day, place.now, place.tz))
    began = _taken("--began", lambda: _began(told.began, day, place))
    crew = _taken("--crew", lambda: crew_of(told.crew, place.settings.outfit.crews))
    parts = _taken("--done", lambda: treated(told.done, told.grams))
    round_no = _round(place, told, day, booked)
    return _taken(
        "visit",
        lambda: Visit(
            yard_key=yard.key,
            yard_name=yard.name,
            state=yard.state,
            day=day,
            began_at=began,
            round_no=round_no,
            treated=parts,
            of_colonies=yard.colonies or None,
            whole=told.whole,
            crew=crew,
            person=told.person.strip(),
            product=label.product or "",
            registration=label.registration or "",
            note=told.note.strip(),
            logged_at=place.now,
        ),
    )


def _began(text: str | None, day: date, place: AtYard) -> datetime | None:
    return None if text is None else began_at(text, day, place.now, place.tz)


def _taken(hint: str, read: Callable[[], Found]) -> Found:
    try:
        return read()
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint=hint) from error


def _round(place: AtYard, told: Told, day: date, booked: tuple[Visit, ...]) -> int:
    from windowcast.planning.visit_doubts import round_meant
    from windowcast.wording.visits import no_round_sentence

    if told.round_no is not None:
        return told.round_no
    rounds = place.settings.practice.rounds
    meant = round_meant(place.yard, day, booked, rounds, place.settings.label)
    if meant.round_no is None:
        sentence = no_round_sentence(meant, place.yard, rounds)
        raise typer.BadParameter(sentence, param_hint="--round")
    return meant.round_no


def _settle(place: AtYard, meant: Visit, booked: tuple[Visit, ...], *, yes: bool) -> None:
    """Say all that is odd, and ask; wrong use where nobody can be asked, or does not want it."""
    from windowcast.planning.visit_doubts import visit_doubts
    from windowcast.wording.visits import doubt_sentence

    settings = place.settings
    doubts = visit_doubts(meant, place.yard, booked, settings.practice.rounds, settings.label)
    for doubt in doubts:
        say(doubt_sentence(doubt, meant, place.yard))
    if not doubts or yes:
        return
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        say("Nothing was booked, as nobody can be asked here: add --yes, or correct the visit.")
        raise typer.Exit(WRONG_USE)
    if not typer.confirm("Book it all the same?", default=False, err=True):
        say("Nothing was booked.")
        raise typer.Exit


def _confirm(place: AtYard, kept: Visit, why: str, config: str, *, as_json: bool) -> None:
    """What was booked, and what it makes of the yard; the words go to stderr."""
    from windowcast.planning.rounds import round_due, treatment_of
    from windowcast.planning.visit_doubts import done_frac
    from windowcast.wording.scale import scale_of
    from windowcast.wording.visit_document import booked_document_text
    from windowcast.wording.visits import booked_lines, undo_line, weather_line

    settings, booked = place.settings, place.book.visits()
    rounds = settings.practice.rounds
    done = done_frac(place.yard, kept, [v for v in booked if v.number != kept.number])
    treatments = [treatment_of(v, place.yard) for v in booked if v.yard_key == kept.yard_key]
    due = round_due(place.yard.key, treatments, kept.day, rounds, settings.label)
    if as_json:
        put(booked_document_text(kept, place.tz, done, due, why))
        return
    lines = booked_lines(kept, place.yard, done, due, rounds)
    weather = weather_line(kept, why, scale_of(settings.outfit.units), place.tz)
    say("\n".join([*lines, weather, undo_line(kept, config)]))
