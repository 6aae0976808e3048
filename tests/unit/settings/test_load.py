"""A configuration folder as one word, or every fault of every file."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import OUTFIT, YARDS, faults_of, told, write_config

from windowcast.settings import load_settings
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Label
from windowcast.units import f_to_c


def test_a_sound_folder_is_read_in_full(tmp_path: Path) -> None:
    settings = load_settings(write_config(tmp_path))
    assert settings.folder == tmp_path
    assert settings.outfit.name == "Vellamoor Bees"
    assert settings.practice.temperature.best_low_c == pytest.approx(f_to_c(41))
    assert settings.label.max_g_per_chamber == 3.5
    assert [yard.key for yard in settings.yards] == ["kiln", "heron-slough", "quarry-bench"]
    assert [change.key for change in settings.changes] == [
        "temperature.best_low", "wind.calm_to", "wind.none_from",
    ]  # fmt: skip
    assert settings.remarks == ()


def test_practice_and_label_may_be_left_away(tmp_path: Path) -> None:
    write_config(tmp_path)
    (tmp_path / "practice.toml").unlink()
    (tmp_path / "label.toml").unlink()
    settings = load_settings(tmp_path)
    assert (settings.practice, settings.label) == (Practice(), Label())


def test_faults_of_all_files_are_told_at_once_in_order_of_files_and_lines(tmp_path: Path) -> None:
    write_config(
        tmp_path,
        outfit=OUTFIT.replace("units", "unitz").replace("08:00", "25:00"),
        practice="[wind]\ncalm_to = 8\n",
        label="supers = true\n",
        yards=YARDS.replace("45.90", "91").replace("180 m", "180"),
    )
    places = [(fault.file, fault.line) for fault in faults_of(lambda: load_settings(tmp_path))]
    assert places == [
        ("outfit.toml", 3), ("outfit.toml", 8), ("practice.toml", 2), ("label.toml", 1),
        ("yards.csv", 2), ("yards.csv", 3),
    ]  # fmt: skip


def test_a_file_of_noise_does_not_hide_the_faults_of_the_others(tmp_path: Path) -> None:
    write_config(tmp_path, practice="\x00", yards="")
    (tmp_path / "label.toml").write_bytes(b"\xff\xfe\x00")
    files = [fault.file for fault in faults_of(lambda: load_settings(tmp_path))]
    assert files == ["practice.toml", "label.toml", "yards.csv"]


def test_unsigned_longitudes_are_judged_by_the_sources(tmp_path: Path) -> None:
    east = YARDS.replace(",-119", ",119").replace(",WA,", ",,")
    assert len(told(lambda: load_settings(write_config(tmp_path, yards=east)))) == 3
    worldwide = OUTFIT + '[[sources]]\nname = "open_meteo"\nnoncommercial = true\n'
    assert len(load_settings(write_config(tmp_path, yards=east, outfit=worldwide)).yards) == 3


def test_odd_yards_are_remarked_on(tmp_path: Path) -> None:
    twin = "twin,Twin,45.90,-119.60,WA,1,0,0,0,,,\n"
    settings = load_settings(write_config(tmp_path, yards=YARDS + twin))
    (remark,) = settings.remarks
    assert "twin lies 0 m from kiln" in remark


def test_a_folder_that_is_not_there_is_told_what_to_run(tmp_path: Path) -> None:
    (sentence,) = told(lambda: load_settings(tmp_path / "bees"))
    assert "there is no such folder; run `windowcast new " in sentence


def test_a_folder_without_a_configuration_is_told_what_to_run(tmp_path: Path) -> None:
    (sentence,) = told(lambda: load_settings(tmp_path))
    assert "holds no outfit.toml; run `windowcast new " in sentence


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "bees").write_text("")
    (sentence,) = told(lambda: load_settings(tmp_path / "bees"))
    assert "is not a folder" in sentence


def test_a_name_that_cannot_be_is_told(tmp_path: Path) -> None:
    assert len(told(lambda: load_settings(Path("a\0b")))) == 1
    assert len(told(lambda: load_settings(tmp_path / ("x" * 300)))) == 1
