"""What a reader of waypoints gives back, and foreign text made fit for ``yards.csv``."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.spelling import printable
from windowcast.settings.yard_pairs import Waypoint
from windowcast.settings.yard_table import MOST_ROWS

MOST_CHARS = {"name": 40, "notes": 500, "state": 40}  # as yards.csv takes them

_TAG = re.compile(r"<(?:[a-zA-Z/!][^<>]*)>")
_FORMULA = re.compile(r"^[=+\-@\s]+")  # what a spreadsheet would take for the start of a formula


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The waypoints of a file, and sentences about what was left out or mended."""

    waypoints: tuple[Waypoint, ...]
    remarks: tuple[str, ...] = ()


def problem(file: str, found: str, cure: str) -> ConfigProblem:
    """One fault of a file as a whole."""
    return ConfigProblem([Fault(file=file, found=found, cure=cure)])


def demand_some(count: int, file: str, why: str, cure: str) -> None:
    """Refuse a file without points, and one with more than any outfit has yards."""
    if count == 0:
        raise problem(file, f"no points found ({why})", cure)
    if count > MOST_ROWS:
        raise problem(file, f"holds more than {MOST_ROWS} points", "keep those that are yards")


def one_waypoint(
    cells: Mapping[str, str], *, file: str, number: int, kind: str, lon_first: bool
) -> Waypoint:
    """The waypoint of that number in a file, with a made-up name where it has none."""
    clean = clean_cells(cells)
    named = "name" in clean or "key" in clean
    label = clean.get("name") or clean.get("key")
    at = f"{file}: {kind} {number}" + (f" ({printable(label)})" if label else "")
    if not named:
        clean = {**clean, "name": f"Waypoint {number}"}
    return Waypoint(at=at, cells=clean, named=named, lon_first=lon_first)


def clean_cells(cells: Mapping[str, str]) -> dict[str, str]:
    """Cells on one line each, harmless in a spreadsheet, without those that hold nothing.

    Latitude and longitude stay even where they are empty: they must be told.
    """
    clean = {name: _clean(name, cell) for name, cell in cells.items()}
    return {name: cell for name, cell in clean.items() if cell or name in ("lat", "lon")}


def with_short_text(waypoints: Sequence[Waypoint]) -> Iterator[tuple[Waypoint, str | None]]:
    """The waypoints with text that is not longer than a cell takes, and a sentence where cut."""
    for waypoint in waypoints:
        cells = waypoint.cells
        cut = [name for name, most in MOST_CHARS.items() if len(cells.get(name, "")) > most]
        short = {name: cells[name][: MOST_CHARS[name]].rstrip() for name in cut}
        told = ", ".join(f"{name} cut to {MOST_CHARS[name]} characters" for name in cut)
        yield replace(waypoint, cells={**cells, **short}), f"{waypoint.at}: {told}" if cut else None


def _clean(name: str, cell: str) -> str:
    """One line that prints; free text also without HTML and without the start of a formula."""
    is_free = name in MOST_CHARS
    text = _TAG.sub(" ", html.unescape(_TAG.sub(" ", cell))) if is_free else cell
    line = " ".join("".join(c for c in text if c.isprintable() or c.isspace()).split())
    return _FORMULA.sub("", line) if is_free else line


def left_out(file: str, parts: Sequence[str]) -> tuple[str, ...]:
    """One sentence about what is no place, none where nothing was left out."""
    return (f"{file}: left out, being no points: {', '.join(parts)}",) if parts else ()
