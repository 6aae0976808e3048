"""``windowcast seen``: what a person saw at a yard, into the book."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import ConfigDir, app, say
from windowcast.cli.given import YardKey, yard_of
from windowcast.cli.moments import moment_of, zone_for_days, zone_known
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import now_or
from windowcast.cli.sights import FORMS, sight_of

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.terms.report import Report
    from windowcast.terms.yard import Yard

Kind = Annotated[str, typer.Argument(metavar="KIND", help=f"One of {', '.join(FORMS)}.")]
Words = Annotated[
    list[str] | None, typer.Argument(metavar="WORDS", help="What was seen, as above.")
]
Colonies = Annotated[
    int | None, typer.Option(metavar="K", help="Brood: in so many colonies; with --of.")
]
Of = Annotated[int | None, typer.Option(metavar="N", help="Brood: of so many looked into.")]
Plant = Annotated[str | None, typer.Option(metavar="P", help="Pollen: from which plant.")]
Bees = Annotated[int | None, typer.Option(metavar="N", help="Mites of a wash: bees washed.")]
BoardDays = Annotated[
    float | None, typer.Option(metavar="D", help="Mites on a board: days that it lay.")
]
Colony = Annotated[str | None, typer.Option(metavar="ID", help="Mites: of which colony.")]
Days = Annotated[float | None, typer.Option(metavar="D", help="Rain: days in the gauge, else 1.")]
SeenAt = Annotated[
    str | None,
    typer.Option(
        "--at",
        metavar="TIME",
        help="When it was seen, else now: 07:40, 'yesterday 16:00', '2027-01-12 07:40' by the"
        " yard's clock, or ISO 8601 with an offset.",
    ),
]
Person = Annotated[str, typer.Option(metavar="NAME", help="Who saw it.")]
Note = Annotated[str, typer.Option(metavar="TEXT", help="Anything else worth keeping.")]

_HELP = "Keep what a person saw at a yard: brood, pollen, mites, the lane, rain or bloom.\n\n"
_HELP += "\n\n".join(f"seen YARD {line}" for form in FORMS.values() for line in form.splitlines())


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """What was typed: kind, words and options of the sight, and who saw it when."""

    kind: str
    words: tuple[str, ...]
    given: dict[str, int | float | str]
    at: str | None
    person: str
    note: str


@app.command(
    help=_HELP,
    epilog="Example: windowcast seen kiln mites 6 --bees 300 --at 07:40 --config bees",
)
def seen(  # noqa: PLR0913, PLR0917  each form has options of its own
    yard: YardKey,
    kind: Kind,
    words: Words = None,
    colonies: Colonies = None,
    of: Of = None,
    plant: Plant = None,
    bees: Bees = None,
    board_days: BoardDays = None,
    colony: Colony = None,
    days: Days = None,
    at: SeenAt = None,
    person: Person = "",
    note: Note = "",
    config: ConfigDir = ".",
    as_json: AsJson = False,
) -> None:
    """Keep what a person saw at a yard."""
    from windowcast.settings import load_settings

    options = {
        "colonies": colonies, "of": of, "plant": plant, "bees": bees, "board_days": board_days,
        "colony": colony, "days": days,
    }  # fmt: skip
    telling = Telling(
        kind=kind, words=tuple(words or ()), at=at, person=person, note=note,
        given={name: value for name, value in options.items() if value is not None},
    )  # fmt: skip
    settings = load_settings(Path(config))
    keep(settings, yard_of(settings, yard), telling, now_or(None), as_json=as_json)


def keep(settings: Settings, yard: Yard, telling: Telling, now: datetime, *, as_json: bool) -> None:
    """Put a sight into the book and say so; wrong use where it is none."""
    from windowcast.wiring import book_of

    with closing(book_of(settings)) as book:
        try:
            report = _report(telling, yard, zone_known(settings, yard, book), now)
        except ValueError as error:
            raise typer.BadParameter(str(error), param_hint="seen") from error
        kept = book.add_report(report, now)
        tz = zone_for_days(settings, yard, book)
    _confirm(kept, tz, settings, as_json=as_json)


def _report(telling: Telling, yard: Yard, tz: str | None, now: datetime) -> Report:
    from windowcast.terms.report import Report

    return Report(
        yard_key=yard.key,
        at=moment_of(telling.at, now, tz) if telling.at is not None else now,
        seen=sight_of(telling.kind, telling.words, telling.given),
        logged_at=now,
        person=telling.person.strip(),
        note=telling.note.strip(),
    )


def _confirm(kept: Report, tz: str, settings: Settings, *, as_json: bool) -> None:
    from windowcast.terms.report import MiteBoard, MiteWash
    from windowcast.wording.reports import report_line
    from windowcast.wording.reports_document import reports_document_text
    from windowcast.wording.scale import scale_of

    if as_json:
        put(reports_document_text([kept], {kept.yard_key: tz}))
        return
    line = report_line(kept, tz, scale_of(settings.outfit.units))
    say(f"report {kept.number}: {line}; undo with `windowcast reports --undo {kept.number}`")
    if not isinstance(kept.seen, MiteWash | MiteBoard):
        say("The book keeps it; the notice of this version does not reckon with it yet.")
