"""``windowcast visit`` as a person types it, with a terminal and without one."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import typer
from support.books import postgres_address
from support.configs import YARDS
from support.office import Ran, configured, office_routes, windowcast
from support.outlooks import outlook
from support.server import WeatherServer
from support.visiting import (
    NOW,
    ZONE,
    answered_after,
    booked,
    on_a_terminal,
    open_at,
    outfit,
    run_alone,
    said,
    typed,
    typed_together,
)  # fmt: skip

from windowcast.cli.visit import AtYard, Told, book_it
from windowcast.gather import Gathered
from windowcast.problems import StoreProblem
from windowcast.settings import load_settings
from windowcast.store.book import Book, open_book
from windowcast.store.trouble import BUSY
from windowcast.terms.outlook import Origin
from windowcast.terms.visit import Treated

# Each doubt: what is booked before, what is typed then, and what is asked.
DOUBTS = {
    "twice": (["today --done doubles=8"], "today --done doubles=8", "a double entry?"),
    "whole": (["mon"], "today --round 1 --done doubles=1", "has had round 1 already, last with"),
    "more": ([], "today --done doubles=25", "24 doubles at kiln, and with this visit 25"),
    "grams": (
        [], "today --done doubles=2 --grams doubles=15", "more than label.toml names for so many",
    ),
    "skipped": ([], "today --round 2", "No round 1 is booked for kiln in this season"),
    "beyond": (
        ["2026-12-01 --round 1", "2026-12-16 --round 2"], "today --round 3",
        "practice.toml plans 2 rounds a season, and this is round 3",
    ),
    "backwards": (
        ["2026-12-01 --done doubles=1", "2026-12-16 --round 2"], "today --round 1",
        "is of a later round than this and was done before it",
    ),
    "gap": (["2026-12-30"], "today", "13 days after visit 1 (Wed 30 Dec 2026, round 1)"),
    "label_days": (["2026-12-23"], "today", "label.toml asks for 21 days: fine from Wed 13 Jan"),
    "label_year": (
        ["2026-07-01", "2026-09-01 --round 2"], "today --round 3",
        "label.toml names 2 applications a year at most",
    ),
}  # fmt: skip
STRICT = {
    "grams": "max_grams_per_chamber = 3.5\n[chambers]\ndouble = 2\n",
    "label_days": "min_days_between = 21\n",
    "label_year": "max_applications_per_year = 2\n",
}
TOLD = Told(
    day="today", round_no=1, done="doubles=1", grams=None, began=None, crew="", person="", note="",
)  # fmt: skip
every_doubt = pytest.mark.parametrize("name", DOUBTS)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return outfit(tmp_path / "bees")


def doubtful(folder: Path, name: str) -> tuple[list[str], str]:
    """An outfit with what was booked before a doubtful visit; what to type, and what is asked."""
    before, line, asked = DOUBTS[name]
    outfit(folder, label=STRICT.get(name, ""))
    for words in before:
        assert visit(folder, f"{words} --yes").returncode == 0
    return ["visit", "kiln", *line.split()], asked


def visit(folder: Path, line: str = "", at: str = NOW) -> Ran:
    return typed(folder, "visit", "kiln", *line.split(), at=at)


def at_kiln(folder: Path, book: Book, ask: Callable[[], Gathered]) -> AtYard:
    settings = load_settings(folder)
    return AtYard(
        settings=settings, book=book, yard=settings.yards[0], tz=ZONE.split('"')[1], ask=ask,
        now=datetime(2027, 1, 12, 19, 20, tzinfo=UTC),
    )  # fmt: skip


def test_a_visit_is_kept_with_what_is_known_of_the_yard_and_the_label(folder: Path) -> None:
    outfit(folder, label='product = "made up"\nregistration = "00000-0"\n')
    ran = visit(
        folder, "--done nucs=1,doubles=12 --grams doubles=48 --began 10:30 --crew river --yes"
    )
    assert (ran.returncode, ran.stdout) == (0, "")
    (kept,) = booked(folder)
    assert (kept.yard_key, kept.yard_name, kept.state) == ("kiln", "Kiln", "WA")
    assert (kept.day, kept.round_no, kept.crew) == (date(2027, 1, 12), 1, "River")
    assert (kept.product, kept.registration) == ("made up", "00000-0")
    assert kept.treated == (
        Treated(kind="doubles", colonies=12, acid_g=48.0), Treated(kind="nucs", colonies=1),
    )  # fmt: skip
    assert kept.began_at == datetime(2027, 1, 12, 18, 30, tzinfo=UTC)
    assert kept.logged_at == datetime(2027, 1, 12, 19, 20, tzinfo=UTC)


def test_a_half_done_yard_is_finished_by_later_visits(folder: Path) -> None:
    first = visit(folder, "mon --done doubles=10")
    assert first.stderr.splitlines()[:2] == [
        "Booked visit 1: kiln, Mon 11 Jan 2027, round 1, 10 doubles.",
        "kiln round 1: 10 of 24 colonies. If the rest is dead or gone: strike this out, book it"
        " again with --whole.",
    ]
    second = visit(folder, "--done doubles=14")
    assert second.stderr.splitlines()[:3] == [
        "Booked visit 2: kiln, Tue 12 Jan 2027, round 1, 14 doubles.",
        "kiln round 1: 24 of 24 colonies.",
        "Round 2: from Tue 26 Jan 2027 to Mon 1 Feb 2027.",
    ]
    assert f"windowcast visits --undo 2 --config {folder}" in second.stderr


def test_a_longer_list_does_not_take_a_done_round_back(folder: Path) -> None:
    for day in ("2026-12-01", "2026-12-16"):
        assert visit(folder, f"{day} --done doubles=24").returncode == 0
    assert [v.of_colonies for v in booked(folder)] == [24, 24]
    yards = (folder / "yards.csv").read_text()
    (folder / "yards.csv").write_text(yards.replace(",24,", ",25,", 1))
    assert load_settings(folder).yards[0].colonies == 25
    assert "kiln has all 2 planned rounds" in said(visit(folder))


def test_a_round_is_whole_where_the_rest_is_dead(folder: Path) -> None:
    ran = visit(folder, "mon --done doubles=23 --whole")
    assert ran.stderr.splitlines()[:3] == [
        "Booked visit 1: kiln, Mon 11 Jan 2027, round 1, whole: 23 doubles.",
        "kiln round 1: the whole yard.",
        "Round 2: from Mon 25 Jan 2027 to Mon 1 Feb 2027.",
    ]
    (kept,) = booked(folder)
    assert (kept.whole, kept.colonies, kept.of_colonies) == (True, 23, 24)


def test_of_the_same_visit_typed_at_once_by_three_one_is_booked(folder: Path) -> None:
    open_at(folder).close()
    ended = typed_together(folder, ["visit", "kiln", "today"], 3)
    assert sorted(ended) == [0, 2, 2]
    assert [one.round_no for one in booked(folder)] == [1]


@pytest.mark.postgres
def test_of_the_same_visit_typed_at_once_one_is_booked_in_postgres(folder: Path) -> None:
    with postgres_address() as address:
        text = (folder / "outfit.toml").read_text()
        spoken = address.replace("+psycopg", "", 1)
        (folder / "outfit.toml").write_text(f'book = "{spoken}"\n{text}')
        open_at(folder).close()
        ended = typed_together(folder, ["visit", "kiln", "today"], 3)
        assert sorted(ended) == [0, 2, 2]
        assert [one.round_no for one in booked(folder)] == [1]


def test_a_visit_that_another_overtakes_is_judged_anew(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """While the weather is looked up, somebody else books the same."""
    with closing(open_at(folder)) as book:

        def ask() -> Gathered:
            if not book.visits():
                typed(folder, "visit", "kiln", "today", "--done", "doubles=8", "--yes")
            return Gathered(yards=(), outlooks=(), blind=(), remarks=())

        place = at_kiln(folder, book, ask)
        told = replace(TOLD, done="doubles=8")
        with pytest.raises(typer.Exit) as ended:
            book_it(place, told, ".", yes=False, as_json=False)
        assert ended.value.exit_code == 2
        assert len(book.visits()) == 1
        heard = capsys.readouterr().err
        assert "The visits of kiln have changed meanwhile: looking at them again." in heard
        assert "a double entry?" in heard
        book_it(place, replace(told, done="doubles=3"), ".", yes=True, as_json=False)
        assert [v.colonies for v in book.visits()] == [8, 3]


@pytest.mark.parametrize(("typing", "more"), [("y\nn\n", 0), ("y\ny\n", 1)])
def test_who_answered_before_another_visit_came_is_asked_again(
    folder: Path, typing: str, more: int
) -> None:
    def another() -> None:
        assert visit(folder, "today --round 2 --done doubles=2 --yes").returncode == 0

    words = ["visit", "kiln", "--round", "2", "--done", "doubles=2"]
    done = answered_after(folder, words, another, typing)
    assert done.returncode == 0
    assert done.seen.count("Book it all the same?") == 2
    assert done.seen.partition("looking at them again.")[2].count("a double entry?") == 1
    assert len(booked(folder)) == 1 + more


@pytest.mark.parametrize(
    ("day", "status"),
    [("2027-01-24", 2), ("2027-01-25", 0), ("2027-02-01", 0), ("2027-02-02", 0)],
)
def test_the_gap_is_asked_for_on_day_13_and_on_no_later_one(
    folder: Path, day: str, status: int
) -> None:
    visit(folder, "mon")
    ran = visit(folder, at=f"{day}T11:20-08:00")
    assert ran.returncode == status
    assert len(booked(folder)) == (2 if status == 0 else 1)


@every_doubt
def test_without_a_terminal_a_doubt_is_wrong_use_with_its_cure(folder: Path, name: str) -> None:
    words, asked = doubtful(folder, name)
    before = booked(folder)
    ran = typed(folder, *words)
    assert ran.returncode == 2
    assert asked in ran.stderr
    assert ran.stderr.splitlines()[-1] == (
        "Nothing was booked, as nobody can be asked here: add --yes, or correct the visit."
    )
    assert booked(folder) == before


@every_doubt
def test_with_yes_a_doubt_is_said_and_the_visit_is_booked(folder: Path, name: str) -> None:
    words, asked = doubtful(folder, name)
    before = booked(folder)
    ran = typed(folder, *words, "--yes")
    assert ran.returncode == 0
    assert asked in ran.stderr
    assert len(booked(folder)) == len(before) + 1


@every_doubt
def test_on_a_terminal_a_person_is_asked_once_and_may_book_it(folder: Path, name: str) -> None:
    words, asked = doubtful(folder, name)
    before = booked(folder)
    done = on_a_terminal(folder, words, "y\n")
    assert done.returncode == 0
    assert done.seen.count("Book it all the same?") == 1
    assert asked in done.seen
    assert len(booked(folder)) == len(before) + 1


@pytest.mark.parametrize("typing", ["n\n", "\n"])
def test_a_person_who_does_not_agree_books_nothing(folder: Path, typing: str) -> None:
    done = on_a_terminal(folder, ["visit", "kiln", "--round", "2"], typing)
    assert done.returncode == 0
    assert "Nothing was booked." in done.seen
    assert booked(folder) == ()


def test_what_is_not_odd_is_not_asked_about(folder: Path) -> None:
    done = on_a_terminal(folder, ["visit", "kiln"], "")
    assert done.returncode == 0
    assert "?" not in done.seen
    assert len(booked(folder)) == 1


def test_all_doubts_are_told_before_one_question(folder: Path) -> None:
    visit(folder, "mon")
    ran = visit(folder, "today --round 3 --done singles=4")
    assert len(ran.stderr.splitlines()) == 5
    assert ran.returncode == 2


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("tomorrow", '"tomorrow" is not a day; write today, yesterday or one such as 2027-01-12'),
        ("2027-01-13", '"2027-01-13" is still to come at the yard'),
        ("today --began 11:21", '"11:21" on 2027-01-12 is still to come'),
        ("today --done doublez=1", 'did you mean "doubles"?'),
        ("today --grams doubles=4", "write --done doubles=12 too"),
        ("today --crew rivr", 'outfit.toml has no crew "rivr"; did you mean "River"?'),
        ("today --round 0", "round 0 is not a whole number from 1 to 99"),
        ("today --round two", "Invalid value for '--round'"),
        ("1899-12-31", "is out of reach; write a year from 1900"),
        ("today --note \x07", "note holds characters that are no text"),
    ],
)
def test_what_cannot_be_is_wrong_use_and_books_nothing(folder: Path, line: str, told: str) -> None:
    ran = typed(folder, "visit", "kiln", *line.split(" "))
    assert ran.returncode == 2
    assert told in said(ran)
    assert booked(folder) == ()


def test_a_yard_that_is_none_is_wrong_use_with_the_nearest(folder: Path) -> None:
    ran = typed(folder, "visit", "klin")
    assert (ran.returncode, 'did you mean "kiln"?' in said(ran)) == (2, True)


def test_a_person_must_say_the_round_where_none_is_due(folder: Path) -> None:
    for line in ("2026-12-01", "2026-12-16"):
        assert visit(folder, line).returncode == 0
    assert "kiln has all 2 planned rounds; say which round" in said(visit(folder))
    ran = visit(folder, "2026-12-10")
    assert ran.returncode == 2
    assert "kiln has a visit after it, on Wed 16 Dec 2026; say which" in said(ran)


# 1 November 2026 has 25 hours and 14 March 2027 has 23, by the zone database.
@pytest.mark.parametrize(
    ("at", "day"),
    [
        ("2026-11-01T06:59Z", date(2026, 10, 31)), ("2026-11-01T07:00Z", date(2026, 11, 1)),
        ("2026-11-02T07:59Z", date(2026, 11, 1)), ("2026-11-02T08:00Z", date(2026, 11, 2)),
        ("2027-03-14T07:59Z", date(2027, 3, 13)), ("2027-03-14T08:00Z", date(2027, 3, 14)),
        ("2027-03-15T06:59Z", date(2027, 3, 14)), ("2027-03-15T07:00Z", date(2027, 3, 15)),
    ],
)  # fmt: skip
def test_a_visit_belongs_to_the_day_of_the_yard_also_after_midnight_in_utc(
    folder: Path, at: str, day: date
) -> None:
    assert visit(folder, at=at).returncode == 0
    assert booked(folder)[0].day == day


def test_a_yard_in_another_zone_has_its_own_day_and_clock(folder: Path) -> None:
    east = YARDS.replace("notes\n", "notes,zone\n").replace(
        "dirt,180 m,", "dirt,180 m,,America/Denver"
    )
    outfit(folder, yards=east)
    for key, day in (("kiln", 11), ("heron-slough", 12)):
        ran = typed(folder, "visit", key, "--began", "00:10" if day == 12 else "23:10",
                    at="2027-01-12T07:30Z")  # fmt: skip
        assert ran.returncode == 0
        assert booked(folder)[-1].day == date(2027, 1, day)
    assert [v.began_at for v in booked(folder)] == [datetime(2027, 1, 12, 7, 10, tzinfo=UTC)] * 2


def test_a_new_season_begins_with_the_first_round_on_the_first_of_july(folder: Path) -> None:
    assert visit(folder, "--round 1", at="2027-05-01T12:00-07:00").returncode == 0
    assert visit(folder, at="2027-06-30T23:59-07:00").returncode == 0
    assert visit(folder, at="2027-07-20T00:01-07:00").returncode == 0
    assert [v.round_no for v in booked(folder)] == [1, 2, 1]


def test_the_weather_of_the_hour_comes_from_the_book(folder: Path) -> None:
    past = outlook("kiln", temp_c=5.0, origin=Origin(name="nws", kind="past", detail="XZZA"))
    with closing(open_at(folder)) as book:
        book.keep_hours([past], datetime(2027, 1, 12, 19, tzinfo=UTC))
    ran = visit(folder, "--began 10:30")
    (kept,) = booked(folder)
    assert kept.weather is not None
    assert (kept.weather.hour.hour, kept.weather.temp_c) == (18, 5.0)
    assert "Weather of 10:00: 41 °F, 2 mph W (nws, XZZA)." in ran.stderr


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("mon", "nobody told when the work began"),
        ("2027-01-04 --began 10:30", "the services tell no more than the last 7 days"),
        ("today --began 10:30", "files: "),
    ],
)
def test_a_visit_is_kept_without_weather_rather_than_not_at_all(
    folder: Path, line: str, why: str
) -> None:
    ran = visit(folder, line)
    assert ran.returncode == 0
    assert "Kept without weather: " in ran.stderr
    assert why in ran.stderr
    assert booked(folder)[0].weather is None


def test_the_document_is_the_only_thing_on_stdout(folder: Path) -> None:
    ran = visit(folder, "--done doubles=12 --json")
    document = json.loads(ran.stdout)
    assert (document["visit"]["number"], document["done_share"]) == (1, 0.5)
    assert (document["next"]["round"], document["visit"]["weather"]) == (1, None)
    assert document["no_weather"]
    assert ran.stderr == ""


def test_a_source_tells_zone_and_weather_and_both_stay_in_the_book(tmp_path: Path) -> None:
    with WeatherServer(office_routes()) as server:
        folder = configured(tmp_path / "bees", server.url)
        ran = typed(folder, "visit", "kiln", "--done", "doubles=12")
        assert ran.returncode == 0
        assert re.search(r"Weather of 11:00, when it was logged: 45 °F, 3 mph W \(nws", ran.stderr)
    again = typed(folder, "visit", "kiln", "yesterday", "--done", "doubles=2", "--round", "1")
    assert again.returncode == 0
    assert [v.day.day for v in booked(folder)] == [11, 12]
    with closing(open_at(folder)) as book:
        kept = book.outlook_of("kiln", datetime(2027, 1, 1, tzinfo=UTC))
    assert kept is not None
    assert kept.place.tz == "America/Los_Angeles"


def test_a_zone_that_nobody_tells_is_a_fault_with_its_cure(folder: Path) -> None:
    outfit(folder, zone="")
    ran = visit(folder)
    assert ran.returncode == 3
    (line,) = ran.stderr.splitlines()
    assert line.startswith("outfit.toml: zone: nothing tells the zone of kiln")
    assert 'write zone = "America/..." there' in line
    assert outfit(folder, zone=ZONE) == folder
    assert visit(folder).returncode == 0


def test_a_source_that_lacks_its_key_costs_the_weather_and_not_the_visit(folder: Path) -> None:
    keyless = '[[sources]]\nname = "open_meteo"\napi_key_env = "NO_SUCH_KEY_ANYWHERE"\n'
    text = (folder / "outfit.toml").read_text().partition("[[sources]]")[0] + keyless
    (folder / "outfit.toml").write_text(text)
    ran = visit(folder)
    assert ran.returncode == 0
    assert "Kept without weather: " in ran.stderr
    assert "NO_SUCH_KEY_ANYWHERE" in ran.stderr
    (folder / "outfit.toml").write_text(text.replace(ZONE, ""))
    ran = visit(folder, "mon --round 1")
    assert ran.returncode == 3
    assert "outfit.toml: zone: nothing tells the zone of kiln" in ran.stderr


def test_a_faulty_configuration_books_nothing(folder: Path) -> None:
    (folder / "outfit.toml").write_text("name = 1\n")
    assert windowcast("visit", "kiln", "--config", folder, "--at", NOW).returncode == 3
    assert not (folder / "state").exists()


def test_a_full_disk_is_one_sentence_and_the_book_keeps_what_it_had(folder: Path) -> None:
    visit(folder, "mon --done doubles=1")
    size = (folder / "state" / "book.sqlite").stat().st_size
    full = (
        "import resource, signal\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        f"resource.setrlimit(resource.RLIMIT_FSIZE, ({size}, {size}))"
    )
    note = ["--note", "long " * 390]
    done = [run_alone(folder, full, "visit", "kiln", "--yes", *note) for _ in range(5)][-1]
    assert done.returncode == 1
    *doubts, line = done.stderr.splitlines()
    assert line.startswith("the book ")
    assert all("visit" in doubt for doubt in doubts)
    kept = booked(folder)
    assert {v.note for v in kept[1:]} == {note[1].strip()}
    assert len(kept) < 6


def test_a_locked_book_is_a_problem_of_the_book_and_keeps_what_it_had(folder: Path) -> None:
    visit(folder, "mon --done doubles=1")
    where = load_settings(folder).outfit.book
    with closing(open_book(where, busy_s=0.1)) as book:
        place = at_kiln(folder, book, lambda: Gathered(yards=(), outlooks=(), blind=(), remarks=()))
        with closing(sqlite3.connect(str(where), isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreProblem, match=BUSY):
                book_it(place, TOLD, ".", yes=False, as_json=False)
    assert len(booked(folder)) == 1
