"""``windowcast mites``: levels of mites, and what treatments did to them."""

from __future__ import annotations

from contextlib import closing
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from windowcast.cli.app import ConfigDir, app, say
from windowcast.cli.given import yard_of
from windowcast.cli.moments import past_day, zone_for_days
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.cli.reports import Since, SomeYard
from windowcast.times import SEASON_MONTH, local_date, season_of

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.terms.mites import YardMites
    from windowcast.wording.mites import MiteAccount


@app.command(epilog="Example: windowcast mites kiln --since 2026-07-01 --config bees")
def mites(
    yard: SomeYard = None,
    since: Since = None,
    config: ConfigDir = ".",
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """Say how many mites the yards have and what each round did, from washes and boards."""
    from windowcast.settings import load_settings
    from windowcast.wording.mites import mites_text
    from windowcast.wording.mites_document import mites_document_text
    from windowcast.wording.scale import scale_of

    settings = load_settings(Path(config))
    only = None if yard is None else yard_of(settings, yard).key
    account = account_of(settings, only, since, now_or(at))
    write = mites_document_text if as_json else mites_text
    put(write(account, scale_of(settings.outfit.units)))


def account_of(
    settings: Settings, only: str | None, since: str | None, now: datetime
) -> MiteAccount:
    """What the book's counts say, of one yard or of all; this season's unless told otherwise."""
    from windowcast.science.colony.yard_mites import MiteBook, mites_of_yards
    from windowcast.terms.report import MiteBoard, MiteWash
    from windowcast.wiring import book_of
    from windowcast.wording.mites import MiteAccount

    first = _first_day(settings, since, now)
    with closing(book_of(settings)) as book:
        zones = {yard.key: zone_for_days(settings, yard, book) for yard in settings.yards}
        reports, visits = book.reports(until=now), book.visits()
    visits = tuple(
        visit
        for visit in visits
        if visit.yard_key in zones and visit.day <= local_date(now, zones[visit.yard_key])
    )
    counts = [report for report in reports if isinstance(report.seen, MiteWash | MiteBoard)]
    strange = {report.yard_key for report in counts} - zones.keys()
    if strange:
        say(f"reports of yards that yards.csv no longer has are left out: {_listed(strange)}")
    found = mites_of_yards(
        MiteBook(yards=settings.yards, zones=zones, reports=counts, visits=visits),
        settings.practice.mites,
        first,
    )
    told: tuple[YardMites, ...] = tuple(m for m in found if only in (None, m.yard_key))
    counted = {mites.yard_key for mites in told}
    wanted = [yard.key for yard in settings.yards if only in (None, yard.key)]
    return MiteAccount(
        outfit=settings.outfit.name,
        since=first,
        yards=told,
        uncounted=tuple(key for key in wanted if key not in counted),
        practice=settings.practice,
    )


def _first_day(settings: Settings, since: str | None, now: datetime) -> date:
    today = local_date(now, settings.outfit.tz or "UTC")
    if since is None:
        return date(season_of(today), SEASON_MONTH, 1)
    try:
        return past_day(since, today)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--since") from error


def _listed(keys: set[str]) -> str:
    from windowcast.wording.plain import clean, listed

    return listed([clean(key) for key in sorted(keys)], 200)
