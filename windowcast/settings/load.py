"""A configuration folder as one word; all faults of all files are gathered before any is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.label import read_label
from windowcast.settings.outfit import FILE, Outfit, read_outfit
from windowcast.settings.practice import Change, read_practice
from windowcast.settings.sources import NWS, STATION_DAILY
from windowcast.settings.text_files import is_folder, is_there
from windowcast.settings.yards import read_yards
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Label, Yard

Word = TypeVar("Word")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything that a configuration folder says.

    ``changes`` are the thresholds that differ from the defaults, ``remarks`` sentences about what
    is odd without being wrong.
    """

    folder: Path
    outfit: Outfit
    practice: Practice
    label: Label
    yards: tuple[Yard, ...]
    changes: tuple[Change, ...] = ()
    remarks: tuple[str, ...] = ()


def load_settings(folder: Path) -> Settings:
    """What a configuration folder says; ConfigProblem with every fault in file and line order."""
    _demand_folder(folder)
    faults: list[Fault] = []
    outfit = _tried(lambda: read_outfit(folder), faults)
    practice = _tried(lambda: read_practice(folder), faults)
    label = _tried(lambda: read_label(folder), faults)
    us_only = outfit is not None and us_only_of(outfit)
    yards = _tried(lambda: read_yards(folder, us_only=us_only), faults)
    if faults or outfit is None or practice is None or label is None or yards is None:
        raise ConfigProblem(faults)
    return Settings(
        folder=folder,
        outfit=outfit,
        practice=practice.practice,
        label=label,
        yards=yards.yards,
        changes=practice.changes,
        remarks=yards.remarks,
    )


def us_only_of(outfit: Outfit) -> bool:
    """Whether no source of an outfit tells anything outside of the United States."""
    return all(source.name in (NWS, STATION_DAILY) for source in outfit.sources)


def _demand_folder(folder: Path) -> None:
    start = f"run `windowcast new {folder}` to write a configuration, or name another with --config"
    if not is_there(folder):
        raise ConfigProblem([Fault(file=str(folder), found="there is no such folder", cure=start)])
    if not is_folder(folder):
        found = "is not a folder"
        raise ConfigProblem([Fault(file=str(folder), found=found, cure="name the folder it is in")])
    if not is_there(folder / FILE):
        raise ConfigProblem([Fault(file=str(folder), found=f"holds no {FILE}", cure=start)])


def _tried(read: Callable[[], Word], faults: list[Fault]) -> Word | None:
    try:
        return read()
    except ConfigProblem as problem:
        faults.extend(problem.faults)
        return None
