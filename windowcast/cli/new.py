"""``windowcast new``: a commented starter configuration."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, WRONG_USE, app, say

if TYPE_CHECKING:
    from windowcast.settings.yard_import import Import

Folder = Annotated[
    str, typer.Argument(metavar="DIR", help="Folder for the configuration; made if needed.")
]
From = Annotated[
    str | None,
    typer.Option(
        "--from",
        metavar="FILE",
        help="Your own spreadsheet of yards, saved as CSV; its headings may be your own words.",
    ),
]
Contact = Annotated[
    str | None,
    typer.Option(
        metavar="ADDRESS",
        help="Your e-mail or web address; the weather services demand one.",
    ),
]
Name = Annotated[
    str | None, typer.Option(metavar="NAME", help="Name of the outfit; else that of the folder.")
]


@app.command(
    epilog="Example: windowcast new bees --from hives.csv --contact office@vellamoor.example"
)
def new(folder: Folder, from_file: From = None, contact: Contact = None, name: Name = None) -> None:
    """Write a commented starter configuration; nothing that is there already is touched."""
    from windowcast.settings.starter import starter_texts
    from windowcast.settings.yard_import import empty_yards_text

    target = Path(folder)
    in_place = from_file is not None and _is_same(Path(from_file), target / "yards.csv")
    _refuse_what_is_there(target, folder, but="yards.csv" if in_place else None)
    outfit = _outfit_name(name, target)
    yards = _imported(from_file)
    if in_place:
        _refuse_other_headings(target)
    address = _contact(contact)
    text = yards.text if yards else empty_yards_text()
    texts = starter_texts(name=outfit, contact=address, yards_text=text)
    _write(target, folder, {k: v for k, v in texts.items() if not in_place or k != "yards.csv"})
    _say_what_was_done(folder, yards, has_contact=address is not None)
    raise typer.Exit(DONE)


def _refuse_what_is_there(target: Path, folder: str, *, but: str | None) -> None:
    from windowcast.settings.starter import already_there
    from windowcast.settings.text_files import is_folder, is_there

    if is_there(target) and not is_folder(target):
        say(f"{folder} is not a folder; name one, or a name that is still free")
        raise typer.Exit(WRONG_USE)
    there = [file for file in already_there(target) if file != but]
    if there:
        say(
            f"{folder} holds {', '.join(there)} already, and nothing is overwritten; choose another"
            " folder, or move them away (a spreadsheet of yards goes under another name: --from)"
        )
        raise typer.Exit(WRONG_USE)


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False


def _refuse_other_headings(target: Path) -> None:
    """A spreadsheet that already is the folder's yards.csv stays as it is, or nothing is done."""
    from windowcast.problems import ConfigProblem
    from windowcast.settings.yards import read_yards

    try:
        read_yards(target, us_only=True)
    except ConfigProblem as problem:
        say(
            f"{problem}\n{target / 'yards.csv'} would have to be rewritten, and nothing is"
            " overwritten; give it another name and that name after --from"
        )
        raise typer.Exit(WRONG_USE) from problem


def _outfit_name(name: str | None, target: Path) -> str:
    from windowcast.settings.readings import one_line
    from windowcast.settings.spelling import Slip

    read = one_line(50)
    try:
        return read(os.path.basename(os.path.abspath(target)) if name is None else name)
    except Slip as slip:
        if name is None:
            return "My outfit"
        raise typer.BadParameter(str(slip), param_hint="--name") from slip


def _imported(from_file: str | None) -> Import | None:
    from windowcast.settings.yard_import import import_yards

    return None if from_file is None else import_yards(Path(from_file), us_only=True)


def _contact(contact: str | None) -> str | None:
    """The address as given, or asked for once on a terminal; None where nobody gives one."""
    from windowcast.settings.readings import contact_address
    from windowcast.settings.spelling import Slip

    asked = contact is None and sys.stdin.isatty() and sys.stderr.isatty()
    if asked:
        question = "Your e-mail address, for the weather services (empty to fill in later)"
        contact = typer.prompt(question, default="", show_default=False, err=True)
    if contact is None or (asked and not contact.strip()):
        return None
    try:
        return contact_address(contact)
    except Slip as slip:
        if not asked:
            raise typer.BadParameter(str(slip), param_hint="--contact") from slip
        say(str(slip))
        return None


def _write(target: Path, folder: str, texts: dict[str, str]) -> None:
    from windowcast.settings.starter import write_new

    try:
        write_new(target, texts)
    except OSError as error:
        say(
            f"{folder} cannot be written ({error.strerror or error}), and nothing was left there;"
            " choose another folder or make room"
        )
        raise typer.Exit(WRONG_USE) from error


def _say_what_was_done(folder: str, yards: Import | None, *, has_contact: bool) -> None:
    from windowcast.settings.starter import FILES
    from windowcast.settings.summary import counted

    say(f"{folder} now holds {', '.join(FILES)}")
    for remark in yards.remarks if yards else ():
        say(remark)
    if yards:
        say(f"yards.csv holds {counted(yards.count, 'yard')}")
    else:
        say(
            f"fill in {Path(folder) / 'yards.csv'}: one row for each yard; key or name, lat and lon"
        )
    if not has_contact:
        say(f'fill in contact = "" in {Path(folder) / "outfit.toml"}: your e-mail address')
    ready = yards is not None and has_contact
    command = "morning" if ready else "check"
    say(f"next: windowcast {command} --config {shlex.quote(folder)}")
