"""A starter configuration, put on disk as a whole or not at all."""

from __future__ import annotations

import re
from datetime import time
from pathlib import Path

import pytest
from support.configs import YARDS, told

from windowcast.settings import load_settings
from windowcast.settings.starter import FILES, already_there, starter_texts, write_new
from windowcast.settings.yard_import import empty_yards_text
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Label

TEXTS = {"one": "1", "two": "2"}


def starter(**changed: str | None) -> dict[str, str]:
    usual = {"name": "Vellamoor", "contact": "a@b.example", "yards_text": YARDS}
    return starter_texts(**{**usual, **changed})  # type: ignore[arg-type]


def test_a_starter_is_sound_and_changes_nothing(tmp_path: Path) -> None:
    write_new(tmp_path / "bees", starter())
    settings = load_settings(tmp_path / "bees")
    assert settings.outfit.contact == "a@b.example"
    assert (settings.practice, settings.label) == (Practice(), Label())
    assert len(settings.yards) == 3


def test_a_starter_without_address_and_yards_lacks_just_these(tmp_path: Path) -> None:
    write_new(tmp_path, starter(contact=None, yards_text=empty_yards_text()))
    contact, yards = told(lambda: load_settings(tmp_path))
    assert "contact: is empty; write your e-mail address" in contact
    assert yards.startswith("yards.csv: holds no yard yet")


@pytest.mark.parametrize("name", ['a "b" \\ c', "x = 1", "{name}", "'''", "é 蜂"])
def test_any_name_survives_being_written(tmp_path: Path, name: str) -> None:
    write_new(tmp_path, starter(name=name))
    assert load_settings(tmp_path).outfit.name == name


def test_every_line_of_the_starter_that_is_switched_off_can_be_switched_on(tmp_path: Path) -> None:
    text = re.sub(r"^#(?=\[|\w+ = )", "", starter()["outfit.toml"], flags=re.M)
    write_new(tmp_path, {**starter(), "outfit.toml": text})
    outfit = load_settings(tmp_path).outfit
    assert [source.name for source in outfit.sources] == ["nws", "station_daily", "open_meteo"]
    assert (outfit.tz, outfit.run_at) == ("America/Boise", (time(6),))
    assert outfit.book == "postgresql://bees@db.vellamoor.example/windowcast"
    assert outfit.mail is not None
    assert (outfit.mail.security, outfit.mail.password_env) == ("starttls", "MAIL_PASSWORD")
    assert [(post.name, post.token_env) for post in outfit.posts] == [
        ("shop-screen", "SCREEN_TOKEN")
    ]


def test_the_label_of_a_starter_proposes_no_amount() -> None:
    assert "max_grams_per_chamber = 0.0" in starter()["label.toml"]


def test_files_are_written_with_the_folders_above_them(tmp_path: Path) -> None:
    write_new(tmp_path / "a" / "b", TEXTS)
    assert sorted(p.name for p in (tmp_path / "a" / "b").iterdir()) == ["one", "two"]
    assert (tmp_path / "a" / "b" / "two").read_text() == "2"


def test_nothing_that_is_there_is_touched_and_nothing_else_is_left(tmp_path: Path) -> None:
    (tmp_path / "two").write_text("mine")
    with pytest.raises(FileExistsError):
        write_new(tmp_path, TEXTS)
    assert [p.name for p in tmp_path.iterdir()] == ["two"]
    assert (tmp_path / "two").read_text() == "mine"


def test_a_failure_leaves_no_new_folder(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="too long"):
        write_new(tmp_path / "a" / "b", {"one": "1", "x" * 300: "2"})
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_of_a_folder_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("mine")
    with pytest.raises(OSError, match="a"):
        write_new(tmp_path / "a" / "b", TEXTS)
    assert (tmp_path / "a").read_text() == "mine"


@pytest.mark.parametrize("files", [FILES[first:] for first in range(len(FILES))])
def test_what_is_there_already_is_known(tmp_path: Path, files: tuple[str, ...]) -> None:
    for file in files:
        (tmp_path / file).write_text("")
    assert already_there(tmp_path) == files
