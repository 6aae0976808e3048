"""``windowcast import`` on real folders, a real terminal, and files that other programs wrote."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import warnings
from pathlib import Path

import gpxpy.gpx
import pygeoif
import pytest
from support.configs import OUTFIT, YARDS, write_config
from support.tree import ROOT
from support.waypoint_files import PAYLOADS, cells, payload, workbook

from windowcast.settings import load_settings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it would rather have lxml, which users need not have
    import fastkml

KILN = 'kiln,Kiln,45.90,-119.60,WA,24,0,0,0,gravel,600 ft,"gate, then left"'


def run(
    file: Path, config: Path, *more: str, before: str = "", stdin: int | None = None
) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own; with ``stdin`` a terminal also stands on stderr."""
    code = f"{before}\nimport windowcast.cli as c; c.main()"
    return subprocess.run(
        [sys.executable, "-c", code, "import", str(file), "--config", str(config), *more],
        cwd=ROOT,
        stdin=subprocess.DEVNULL if stdin is None else stdin,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE if stdin is None else stdin,
        text=True,
        timeout=60,
        check=False,
    )


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_without_a_terminal_it_shows_what_would_change_and_asks_for_yes(tmp_path: Path) -> None:
    before = files(write_config(tmp_path))
    done = run(PAYLOADS / "ranch.gpx", tmp_path)
    assert done.returncode == 2
    assert done.stdout.splitlines() == [
        "ranch.gpx: 2 yards for yards.csv",
        "  changed: heron-slough, moved by 782 m to 45.957 -119.649; filled in: notes low ground,"
        " cold air lies here; kept: doubles, singles, nucs_above",
        "  changed: kiln, moved by 24.0 km to 46.079 -119.774; kept: doubles, notes",
        "  not in the file, and left as they are: quarry-bench",
    ]
    assert done.stderr.splitlines() == [
        "ranch.gpx: left out, being no points: 2 tracks, 1 route",
        "nothing was changed, as nobody can be asked here; run it again with --yes",
    ]
    assert files(tmp_path) == before


def test_with_yes_the_yards_move_and_the_old_file_is_kept(tmp_path: Path) -> None:
    before = files(write_config(tmp_path))
    done = run(PAYLOADS / "ranch.gpx", tmp_path, "--yes")
    assert done.returncode == 0
    assert done.stderr.endswith("yards.csv is written; the old one is kept as yards.csv.before\n")
    after = files(tmp_path)
    assert after.pop("yards.csv.before") == before["yards.csv"]
    assert {**after, "yards.csv": before["yards.csv"]} == before
    assert KILN.replace("45.90,-119.60", "46.079,-119.774") in after["yards.csv"].decode()
    assert [yard.key for yard in load_settings(tmp_path).yards] == [
        "kiln", "heron-slough", "quarry-bench",
    ]  # fmt: skip


def test_the_same_file_again_writes_nothing(tmp_path: Path) -> None:
    write_config(tmp_path)
    run(PAYLOADS / "ranch.gpx", tmp_path, "--yes")
    before = files(tmp_path)
    done = run(PAYLOADS / "ranch.gpx", tmp_path)
    assert done.returncode == 0
    assert done.stderr.endswith("yards.csv holds all of it already; nothing was changed\n")
    assert files(tmp_path) == before


@pytest.mark.parametrize(("typed", "writes"), [("y\n", True), ("n\n", False), ("\n", False)])
def test_on_a_terminal_a_person_is_asked(tmp_path: Path, typed: str, writes: bool) -> None:
    write_config(tmp_path)
    ours, theirs = pty.openpty()
    os.write(ours, typed.encode())
    done = run(PAYLOADS / "old_places.kml", tmp_path, stdin=theirs)
    seen = os.read(ours, 65536).decode()
    os.close(theirs)
    os.close(ours)
    assert done.returncode == 0
    assert seen.count("Write yards.csv?") == 1
    assert ("nothing was changed" in seen) is not writes
    assert ("46.079" in (tmp_path / "yards.csv").read_text()) is writes


@pytest.mark.parametrize(
    "name", ["tracks_only.gpx", "entities.gpx", "outside.gpx", "link_only.kml", "swapped.geojson"]
)
def test_a_file_that_would_give_faults_changes_nothing(tmp_path: Path, name: str) -> None:
    before = files(write_config(tmp_path))
    done = run(PAYLOADS / name, tmp_path, "--yes")
    assert done.returncode == 3
    assert done.stdout == ""
    (sentence,) = done.stderr.splitlines()
    assert sentence.startswith(f"{name}: ")
    assert files(tmp_path) == before


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    write_config(tmp_path)
    file = tmp_path / "hives.csv"
    file.write_text("name,lat,lon,hives\nA,943,-119.6,1\nB,45.9,119.7,1\nC,45.9,-119.8,few\n")
    done = run(file, tmp_path, "--yes")
    assert done.returncode == 3
    assert [line.split(":")[1:3] for line in done.stderr.splitlines()] == [
        ["2", " lat"], ["3", " lon"], ["4", " doubles"],
    ]  # fmt: skip


def test_a_configuration_without_yards_or_contact_is_a_place_to_begin(tmp_path: Path) -> None:
    write_config(tmp_path, outfit=OUTFIT.replace("office@vellamoor.example", ""), yards="")
    done = run(PAYLOADS / "places.geojson", tmp_path, "--yes")
    assert done.returncode == 0
    assert "outfit.toml has faults" in done.stderr
    assert (tmp_path / "yards.csv").read_text().splitlines() == [
        "key,name,lat,lon,state,doubles,singles,nucs,nucs_above,lane_surface,lane_length,notes",
        "heron-slough,Heron slough,45.957,-119.649,,24,,,,,,low ground",
        "kiln,Kiln,46.079,-119.774,,,,,,,,",
    ]


def test_an_outfit_with_a_source_for_all_the_world_may_have_yards_anywhere(tmp_path: Path) -> None:
    world = OUTFIT.replace('"nws"', '"open_meteo"\nnoncommercial = true')
    east = tmp_path / "east.csv"
    east.write_text("name,lat,lon\nKiln,47.1,103.2\n")
    write_config(tmp_path, outfit=world, yards="")
    assert run(east, tmp_path, "--yes").returncode == 0
    assert run(east, write_config(tmp_path / "us", yards=""), "--yes").returncode == 3


@pytest.mark.parametrize("where", ["nowhere", "file", "empty"])
def test_a_folder_without_a_configuration_is_one_sentence(tmp_path: Path, where: str) -> None:
    (tmp_path / "file").write_text("")
    (tmp_path / "empty").mkdir()
    done = run(PAYLOADS / "ranch.gpx", tmp_path / where, "--yes")
    assert done.returncode == 3
    assert len(done.stderr.splitlines()) == 1
    assert "run `windowcast new " in done.stderr


def test_what_is_no_plain_file_is_one_sentence(tmp_path: Path) -> None:
    write_config(tmp_path)
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "large").write_bytes(b" " * (16 * 2**20 + 1))
    for file in ("pipe", "nothing", "", "large", "x" * 300):
        done = run(tmp_path / file, tmp_path, "--yes")
        assert done.returncode == 3
        assert len(done.stderr.splitlines()) == 1


def test_a_full_disk_leaves_the_old_file(tmp_path: Path) -> None:
    before = files(write_config(tmp_path))
    full = (
        "import resource, signal\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (300, 300))"
    )
    done = run(PAYLOADS / "ranch.gpx", tmp_path, "--yes", before=full)
    assert done.returncode == 2
    assert "cannot be written (File too large), and is as it was" in done.stderr
    assert files(tmp_path) == before


@pytest.mark.parametrize("name", ["ranch.csv", "ranch.xlsx", "ranch"])
def test_the_format_is_told_by_content_and_not_by_name(tmp_path: Path, name: str) -> None:
    write_config(tmp_path)
    (tmp_path / name).write_bytes(payload("ranch.gpx"))
    assert run(tmp_path / name, tmp_path, "--yes").returncode == 0


def test_a_name_with_a_formula_or_control_characters_harms_nobody(tmp_path: Path) -> None:
    write_config(tmp_path, yards="")
    file = tmp_path / "evil.xlsx"
    rows = [["name", "lat", "lon"], ["'=cmd|' /C calc'!A1\n\U0001f41d", 45.9, -119.6]]
    file.write_bytes(workbook({"Yards": [rows[0], ["@" + str(rows[1][0]), *rows[1][1:]]]}))
    done = run(file, tmp_path, "--yes")
    assert done.returncode == 0
    (yard,) = load_settings(tmp_path).yards
    assert yard.name == "'=cmd|' /C calc'!A1 \U0001f41d"
    assert not any(char in done.stdout for char in "\x1b\a\r")


def test_what_gpxpy_writes_is_read() -> None:
    told = gpxpy.gpx.GPX()
    for name, lat, lon in (("Kiln & co < 5", 46.079, -119.774), ("Mill \u00e9", 45.9, -119.6)):
        told.waypoints.append(gpxpy.gpx.GPXWaypoint(lat, lon, elevation=180, name=name))
    for version in ("1.0", "1.1"):
        read = cells(told.to_xml(version=version).encode())
        assert [(c["name"], float(c["lat"]), float(c["lon"])) for c in read] == [
            ("Kiln & co < 5", 46.079, -119.774), ("Mill \u00e9", 45.9, -119.6),
        ]  # fmt: skip


def test_what_fastkml_writes_is_read() -> None:
    marks = [
        fastkml.Placemark(name="Kiln", geometry=pygeoif.Point(-119.774, 46.079, 12)),
        fastkml.Placemark(name="Mill", geometry=pygeoif.Point(-119.6, 45.9)),
    ]
    folder = fastkml.Folder(name="River", features=marks)
    told = fastkml.KML(features=[fastkml.Document(features=[folder])])
    read = cells(told.to_string().encode())
    assert [(c["name"], float(c["lat"]), float(c["lon"])) for c in read] == [
        ("Kiln", 46.079, -119.774), ("Mill", 45.9, -119.6),
    ]  # fmt: skip


def test_both_libraries_read_the_payloads_as_we_do() -> None:
    waypoints = gpxpy.parse(payload("ranch.gpx").decode()).waypoints
    ours = cells(payload("ranch.gpx"))
    assert [(w.name, w.latitude, w.longitude) for w in waypoints] == [
        (c["name"], float(c["lat"]), float(c["lon"])) for c in ours
    ]
    assert len(YARDS.splitlines()) == 4
