"""``windowcast new`` and ``windowcast check``, on real folders and a real terminal."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from support.configs import LABEL, OUTFIT, YARDS, write_config
from support.tree import ROOT
from typer.testing import CliRunner, Result

from windowcast.cli import commands  # noqa: F401 - hangs every command on the app
from windowcast.cli.app import app
from windowcast.problems import ConfigProblem
from windowcast.settings import load_settings
from windowcast.settings.starter import FILES
from windowcast.settings.summary import CheckDocument

ADDRESS = "office@vellamoor.example"
OWN = "Yard,Latitude,Longitude,Double deeps\nKiln,45.9,-119.6,24\nHeron slough,45.95,-119.65,12\n"


def run(*arguments: str | Path) -> Result:
    """One command; a ConfigProblem is left in ``exception``, as main() finds it."""
    done = CliRunner().invoke(app, [str(argument) for argument in arguments])
    assert isinstance(done.exception, SystemExit | ConfigProblem | type(None)), done.exception
    return done


def program(
    *arguments: str | Path, before: str = "", stdin: int | None = None, stderr: int | None = None
) -> subprocess.CompletedProcess[str]:
    """The same in a process of its own, with its exit status."""
    code = f"{before}\nimport windowcast.cli as c; c.main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=ROOT,
        stdin=subprocess.DEVNULL if stdin is None else stdin,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE if stderr is None else stderr,
        text=True,
        timeout=60,
        check=False,
    )


def spreadsheet(tmp_path: Path, text: str = OWN) -> Path:
    path = tmp_path / "hives.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_from_a_spreadsheet_to_a_sound_configuration_in_one_command(tmp_path: Path) -> None:
    bees = tmp_path / "bees"
    done = run("new", bees, "--from", spreadsheet(tmp_path), "--contact", ADDRESS)
    assert done.exit_code == 0
    assert sorted(path.name for path in bees.iterdir()) == sorted(FILES)
    settings = load_settings(bees)
    assert [yard.key for yard in settings.yards] == ["kiln", "heron-slough"]
    assert (settings.outfit.contact, settings.outfit.name) == (ADDRESS, "bees")
    assert done.stdout == ""
    assert done.stderr.endswith(f"next: windowcast morning --config {bees}\n")


def test_without_anything_told_it_says_what_to_fill_in_and_where(tmp_path: Path) -> None:
    bees = tmp_path / "my bees"
    done = run("new", bees)
    assert done.exit_code == 0
    assert f"fill in {bees / 'yards.csv'}" in done.stderr
    assert f'fill in contact = "" in {bees / "outfit.toml"}' in done.stderr
    assert done.stderr.endswith(f"next: windowcast check --config '{bees}'\n")
    checked = program("check", "--config", bees)
    assert checked.returncode == 3
    assert "contact: is empty" in checked.stderr
    assert "yards.csv: holds no yard yet" in checked.stderr


def test_a_name_is_taken_from_the_command_or_the_folder(tmp_path: Path) -> None:
    run("new", tmp_path / "a", "--name", 'Vellamoor "Bees"', "--contact", ADDRESS)
    assert 'name = "Vellamoor \\"Bees\\""' in (tmp_path / "a" / "outfit.toml").read_text("utf-8")
    run("new", tmp_path / ("x" * 60), "--contact", ADDRESS)
    assert 'name = "My outfit"' in (tmp_path / ("x" * 60) / "outfit.toml").read_text("utf-8")


@pytest.mark.parametrize(
    "told", [["--contact", "me"], ["--contact", ""], ["--name", ""], ["--name", "x" * 51]]
)
def test_a_wrong_option_is_wrong_use_and_writes_nothing(tmp_path: Path, told: list[str]) -> None:
    done = run("new", tmp_path / "bees", *told)
    assert done.exit_code == 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("file", FILES)
def test_nothing_is_overwritten(tmp_path: Path, file: str) -> None:
    (tmp_path / file).write_text("mine")
    done = run("new", tmp_path, "--contact", ADDRESS)
    assert done.exit_code == 2
    assert f"holds {file} already" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == [file]
    assert (tmp_path / file).read_text() == "mine"


def test_other_files_in_the_folder_do_not_matter(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    assert run("new", tmp_path, "--contact", ADDRESS).exit_code == 0
    assert (tmp_path / "notes.txt").read_text() == "mine"


def test_a_yards_file_in_its_place_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "yards.csv").write_text("name,lat,lon\nKiln,45.9,-119.6\n")
    done = run("new", tmp_path, "--from", tmp_path / "yards.csv", "--contact", ADDRESS)
    assert done.exit_code == 0
    assert (tmp_path / "yards.csv").read_text() == "name,lat,lon\nKiln,45.9,-119.6\n"
    assert load_settings(tmp_path).yards[0].key == "kiln"


def test_a_yards_file_in_its_place_is_not_rewritten(tmp_path: Path) -> None:
    (tmp_path / "yards.csv").write_text(OWN)
    done = run("new", tmp_path, "--from", tmp_path / "yards.csv", "--contact", ADDRESS)
    assert done.exit_code == 2
    assert "give it another name" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["yards.csv"]


def test_a_bad_spreadsheet_tells_all_faults_and_writes_nothing(tmp_path: Path) -> None:
    bad = spreadsheet(tmp_path, OWN.replace("45.9,", "91,").replace("12", "twelve"))
    done = program("new", tmp_path / "bees", "--from", bad, "--contact", ADDRESS)
    assert done.returncode == 3
    assert [line.split(":")[:2] for line in done.stderr.splitlines()] == [
        ["hives.csv", "2"],
        ["hives.csv", "3"],
    ]
    assert not (tmp_path / "bees").exists()


@pytest.mark.parametrize("content", [b"PK\x03\x04", "a,b".encode("utf-16"), b"\xff\n", b"", b"\0"])
def test_a_spreadsheet_of_another_kind_is_one_sentence(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "hives.csv").write_bytes(content)
    done = program("new", tmp_path / "bees", "--from", tmp_path / "hives.csv")
    assert done.returncode == 3
    assert done.stderr.startswith("hives.csv")
    assert len(done.stderr.splitlines()) == 1


def test_a_folder_that_cannot_be_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    for folder in (tmp_path / "file", tmp_path / "file" / "bees", tmp_path / ("x" * 300)):
        done = run("new", folder, "--contact", ADDRESS)
        assert done.exit_code == 2
        assert len(done.stderr.splitlines()) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_full_disk_leaves_nothing_half_written(tmp_path: Path) -> None:
    full = (
        "import resource, signal\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))"
    )
    done = program("new", tmp_path / "bees", "--contact", ADDRESS, before=full)
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("typed", "contact"),
    [(f"{ADDRESS}\n", f'contact = "{ADDRESS}"'), ("\n", 'contact = ""'), ("me\n", 'contact = ""')],
)
def test_on_a_terminal_the_address_is_asked_for_once(
    tmp_path: Path, typed: str, contact: str
) -> None:
    ours, theirs = pty.openpty()
    os.write(ours, typed.encode())
    done = program("new", tmp_path / "bees", stdin=theirs, stderr=theirs)
    seen = os.read(ours, 65536).decode()
    os.close(theirs)
    os.close(ours)
    assert done.returncode == 0
    assert seen.count("Your e-mail address") == 1
    assert f"\n{contact}\n" in (tmp_path / "bees" / "outfit.toml").read_text("utf-8")


def test_check_says_what_a_sound_configuration_says(tmp_path: Path) -> None:
    done = program("check", "--config", write_config(tmp_path))
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Vellamoor Bees: 3 yards, 78 colonies")
    assert done.stdout.endswith("no fault found\n")


def test_check_tells_every_fault_on_stderr_and_ends_with_3(tmp_path: Path) -> None:
    write_config(tmp_path, outfit=OUTFIT.replace("units", "unitz"), label="supers = 1\n")
    done = program("check", "--config", tmp_path)
    assert done.returncode == 3
    assert done.stdout == ""
    assert done.stderr.splitlines() == [
        'outfit.toml:3: unitz: is not a known key; did you mean "units"?',
        "label.toml:1: supers: 1 is not text; write text in quotes",
    ]


def test_check_prints_one_document_whether_sound_or_not(tmp_path: Path) -> None:
    sound = run("check", "--json", "--config", write_config(tmp_path / "a"))
    assert sound.exit_code == 0
    assert CheckDocument.model_validate_json(sound.stdout).sound
    faulty = run("check", "--json", "--config", write_config(tmp_path / "b", yards=""))
    assert isinstance(faulty.exception, ConfigProblem)
    found = json.loads(faulty.stdout)
    assert (found["sound"], found["faults"][0]["file"]) == (False, "yards.csv")


def test_check_writes_nothing(tmp_path: Path) -> None:
    write_config(tmp_path)
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    run("check", "--config", tmp_path)
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_check_reads_files_of_other_systems(tmp_path: Path) -> None:
    write_config(tmp_path)
    for name, text in (("outfit.toml", OUTFIT), ("label.toml", LABEL), ("yards.csv", YARDS)):
        (tmp_path / name).write_bytes(text.replace("\n", "\r\n").encode("utf-8-sig"))
    assert run("check", "--config", tmp_path).exit_code == 0


def test_a_folder_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    done = program("check", "--config", tmp_path / "nowhere")
    assert done.returncode == 3
    assert len(done.stderr.splitlines()) == 1
    assert "run `windowcast new " in done.stderr
