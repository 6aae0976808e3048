"""``windowcast check``: whether the configuration is sound and the sources answer."""

from __future__ import annotations

import os
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, NO_FORECAST, SOMETHING_MISSING, ConfigDir, app
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.problems import ConfigProblem, StoreProblem

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.settings.summary import CheckDocument

Online = Annotated[
    bool,
    typer.Option(
        "--online", help="Also ask every source for every yard, and count what a morning costs."
    ),
]


@app.command(epilog="Example: windowcast check --config bees --online")
def check(
    config: ConfigDir = ".", online: Online = False, at: At = None, as_json: AsJson = False
) -> None:
    """Read the whole configuration and name every fault, or say what it says."""
    now = now_or(at)
    told, settings = _read(config, as_json=as_json)
    told = told.model_copy(update={"remarks": (*told.remarks, *_of_the_book(settings, now))})
    if online:
        told, status = _tried(told, settings, now)
    else:
        status = DONE
    _show(told, as_json=as_json)
    raise typer.Exit(status)


def _read(config: str, *, as_json: bool) -> tuple[CheckDocument, Settings]:
    """The settings and what they say; with faults the document is printed before they are told."""
    from windowcast.settings import load_settings
    from windowcast.settings.summary import faulty_document, sound_document

    try:
        settings = load_settings(Path(config))
    except ConfigProblem as problem:
        if as_json:
            _show(faulty_document(problem.faults), as_json=True)
        raise
    return sound_document(settings, os.environ), settings


def _of_the_book(settings: Settings, now: datetime) -> list[str]:
    """What the book has that the yards do not fit with; why it cannot be read where that is so."""
    from windowcast.times import local_date, season_of
    from windowcast.wiring import memory_of
    from windowcast.wording.visits import stray_lines

    try:
        book = memory_of(settings)
        if book is None:
            return []
        with closing(book):
            visits = book.visits(season_of(local_date(now, settings.outfit.tz or "UTC")))
    except StoreProblem as problem:
        return [str(problem)]
    return stray_lines(visits, [yard.key for yard in settings.yards])


def _tried(told: CheckDocument, settings: Settings, now: datetime) -> tuple[CheckDocument, int]:
    """The document with the answers of the sources, and the status that a morning would end in."""
    from windowcast.cli.online import tried

    trial = tried(settings, now)
    whole = told.model_copy(update={"online": trial})
    if len(trial.blind) == len(settings.yards):
        return whole, NO_FORECAST
    return whole, SOMETHING_MISSING if trial.blind else DONE


def _show(told: CheckDocument, *, as_json: bool) -> None:
    if as_json:
        put(told.model_dump_json(indent=2) + "\n")
        return
    from windowcast.settings.summary import summary_lines

    lines = list(summary_lines(told))
    if told.online is not None:
        from windowcast.cli.online import trial_lines

        lines += trial_lines(told.online)
    put("\n".join(lines) + "\n")
