"""The weather services that ``outfit.toml`` names: what each may say, and what it must."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from windowcast.settings.kept_secrets import place_slips, variable_of
from windowcast.settings.readings import path_text, web_address
from windowcast.settings.spelling import Slip, choices, cure_for_word, shown

NWS, OPEN_METEO, STATION_DAILY, FILES = SOURCES = ("nws", "open_meteo", "station_daily", "files")
FORECASTING = (NWS, OPEN_METEO, FILES)
OPEN_METEO_DOMAIN = "open-meteo.com"

# What each source may say beside its name.
_KEYS = {
    NWS: ("base_url", "observations"),
    OPEN_METEO: ("base_url", "noncommercial", "api_key_env", "api_key_file"),
    STATION_DAILY: ("base_url", "station", "file"),
    FILES: ("folder",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceSetting:
    """One weather source as configured; ``base_url`` None is the service's own address."""

    name: str
    base_url: str | None = None
    folder: Path | None = None
    file: Path | None = None
    station: str | None = None
    observations: bool = True
    noncommercial: bool = False
    api_key_env: str | None = None
    api_key_file: Path | None = None


def _name(value: object) -> str:
    if value in SOURCES:
        return str(value)
    word = value if isinstance(value, str) else ""
    raise Slip(f"{shown(value)} is not a source", cure_for_word(word, SOURCES))


def _station(value: object) -> str:
    """An identifier of the daily station archive: 11 characters, such as USC00101022."""
    if isinstance(value, str) and re.fullmatch(r"[A-Z]{2}[0-9A-Z_-]{9}", value.strip().upper()):
        return value.strip().upper()
    raise Slip(
        f"{shown(value)} is not a station of the daily archive",
        'write its 11 characters, such as "USC00000000"',
    )


class SourceTable(BaseModel):
    """One weather source. Sources are asked in the order of the file."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    name: Annotated[str, BeforeValidator(_name), WithJsonSchema({"enum": list(SOURCES)})] = Field(
        description="nws, open_meteo, station_daily or files", examples=["nws"]
    )
    base_url: Annotated[str | None, BeforeValidator(web_address)] = Field(
        None,
        description="another address that answers like the service: a mirror or a recording",
        examples=["https://weather.example/mirror"],
    )
    observations: bool = Field(
        True, description="nws: also ask the nearest stations for the past days", examples=[True]
    )
    noncommercial: bool = Field(
        False,
        description="open_meteo: true if you keep bees for no gain; its free host is for that only",
        examples=[True],
    )
    api_key_env: Annotated[str | None, BeforeValidator(variable_of("OPEN_METEO_KEY"))] = Field(
        None,
        description="open_meteo: environment variable that holds your customer key",
        examples=["OPEN_METEO_KEY"],
    )
    api_key_file: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None,
        description="open_meteo: file that holds your customer key and nothing else",
        examples=["open_meteo.key"],
    )
    station: Annotated[str | None, BeforeValidator(_station)] = Field(
        None,
        description="station_daily: identifier of the station in the daily archive",
        examples=["USC00000000"],
    )
    file: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None,
        description="station_daily: a downloaded file of the station's days",
        examples=["station.csv"],
    )
    folder: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None, description="files: folder of recorded answers", examples=["answers"]
    )


def source_setting(table: SourceTable, folder: Path) -> SourceSetting:
    """The word of a source; paths are relative to the folder of ``outfit.toml``."""
    return SourceSetting(
        name=table.name,
        base_url=table.base_url,
        folder=resolved(table.folder, folder),
        file=resolved(table.file, folder),
        station=table.station,
        observations=table.observations,
        noncommercial=table.noncommercial,
        api_key_env=table.api_key_env,
        api_key_file=resolved(table.api_key_file, folder),
    )


def resolved(path: str | None, folder: Path) -> Path | None:
    """A path that stands in a settings file, as an absolute one."""
    if path is None:
        return None
    return Path(os.path.abspath(folder / os.path.expanduser(path)))


def source_faults(table: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Slip]]:
    """What the keys of one source say wrong together: the key, and the slip."""
    name = table.get("name")
    if not isinstance(name, str) or name not in _KEYS:
        return
    for key in table:
        if key in SourceTable.model_fields and key not in ("name", *_KEYS[name]):
            yield key, Slip(f"has no meaning for {name}", f"{name} knows {choices(_KEYS[name])}")
    demands = {OPEN_METEO: _key_faults, STATION_DAILY: _record_faults, FILES: _folder_faults}
    if name in demands:
        yield from demands[name](table, folder)


def _key_faults(table: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Slip]]:
    keyed = "api_key_env" in table or "api_key_file" in table
    yield from place_slips("api_key", table)
    yield from missing_paths("api_key_file", table, folder)
    if keyed or not _at_open_meteo(table.get("base_url")):
        return
    if table.get("noncommercial") in (None, False):
        yield (
            "noncommercial",
            Slip(
                "is not set, and the free host is for non-commercial use only",
                "name your customer key with api_key_env or api_key_file, or write"
                " noncommercial = true if you keep bees for no gain",
            ),
        )


def _record_faults(table: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Slip]]:
    if "station" not in table and "file" not in table:
        cure = 'write station = "USC00000000" with its identifier, or file = "station.csv"'
        yield "station", Slip("is missing, and file too", cure)
    yield from missing_paths("file", table, folder)


def _folder_faults(table: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Slip]]:
    if "folder" not in table:
        yield "folder", Slip("is missing", 'write folder = "answers" with the folder of answers')
    yield from missing_paths("folder", table, folder)


def missing_paths(key: str, table: Mapping[str, Any], folder: Path) -> Iterator[tuple[str, Slip]]:
    """A slip where a path is told and nothing of the right kind stands there."""
    told = table.get(key)
    if not isinstance(told, str) or not told.strip() or not told.isprintable():
        return
    path = resolved(told, folder)
    there = os.path.isdir if key == "folder" else os.path.isfile
    if path is not None and not there(path):
        kind = "folder" if key == "folder" else "file"
        yield (
            key,
            Slip(f"{shown(told)} is not a {kind}", "paths start at the folder of outfit.toml"),
        )


def _at_open_meteo(base_url: object) -> bool:
    """Whether requests go to the service's own hosts and not to a mirror of somebody's."""
    if not isinstance(base_url, str):
        return True
    try:
        told = urlsplit(base_url).hostname or ""
    except ValueError:
        return False
    # As a browser reads it: a full stop of another script is one, and one at the end means nothing.
    host = unicodedata.normalize("NFKC", told).replace("\u3002", ".").lower().rstrip(".")
    return host == OPEN_METEO_DOMAIN or host.endswith(f".{OPEN_METEO_DOMAIN}")
