"""A commented starter configuration, and how it is put on disk: all of it or nothing."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path

from windowcast.settings import label, outfit, practice, yards
from windowcast.settings.practice_file import practice_file_text
from windowcast.settings.spelling import toml_text
from windowcast.settings.text_files import is_there

FILES = (outfit.FILE, practice.FILE, label.FILE, yards.FILE)

_OUTFIT = """\
# outfit.toml: who you are, when your crews work, whom to ask for the weather.
# `windowcast check` tells what is wrong in here, if anything, and how to mend it.

# Name of the outfit, as the notice shows it.
name = {name}

{contact}

# Time zone and height of each yard come from the weather service. Only where it does not tell
# the zone, name it here. run_at needs it too.
#zone = "America/Boise"

# Local times at which the morning runs, is kept and is sent by itself, by the clock of zone.
# Left out, it runs only when you call it.
#run_at = ["06:00"]

# Units of the notice: "us" (°F, mph, in) or "si" (°C, km/h, mm).
units = "us"

# Folder for kept answers of the weather services and for the book; it is made when it is needed.
state = "state"

# The book (visits, reports, kept weather, what was told) is the file book.sqlite in that folder.
# A PostgreSQL database can take its place; its password stays out of this file.
#book = "postgresql://bees@db.vellamoor.example/windowcast"

# Crews and their working hours by the clock of the yard. Write [[crews]] once for each.
[[crews]]
name = "A"
start = "08:00"
end = "17:00"
# A good day may fall on a Sunday; leave out the weekdays on which nobody works.
days = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]

# Weather sources, asked in this order. The first is the public forecast grid of the US National
# Weather Service, free for everyone.
[[sources]]
name = "nws"

# The days since September from the public archive of daily station records: find the station
# nearest to you, and write its 11 characters.
#[[sources]]
#name = "station_daily"
#station = "USC00000000"

# Open-Meteo reaches further ahead. Its free host is for non-commercial use only; a business needs
# a customer key, which stays out of this file.
#[[sources]]
#name = "open_meteo"
#api_key_env = "OPEN_METEO_KEY"

# Mail server, and who gets the morning by mail. The password stays out of this file: name the
# variable of the environment, or with password_file the file, that holds it.
#[mail]
#host = "mail.vellamoor.example"
#user = "office@vellamoor.example"
#password_env = "MAIL_PASSWORD"
#from = "office@vellamoor.example"
#to = ["office@vellamoor.example"]

# Programs that get each morning as a JSON document. Write [[posts]] once for each; if one demands
# a token, name the variable or with token_file the file that holds it.
#[[posts]]
#name = "shop-screen"
#url = "https://screen.vellamoor.example/mornings"
#token_env = "SCREEN_TOKEN"

# Patience with one answer of a service.
#[fetch]
#deadline = "30 s"
#tries = 3
"""

_CONTACT = """\
# Your e-mail or web address. It goes to the weather services with every request, and nowhere
# else; they demand it.
contact = {contact}"""

_NO_CONTACT = """\
# >>> FILL THIS IN: your e-mail or web address. It goes to the weather services with every
# >>> request, and nowhere else; they demand it.
contact = \"\""""

_LABEL = """\
# label.toml: your reading of the label on the package in your hand. It has no defaults: what you
# do not write here is said to be not read. The label and local law come before anything that
# this program says. To fill a line in, take the # in front of it away.

# Name and registration number on the package.
#product = "..."
#registration = "..."

# Day on which you read it, and the state for which you read it.
#date_read = 2026-11-03
#state = "ID"

# Greatest grams of oxalic acid dihydrate for one brood chamber.
#max_grams_per_chamber = 0.0

# Most applications in a year, and least days between two.
#max_applications_per_year = 0
#min_days_between = 0

# What it says about honey supers, protective equipment, and when people may come back.
#supers = "..."
#equipment = "..."
#reentry = "..."

# How many brood chambers the label counts for each kind of hive.
#[chambers]
#double = 0
#single = 0
#nuc = 0
#nuc_above = 0
"""


def starter_texts(*, name: str, contact: str | None, yards_text: str) -> dict[str, str]:
    """The four files of a new configuration; ``contact`` None leaves a marked empty line."""
    line = _CONTACT.format(contact=toml_text(contact)) if contact else _NO_CONTACT
    return {
        outfit.FILE: _OUTFIT.format(name=toml_text(name), contact=line),
        practice.FILE: practice_file_text(),
        label.FILE: _LABEL,
        yards.FILE: yards_text,
    }


def already_there(folder: Path) -> tuple[str, ...]:
    """Which files of a configuration stand in a folder."""
    return tuple(file for file in FILES if is_there(folder / file))


def write_new(folder: Path, texts: Mapping[str, str]) -> None:
    """Write files that are not there yet, all of them or none; OSError leaves nothing behind.

    Raises FileExistsError where one of them has come into being meanwhile.
    """
    made = _made_folders(folder)
    drafts = {folder / f".{file}.new": folder / file for file in texts}
    put: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for (draft, _), text in zip(drafts.items(), texts.values(), strict=True):
            _write_through(draft, text)
        for draft, target in drafts.items():
            if is_there(target):
                raise FileExistsError(17, "File exists", str(target))
            draft.rename(target)
            put.append(target)
    except OSError:
        for path in (*drafts, *put):
            with contextlib.suppress(OSError):
                path.unlink()
        for path in made:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise


def _made_folders(folder: Path) -> list[Path]:
    """Folders that do not exist yet and would be made, innermost first."""
    return [path for path in (folder, *folder.parents) if not is_there(path)]


def _write_through(path: Path, text: str) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
