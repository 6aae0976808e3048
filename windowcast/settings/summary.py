"""What a configuration says, as one document and as lines for a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from pydantic import BaseModel, ConfigDict, Field

from windowcast.problems import Fault
from windowcast.settings.coordinates import decimal
from windowcast.settings.label import not_read
from windowcast.settings.load import Settings
from windowcast.settings.readings import WEEKDAYS
from windowcast.settings.remarks import remarks_on
from windowcast.settings.routine import Routine, routine_lines, routine_of
from windowcast.settings.sources import SourceSetting
from windowcast.terms.yard import Crew, Label, Yard

SCHEMA_VERSION = 1
MOST_YARDS_SHOWN = 60

_CONFIG = ConfigDict(frozen=True, extra="forbid")


class FaultEntry(BaseModel):
    """One fault: where, what was found, what to do."""

    model_config = _CONFIG
    file: str
    line: int | None
    field: str
    found: str
    cure: str


class CrewEntry(BaseModel):
    """One crew and its working hours."""

    model_config = _CONFIG
    name: str
    start: str
    end: str
    days: tuple[str, ...]


class YardEntry(BaseModel):
    """One yard."""

    model_config = _CONFIG
    key: str
    name: str
    lat: float
    lon: float
    state: str
    colonies: int


class ChangeEntry(BaseModel):
    """One threshold that differs from the program's own."""

    model_config = _CONFIG
    key: str
    written: str
    default: str


class YardAnswer(BaseModel):
    """What one source told for one yard when it was tried."""

    model_config = _CONFIG
    key: str
    issued_at: str | None = None
    age_h: float | None = Field(None, description="age of the forecast in hours")
    hours_ahead: int = Field(0, description="hours from now to the last one told")
    past_hours: int = Field(0, description="hours before now that are told")
    trouble: str | None = Field(None, description="why there is no forecast")


class SourceAnswer(BaseModel):
    """What one source told when it was tried."""

    model_config = _CONFIG
    name: str
    requests: int = Field(description="requests that went out for it")
    yards: tuple[YardAnswer, ...]
    remarks: tuple[str, ...] = ()


class Trial(BaseModel):
    """What came of asking every source for every yard."""

    model_config = _CONFIG
    sources: tuple[SourceAnswer, ...]
    requests_of_a_morning: int = Field(
        description="at most so many requests a morning as this one costs"
    )
    blind: Mapping[str, str] = Field({}, description="yards without a usable forecast, and why")


class CheckDocument(BaseModel):
    """What ``windowcast check --json`` prints."""

    model_config = _CONFIG
    schema_version: int = SCHEMA_VERSION
    sound: bool = Field(description="whether the configuration has no fault")
    faults: tuple[FaultEntry, ...] = ()
    remarks: tuple[str, ...] = Field((), description="what is odd without being wrong")
    outfit: str | None = None
    contact: str | None = None
    zone: str | None = None
    units: str | None = None
    crews: tuple[CrewEntry, ...] = ()
    sources: tuple[str, ...] = Field((), description="in the order in which they are asked")
    routine: Routine | None = Field(None, description="what happens by itself")
    yards: tuple[YardEntry, ...] = ()
    colonies: Mapping[str, int] = Field({}, description="colonies by kind of hive")
    label_said: Mapping[str, str] = Field({}, description="what label.toml says")
    label_not_read: tuple[str, ...] = Field((), description="what label.toml does not say")
    thresholds_changed: tuple[ChangeEntry, ...] = ()
    online: Trial | None = Field(None, description="with --online: what the sources answered")


def faulty_document(faults: Sequence[Fault]) -> CheckDocument:
    """The document of a configuration that cannot be used."""
    entries = tuple(
        FaultEntry(file=f.file, line=f.line, field=f.field, found=f.found, cure=f.cure)
        for f in faults
    )
    return CheckDocument(sound=False, faults=entries)


def sound_document(settings: Settings, environment: Mapping[str, str]) -> CheckDocument:
    """The document of a configuration without a fault."""
    outfit = settings.outfit
    return CheckDocument(
        sound=True,
        remarks=remarks_on(settings, environment),
        outfit=outfit.name,
        contact=outfit.contact,
        zone=outfit.tz,
        units=outfit.units,
        crews=tuple(_crew(crew) for crew in outfit.crews),
        sources=tuple(_source(source) for source in outfit.sources),
        routine=routine_of(outfit),
        yards=tuple(_yard(yard) for yard in settings.yards),
        colonies=_colonies(settings.yards),
        label_said=_said(settings.label),
        label_not_read=not_read(settings.label),
        thresholds_changed=tuple(
            ChangeEntry(key=c.key, written=c.written, default=c.default) for c in settings.changes
        ),
    )


def summary_lines(told: CheckDocument) -> Iterator[str]:
    """The document of a sound configuration as lines for a person."""
    by_kind = ", ".join(f"{count} {kind}" for kind, count in told.colonies.items() if count)
    total = sum(told.colonies.values())
    yards, colonies = counted(len(told.yards), "yard"), counted(total, "colony", "colonies")
    yield f"{told.outfit}: {yards}, {colonies} ({by_kind or 'none counted'})"
    yield "crews"
    for crew in told.crews:
        yield f"  {crew.name}: {crew.start} to {crew.end}, {' '.join(crew.days)}"
    yield "sources, in the order in which they are asked"
    yield from (f"  {number}. {source}" for number, source in enumerate(told.sources, 1))
    yield from routine_lines(told.routine) if told.routine else ()
    yield from _yard_lines(told.yards)
    yield from _label_lines(told)
    yield (
        "thresholds that differ from the program's own"
        if told.thresholds_changed
        else ("thresholds: all as the program has them")
    )
    for change in told.thresholds_changed:
        yield f"  {change.key} = {change.written} (else {change.default})"
    if told.remarks:
        yield "worth a look"
        yield from (f"  {remark}" for remark in told.remarks)
    yield "no fault found"


def counted(number: int, thing: str, things: str = "") -> str:
    """``1 yard``, ``2 yards``."""
    return f"{number} {thing if number == 1 else things or f'{thing}s'}"


def _yard_lines(yards: Sequence[YardEntry]) -> Iterator[str]:
    yield "yards"
    width = max(len(yard.key) for yard in yards)
    for yard in yards[:MOST_YARDS_SHOWN]:
        place = f"{decimal(yard.lat):>10} {decimal(yard.lon):>11}"
        yield f"  {yard.key:<{width}} {place}  {yard.state:<2}  {yard.colonies:>4} colonies"
    if len(yards) > MOST_YARDS_SHOWN:
        yield f"  and {len(yards) - MOST_YARDS_SHOWN} more (--json lists all)"


def _label_lines(told: CheckDocument) -> Iterator[str]:
    yield "label, as you read it" if told.label_said else "label: nothing of it is in label.toml"
    yield from (f"  {what}: {said}" for what, said in told.label_said.items())
    if told.label_said and told.label_not_read:
        yield f"  not in the file: {', '.join(told.label_not_read)}"


def _crew(crew: Crew) -> CrewEntry:
    return CrewEntry(
        name=crew.name,
        start=f"{crew.start:%H:%M}",
        end=f"{crew.end:%H:%M}",
        days=tuple(WEEKDAYS[day] for day in sorted(crew.weekdays)),
    )


def _source(source: SourceSetting) -> str:
    told = (
        ("at", source.base_url),
        ("folder", source.folder),
        ("file", source.file),
        ("station", source.station),
        ("key from", source.api_key_env or source.api_key_file),
    )
    words = [f"{word} {value}" for word, value in told if value]
    if source.name == "nws":
        words.append("with" if source.observations else "without")
        words[-1] += " station observations"
    if source.noncommercial:
        words.append("for non-commercial use")
    return f"{source.name} ({', '.join(words)})" if words else source.name


def _yard(yard: Yard) -> YardEntry:
    return YardEntry(
        key=yard.key,
        name=yard.name,
        lat=yard.lat_deg,
        lon=yard.lon_deg,
        state=yard.state,
        colonies=yard.colonies,
    )


def _colonies(yards: Sequence[Yard]) -> dict[str, int]:
    return {
        "doubles": sum(yard.doubles for yard in yards),
        "singles": sum(yard.singles for yard in yards),
        "nucs": sum(yard.nucs for yard in yards),
        "nucs above a screen": sum(yard.nucs_above for yard in yards),
    }


def _said(label: Label) -> dict[str, str]:
    """What the label file says, each under the words for it."""
    grams = label.max_g_per_chamber
    told = {
        "product": label.product,
        "registration number": label.registration,
        "day it was read": label.read_on,
        "state": label.state,
        "greatest grams per brood chamber": None if grams is None else f"{grams:g} g",
        "brood chambers": ", ".join(f"{kind} {count}" for kind, count in label.chambers) or None,
        "most applications a year": label.max_applications_per_year,
        "least days between applications": label.min_days_between,
        "supers": label.supers,
        "equipment": label.equipment,
        "re-entry": label.reentry,
    }
    return {what: str(said) for what, said in told.items() if said is not None}
