"""The commands as a person uses them: statuses, words to stderr, data to stdout."""

import json
import os
import subprocess
import sys

import pytest
from support import office
from support.nws_payloads import body
from support.office import windowcast
from support.server import Reply, WeatherServer


@pytest.fixture
def folder(tmp_path):
    """A configuration whose office is running."""
    with WeatherServer(office.office_routes()) as server:
        yield office.configured(tmp_path / "bees", server.url)


def why(folder, *words):
    return windowcast("why", *words, "--config", folder, "--at", office.NOW)


def test_the_notice_goes_to_stdout_and_nothing_else(folder):
    ran = office.morning(folder)
    assert ran.stdout.startswith("Vellamoor Bees, Tue 12 Jan")
    assert ran.stderr == ""


def test_json_is_one_document_and_the_page_is_written_beside_it(folder, tmp_path):
    page = tmp_path / "today.html"
    ran = office.morning(folder, "--json", "--html", page)
    assert json.loads(ran.stdout)["schema_version"] == 1
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert str(page) in ran.stderr


def test_a_page_that_cannot_be_written_is_one_sentence_and_leaves_nothing(folder, tmp_path):
    ran = office.morning(folder, "--html", tmp_path / "no" / "such" / "today.html")
    assert ran.returncode == 2
    assert "cannot be written" in ran.stderr
    assert ran.stdout == ""
    assert not (tmp_path / "no").exists()


def test_why_shows_every_working_hour_with_its_parts(folder):
    ran = why(folder, "kiln", "2027-01-12")
    assert ran.returncode == 0
    for hour in range(8, 16):
        assert f"\n{hour:02d}:00" in ran.stdout
    assert "common practice (no source)" in ran.stdout


def test_why_knows_today_and_tomorrow_and_speaks_json(folder):
    today = json.loads(why(folder, "kiln", "today", "--json").stdout)
    tomorrow = json.loads(why(folder, "kiln", "tomorrow", "--json").stdout)
    assert (today["day"], tomorrow["day"]) == ("2027-01-12", "2027-01-13")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("klin", "today"), 'did you mean "kiln"'),
        (("kiln", "thursday-ish"), "is not a day"),
        (("kiln", "2027-13-40"), "is not a day"),
    ],
)
def test_why_of_something_that_is_not_is_wrong_use(folder, words, said):
    ran = why(folder, *words)
    assert ran.returncode == 2
    assert said in " ".join(ran.stderr.replace("│", " ").split())


def test_why_of_a_day_beyond_the_judged_ones_says_which_can_be_asked(folder):
    ran = why(folder, "kiln", "2027-03-01")
    assert ran.returncode == 2
    assert "2027-01-21" in ran.stderr


@pytest.mark.parametrize("at", ["yesterday", "2027-01-12T06:00", "12.01.2027", ""])
def test_a_clock_that_cannot_be_read_is_wrong_use(folder, at):
    ran = windowcast("morning", "--config", folder, "--at", at)
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr


def test_a_folder_without_configuration_says_what_to_run(tmp_path):
    ran = office.morning(tmp_path / "nowhere")
    assert ran.returncode == 3
    assert "windowcast new" in ran.stderr


def test_every_fault_of_the_configuration_is_told_at_once(folder):
    (folder / "yards.csv").write_text("key,name,lat,lon\na,A,95,-119\nb,B,45.9,x\n")
    (folder / "practice.toml").write_text('[wind]\ncalm_to = 8\nnon_from = "15 mph"\n')
    ran = office.morning(folder)
    assert ran.returncode == 3
    for place in ("practice.toml:2", "practice.toml:3", "yards.csv:2", "yards.csv:3"):
        assert place in ran.stderr
    assert 'did you mean "none_from"' in ran.stderr


def test_a_threshold_in_practice_toml_changes_the_advice(folder):
    (folder / "practice.toml").write_text('[temperature]\nbest_low = "46 F"\nbest_high = "47 F"\n')
    changed = json.loads(office.morning(folder, "--json").stdout)
    (folder / "practice.toml").unlink()
    usual = json.loads(office.morning(folder, "--json").stdout)
    assert usual["days"][0]["score"] == 1.0
    assert changed["days"][0]["score"] < 1.0


def test_the_schema_of_every_file_and_document_is_printed_and_written(tmp_path):
    printed = json.loads(windowcast("schema").stdout)
    assert {"morning", "why", "outfit", "practice", "label"} <= set(printed)
    assert windowcast("schema", "--out", tmp_path / "schemas").returncode == 0
    written = json.loads((tmp_path / "schemas" / "morning.schema.json").read_text())
    assert written == printed["morning"]


@pytest.mark.parametrize("out", ["/dev/null/x", __file__])
def test_a_schema_folder_that_cannot_be_is_wrong_use(out):
    ran = windowcast("schema", "--out", out)
    assert ran.returncode == 2
    assert "choose another place" in ran.stderr


def test_the_version_is_told():
    assert windowcast("--version").stdout.startswith("windowcast ")


def test_no_command_at_all_shows_the_help_and_is_wrong_use():
    ran = windowcast()
    assert ran.returncode == 2
    assert "morning" in ran.stdout + ran.stderr


def test_a_reader_that_leaves_early_gets_no_traceback(folder):
    ran = subprocess.run(
        f"{sys.executable} -m windowcast schema | head -c 10",
        shell=True, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert "Traceback" not in ran.stderr


def test_a_terminal_without_unicode_still_gets_its_notice(folder):
    ran = subprocess.run(
        [sys.executable, "-m", "windowcast", "morning", "--config", folder, "--at", office.NOW],
        env=os.environ | {"PYTHONIOENCODING": "ascii", "LC_ALL": "C"},
        capture_output=True, timeout=60, check=False,
    )  # fmt: skip
    assert ran.returncode == 0
    assert "°F" in ran.stdout.decode()


def test_a_service_that_quotes_unicode_does_not_break_an_ascii_terminal(tmp_path):
    with WeatherServer(office.office_routes()) as server:
        told = office.sound_grid()
        told["properties"]["temperature"]["uom"] = "wmoUnit:°ü"
        server.routes[office.GRID] = Reply(body=body(told))
        folder = office.configured(tmp_path / "bees", server.url)
        ran = subprocess.run(
            [sys.executable, "-m", "windowcast", "morning", "--config", folder, "--at", office.NOW],
            env=os.environ | {"PYTHONIOENCODING": "ascii", "LC_ALL": "C"},
            capture_output=True, timeout=60, check=False,
        )  # fmt: skip
    assert ran.returncode == 4
    assert b"Traceback" not in ran.stderr


@pytest.mark.parametrize("words", [("KILN", "wed"), ("Kiln", "Wednesday"), ("kiln", "tomorrow")])
def test_why_takes_a_name_or_key_in_any_case_and_a_day_of_the_week(folder, words):
    assert json.loads(why(folder, *words, "--json").stdout)["day"] == "2027-01-13"


@pytest.mark.parametrize("content", [b"SQLite format 3\x00", b"key,name,lat,lon\n"])
def test_a_page_is_not_written_over_what_is_no_page(tmp_path, content):
    place = tmp_path / "kept"
    place.write_bytes(content)
    ran = subprocess.run(
        [sys.executable, "-m", "windowcast", "demo", "--html", str(place)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (ran.returncode, "is no page and is not replaced" in ran.stderr) == (2, True)
    assert place.read_bytes() == content


def test_a_page_replaces_an_older_page(tmp_path):
    place = tmp_path / "today.html"
    for _ in range(2):
        ran = subprocess.run(
            [sys.executable, "-m", "windowcast", "demo", "--html", str(place)],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert ran.returncode == 0
    assert [item.name for item in tmp_path.iterdir()] == ["today.html"]
