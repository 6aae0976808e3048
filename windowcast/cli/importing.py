"""``windowcast import``: waypoints or a spreadsheet as rows of ``yards.csv``, shown first."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import WRONG_USE, ConfigDir, app, say
from windowcast.cli.morning import put
from windowcast.problems import ConfigProblem, Fault

if TYPE_CHECKING:
    from collections.abc import Sequence

    from windowcast.settings.yard_merge import Merge
    from windowcast.settings.yard_pairs import Waypoint

CAP_BYTES = 16 * 1024 * 1024

FromFile = Annotated[
    str,
    typer.Argument(
        metavar="FILE", help="GPX, KML, KMZ, GeoJSON, CSV or XLSX, told by its content."
    ),
]
Yes = Annotated[bool, typer.Option("--yes", help="Write without asking.")]


@app.command("import", epilog="Example: windowcast import ranch.gpx --config bees")
def import_yards(file: FromFile, config: ConfigDir = ".", yes: Yes = False) -> None:
    """Add or move yards from a file of places, after showing what changes; none is deleted."""
    from windowcast.settings.spelling import printable
    from windowcast.settings.yard_changes import change_lines
    from windowcast.settings.yard_swap import bytes_of
    from windowcast.sources.waypoints.reading import read_waypoints

    folder, name = Path(config), printable(Path(file).name)
    _demand_configuration(folder, config)
    found = read_waypoints(_content(file), name)
    before = bytes_of(folder)
    merge = _merged(folder, found.waypoints)
    put("\n".join(change_lines(merge, name)) + "\n")
    for remark in (*found.remarks, *merge.remarks):
        say(remark)
    if not any(change.changes for change in merge.changes):
        say("yards.csv holds all of it already; nothing was changed")
    elif yes or _agreed():
        _write(folder, merge, before)


def _demand_configuration(folder: Path, config: str) -> None:
    from windowcast.settings.outfit import FILE
    from windowcast.settings.text_files import is_there

    if not is_there(folder / FILE):
        cure = f"run `windowcast new {config}` to write a configuration, or name one with --config"
        raise ConfigProblem([Fault(file=config, found=f"holds no {FILE}", cure=cure)])


def _content(file: str) -> bytes:
    """The bytes of a plain file of reasonable size."""
    from windowcast.settings.spelling import printable

    name = printable(file)
    try:
        if not stat.S_ISREG(os.stat(file).st_mode):
            raise _refused(name, "is not a plain file", "name a file of places")
        with open(file, "rb") as opened:
            body = opened.read(CAP_BYTES + 1)
    except FileNotFoundError as error:
        raise _refused(name, "there is no such file", "check the name") from error
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or "a name that cannot be"
        raise _refused(name, f"cannot be read ({why})", "check who may read it") from error
    if len(body) > CAP_BYTES:
        cure = "check that it is the right file"
        raise _refused(name, f"is larger than {CAP_BYTES // 2**20} MB", cure)
    return body


def _refused(file: str, found: str, cure: str) -> ConfigProblem:
    return ConfigProblem([Fault(file=file, found=found, cure=cure)])


def _merged(folder: Path, waypoints: Sequence[Waypoint]) -> Merge:
    from windowcast.settings.text_files import is_there, read_text
    from windowcast.settings.yard_merge import merged, old_table
    from windowcast.settings.yards import CAP_BYTES as MOST_BYTES
    from windowcast.settings.yards import FILE

    us_only = _us_only(folder)
    path = folder / FILE
    text = None
    if is_there(path):
        text = read_text(path, cap_bytes=MOST_BYTES, if_missing="check the link")
    old, remarks = old_table(text, us_only=us_only)
    return merged(old, waypoints, us_only=us_only, known_remarks=remarks)


def _us_only(folder: Path) -> bool:
    """As the sources say; a faulty outfit.toml, such as one without a contact yet, stops nobody."""
    from windowcast.settings.load import us_only_of
    from windowcast.settings.outfit import read_outfit

    try:
        return us_only_of(read_outfit(folder))
    except ConfigProblem:
        say(
            "outfit.toml has faults (`windowcast check` names them); the yards were judged as those"
            " of an outfit that asks the US weather service"
        )
        return True


def _agreed() -> bool:
    """The answer of a person; wrong use where nobody can be asked."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        say("nothing was changed, as nobody can be asked here; run it again with --yes")
        raise typer.Exit(WRONG_USE)
    agreed = typer.confirm("Write yards.csv?", default=False, err=True)
    if not agreed:
        say("nothing was changed")
    return agreed


def _write(folder: Path, merge: Merge, before: bytes | None) -> None:
    from windowcast.settings.yard_swap import BEFORE, replace_yards

    try:
        replace_yards(folder, merge.text, instead_of=before)
    except OSError as error:
        say(
            f"{folder / 'yards.csv'} cannot be written ({error.strerror or error}), and is as it"
            " was; make room, or run it again"
        )
        raise typer.Exit(WRONG_USE) from error
    kept = f"; the old one is kept as {BEFORE}" if before is not None else ""
    say(f"yards.csv is written{kept}")
