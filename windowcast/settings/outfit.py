"""``outfit.toml``: who the outfit is, when its crews work, whom it asks for the weather."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import time
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from windowcast.settings.complaints import accepted, checked
from windowcast.settings.mail import MailSetting, MailTable, mail_setting, mail_slips
from windowcast.settings.posts import PostSetting, PostTable, post_setting, post_slips
from windowcast.settings.readings import (
    WEEKDAYS,
    book_address,
    clock,
    contact_address,
    measure,
    one_line,
    path_text,
    weekday,
    zone_name,
)
from windowcast.settings.run_at import MOST as MOST_TIMES
from windowcast.settings.run_at import run_at_slips, run_time
from windowcast.settings.sources import (
    NWS,
    SourceSetting,
    SourceTable,
    resolved,
    source_faults,
    source_setting,
)
from windowcast.settings.spelling import Slip, cure_for_word, shown
from windowcast.settings.toml_places import Document, KeyPath, read_document
from windowcast.terms.yard import Crew

FILE = "outfit.toml"
BOOK = "book.sqlite"
UNITS = ("us", "si")

_CONFIG = ConfigDict(frozen=True, extra="forbid", strict=True)
_WEEKDAY = WithJsonSchema({"type": "string", "examples": list(WEEKDAYS)})
_CLOCK = WithJsonSchema({"type": "string", "pattern": "^([01]?[0-9]|2[0-3]):[0-5][0-9]$"})


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchLimits:
    """How patient the program is with one weather service."""

    deadline_s: float = 30.0
    tries: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Outfit:
    """What ``outfit.toml`` says; paths are absolute, ``tz`` is None where a service shall tell.

    ``book`` is the file of the book, or the address of one in PostgreSQL. ``run_at`` are times by
    the clock of ``tz``, earliest first; without one no morning runs by itself.
    """

    name: str
    contact: str
    tz: str | None = None
    units: str = "us"
    crews: tuple[Crew, ...]
    sources: tuple[SourceSetting, ...] = (SourceSetting(name=NWS),)
    state: Path
    book: Path | str
    run_at: tuple[time, ...] = ()
    mail: MailSetting | None = None
    posts: tuple[PostSetting, ...] = ()
    limits: FetchLimits = field(default_factory=FetchLimits)


def _units(value: object) -> str:
    if value in UNITS:
        return str(value)
    word = value if isinstance(value, str) else ""
    raise Slip(f"{shown(value)} is not a system of units", cure_for_word(word, UNITS))


def _seconds(value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise Slip(f"{shown(value)} has no unit", f'write "{shown(value)} s"')
    seconds = round(measure(value, "duration") * 3600, 3)
    if not 1 <= seconds <= 300:
        raise Slip(f"{shown(value)} is out of reason", 'write "1 s" to "300 s"')
    return seconds


class CrewTable(BaseModel):
    """When one crew works, by the clock of the yard."""

    model_config = _CONFIG

    name: Annotated[str, BeforeValidator(one_line(30))] = Field(
        description="name of the crew", examples=["A"]
    )
    start: Annotated[time, BeforeValidator(clock), _CLOCK] = Field(
        description="earliest work of the day", examples=["08:00"]
    )
    end: Annotated[time, BeforeValidator(clock), _CLOCK] = Field(
        description="latest work of the day", examples=["17:00"]
    )
    days: list[Annotated[int, BeforeValidator(weekday), _WEEKDAY]] = Field(
        default_factory=lambda: list(range(7)),
        min_length=1,
        description="weekdays on which the crew works; all seven if left out",
        examples=[["Mon", "Tue", "Wed", "Thu", "Fri", "Sat"]],
    )


class FetchTable(BaseModel):
    """How patient the program is with the weather services."""

    model_config = _CONFIG

    deadline: Annotated[float, BeforeValidator(_seconds), WithJsonSchema({"type": "string"})] = (
        Field(
            default_factory=lambda: 30.0,
            json_schema_extra={"default": "30 s"},
            description="longest wait for one answer, 1 s to 5 min",
            examples=["30 s"],
        )
    )
    tries: int = Field(3, ge=1, le=5, description="tries before a service is down", examples=[3])


class OutfitFile(BaseModel):
    """The shape of ``outfit.toml``."""

    model_config = _CONFIG

    name: Annotated[str, BeforeValidator(one_line(50))] = Field(
        description="name of the outfit, as the notice shows it", examples=["Vellamoor Bees"]
    )
    contact: Annotated[str, BeforeValidator(contact_address)] = Field(
        description="your e-mail or web address; the weather services demand one",
        examples=["office@vellamoor.example"],
    )
    zone: Annotated[str | None, BeforeValidator(zone_name)] = Field(
        None,
        description="time zone of run_at, and of yards for which no service tells one",
        examples=["America/Boise"],
    )
    run_at: list[Annotated[time, BeforeValidator(run_time), _CLOCK]] = Field(
        default_factory=list,
        max_length=MOST_TIMES,
        description="local times at which the morning runs by itself, 03:00 to 23:00, by the clock"
        " of zone; left out, it runs only when it is called",
        examples=[["06:00"]],
    )
    units: Annotated[str, BeforeValidator(_units), WithJsonSchema({"enum": list(UNITS)})] = Field(
        "us", description="units of the notice: us or si", examples=["us"]
    )
    state: Annotated[str, BeforeValidator(path_text)] = Field(
        "state", description="folder for kept answers of the services", examples=["state"]
    )
    book: Annotated[str | None, BeforeValidator(book_address)] = Field(
        None,
        description="address of a book in PostgreSQL, without its password, which the driver"
        " takes from PGPASSWORD or ~/.pgpass; left out, the book is the file book.sqlite in the"
        " state folder",
        examples=["postgresql://bees@db.vellamoor.example/windowcast"],
    )
    crews: list[CrewTable] = Field(min_length=1, description="crews and their working hours")
    sources: list[SourceTable] | None = Field(
        None, min_length=1, description="weather sources in the order in which they are asked"
    )
    mail: MailTable | None = Field(None, description="server and recipients of the mail")
    posts: list[PostTable] = Field(
        default_factory=list, description="programs that get the document of each morning"
    )
    fetch: FetchTable = Field(
        default_factory=FetchTable, description="patience with the weather services"
    )


def read_outfit(folder: Path) -> Outfit:
    """The outfit of a configuration folder."""
    cure = "run `windowcast new DIR` to write one, or name its folder with --config"
    return outfit_of(read_document(folder / FILE, if_missing=cure), folder)


def outfit_of(document: Document, folder: Path) -> Outfit:
    """The outfit that a document tells; ConfigProblem with every fault in it."""
    built, faults = checked(OutfitFile, document.table, document)
    told = {fault.field for fault in faults}
    together = (
        document.fault(path, found=slip.found, cure=slip.cure)
        for path, slip in _cross_slips(document.table or {}, folder)
    )
    faults += [fault for fault in together if fault.field not in told]
    return _outfit(accepted(built, document, faults), folder)


def _cross_slips(table: dict[str, Any], folder: Path) -> Iterator[tuple[KeyPath, Slip]]:
    """What is wrong with values that are right by themselves; asked of the raw table."""
    yield from _entry_slips(table, folder)
    yield from run_at_slips(table)
    yield from mail_slips(table, folder)
    for kind in ("crews", "sources", "posts"):
        for number, name in _repeated(table, kind):
            yield (kind, number, "name"), Slip(f"{shown(name)} stands twice", "keep one of the two")
    state = table.get("state")
    if isinstance(state, str) and state.isprintable() and os.path.isfile(_at(state, folder)):
        yield ("state",), Slip(f"{shown(state)} is a file", "name a folder; it need not exist yet")


def _entry_slips(table: dict[str, Any], folder: Path) -> Iterator[tuple[KeyPath, Slip]]:
    """The same for each crew, source and post by itself."""
    for number, crew in _tables(table, "crews"):
        if _ends_early(crew):
            slip = Slip(f"{shown(crew['end'])} is not later than start", "write a later end")
            yield ("crews", number, "end"), slip
    for number, source in _tables(table, "sources"):
        for key, slip in source_faults(source, folder):
            yield ("sources", number, key), slip
    for number, post in _tables(table, "posts"):
        for key, slip in post_slips(post):
            yield ("posts", number, key), slip


def _tables(table: dict[str, Any], kind: str) -> Iterator[tuple[int, dict[str, Any]]]:
    told = table.get(kind)
    for number, one in enumerate(told if isinstance(told, list) else ()):
        if isinstance(one, dict):
            yield number, one


def _ends_early(crew: dict[str, Any]) -> bool:
    try:
        return clock(crew.get("end")) <= clock(crew.get("start"))
    except Slip:  # one of the two is faulty by itself, and said so
        return False


def _repeated(table: dict[str, Any], kind: str) -> Iterator[tuple[int, str]]:
    seen: set[str] = set()
    for number, one in _tables(table, kind):
        name = one.get("name")
        if isinstance(name, str) and name.strip() in seen:
            yield number, name
        elif isinstance(name, str):
            seen.add(name.strip())


def _at(path: str, folder: Path) -> Path:
    return resolved(path, folder) or folder


def _outfit(file: OutfitFile, folder: Path) -> Outfit:
    crews = (
        Crew(name=crew.name, start=crew.start, end=crew.end, weekdays=frozenset(crew.days))
        for crew in file.crews
    )
    sources = file.sources or [SourceTable(name=NWS)]
    return Outfit(
        name=file.name,
        contact=file.contact,
        tz=file.zone,
        units=file.units,
        crews=tuple(crews),
        sources=tuple(source_setting(source, folder) for source in sources),
        state=_at(file.state, folder),
        run_at=tuple(sorted(file.run_at)),
        mail=None if file.mail is None else mail_setting(file.mail, folder),
        posts=tuple(post_setting(post, folder) for post in file.posts),
        book=file.book or _at(file.state, folder) / BOOK,
        limits=FetchLimits(deadline_s=file.fetch.deadline, tries=file.fetch.tries),
    )
