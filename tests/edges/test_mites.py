"""Reports in a book to printed percent: the published numbers come out of the command line.

Worked examples: fixtures/reference/treatment_efficacy.csv (30, 6, 28, 26 give 78.46 % by Henderson
and Tilton and 76.92 % by Abbott; 2 of 50 give 96 %). The yard of eight washes is worked out with
the t quantile of 7 degrees of freedom, 2.36462: 0.156 to 1.511 %.
"""

from __future__ import annotations

import json
from contextlib import closing
from datetime import UTC, date, datetime

import pytest
from support.reporting import outfit, plain, settings_of, typed

from windowcast.terms.visit import Treated, Visit
from windowcast.wiring import book_of

YARDS = """\
key,name,lat,lon,doubles
kiln,Kiln,45.90,-119.60,1
mill-ditch,Mill ditch,45.95,-119.65,1
heron-slough,Heron slough,46.05,-119.70,24
quarry-bench,Quarry bench,46.10,-119.75,
"""
LOGGED = datetime(2025, 2, 1, 12, tzinfo=UTC)
ROUND_1 = date(2024, 12, 20)
AT = ("--at", "2025-02-01T08:00-08:00")


@pytest.fixture
def folder(tmp_path):
    return outfit(tmp_path / "bees", yards=YARDS)


def washed(folder, yard, mites, bees, day, *more):
    ran = typed(folder, "seen", yard, "mites", mites, "--bees", bees, "--at", f"{day} 12:00", *more)
    assert ran.returncode == 0, ran.stderr


def on_board(folder, yard, mites, days, day, *more):
    ran = typed(
        folder, "seen", yard, "mites", mites, "--board-days", days, "--at", f"{day} 12:00", *more
    )
    assert ran.returncode == 0, ran.stderr


def treated(folder, yard, day=ROUND_1, round_no=1, colonies=None):
    done = () if colonies is None else (Treated(kind="doubles", colonies=colonies),)
    visit = Visit(yard_key=yard, day=day, round_no=round_no, logged_at=LOGGED, treated=done)
    with closing(book_of(settings_of(folder))) as book:
        book.add_visit(visit, LOGGED)


def told(folder, *words):
    ran = typed(folder, "mites", *AT, "--json", *words)
    assert ran.returncode == 0, ran.stderr
    return {yard["key"]: yard for yard in json.loads(ran.stdout)["yards"]}


def text(folder, *words):
    ran = typed(folder, "mites", *AT, *words)
    assert ran.returncode == 0, ran.stderr
    assert max(map(len, ran.stdout.splitlines())) <= 80
    return plain(ran.stdout)


def test_henderson_and_tilton_s_example_from_the_book(folder):
    for yard, before, after in (("kiln", 30, 6), ("mill-ditch", 28, 26)):
        washed(folder, yard, before, 300, "2024-12-18")
        washed(folder, yard, after, 300, "2025-01-03")
    treated(folder, "kiln")
    (result,) = told(folder)["kiln"]["results"]
    assert (result["formula"], result["efficacy"]) == ("henderson_tilton", True)
    assert result["fall_percent"] == pytest.approx(78.46, abs=0.005)
    assert result["low_percent"] < 78.46 < result["high_percent"]
    (control,) = result["controls"]
    assert (control["yard"], control["before"]["first_day"]) == ("mill-ditch", "2024-12-18")
    said = text(folder, "kiln")
    assert "Round 1, Fri 20 Dec, by wash: efficacy 78.5 % (from" in said
    assert "against mill-ditch, not treated in between (Henderson-Tilton)." in said
    assert "Counted before, Wed 18 Dec, 10.0 %; after, Fri 3 Jan, 2.0 %." in said
    assert "Counted at mill-ditch before, Wed 18 Dec, 9.3 %; after, Fri 3 Jan, 8.7 %." in said


def test_a_control_that_was_counted_twice_after_the_treatment_is_named_and_not_used(folder):
    for yard, counts in (("kiln", ((30, "2024-12-19"), (6, "2024-12-30"))),
                         ("mill-ditch", ((20, "2024-12-25"), (28, "2024-12-29")))):  # fmt: skip
        for mites, day in counts:
            washed(folder, yard, mites, 300, day)
    treated(folder, "kiln")
    (result,) = told(folder)["kiln"]["results"]
    assert (result["formula"], result["efficacy"], result["controls"]) == ("observed", False, [])
    assert [control["yard"] for control in result["one_sided"]] == ["mill-ditch"]
    said = text(folder, "kiln")
    assert "observed reduction 80.0 %" in said
    assert (
        "mill-ditch is no control: it was counted Wed 25 Dec and Sun 29 Dec, not on both sides of"
        " the treatment."
    ) in said


def test_where_one_colony_of_24_was_treated_nothing_is_called_an_efficacy(folder):
    for colony in range(24):
        washed(folder, "heron-slough", 20, 300, "2024-12-18", "--colony", colony)
        washed(folder, "heron-slough", 1, 300, "2025-01-03", "--colony", colony)
    washed(folder, "mill-ditch", 28, 300, "2024-12-18")
    washed(folder, "mill-ditch", 28, 300, "2025-01-03")
    treated(folder, "heron-slough", colonies=1)
    (result,) = told(folder)["heron-slough"]["results"]
    assert (result["formula"], result["efficacy"]) == ("henderson_tilton", False)
    assert (result["rounds"][0]["of_colonies"], result["rounds"][0]["treated"]) == (24, 1)
    said = text(folder, "heron-slough")
    assert "observed reduction 95.0 % (from" in said
    assert "with 1 of 24 colonies treated in round 1; against mill-ditch" in said
    assert "The fall is of the whole yard, so that it is no efficacy." in said
    assert "efficacy 95" not in said
    assert "efficacy as counted" not in said


@pytest.mark.parametrize(
    ("left", "control", "bees", "percent"), [(6, 26, 300, 76.92), (2, 50, 100, 96.0)]
)
def test_abbott_s_examples_from_the_book(folder, left, control, bees, percent):
    washed(folder, "kiln", left, bees, "2025-01-03")
    washed(folder, "mill-ditch", control, bees, "2025-01-03")
    treated(folder, "kiln")
    (result,) = told(folder)["kiln"]["results"]
    assert (result["formula"], result["before"]) == ("abbott", None)
    assert result["fall_percent"] == pytest.approx(percent, abs=0.005)
    assert "if both were alike before, which no count shows (Abbott)" in text(folder)


def test_without_a_control_it_is_an_observed_reduction(folder):
    washed(folder, "kiln", 30, 300, "2024-12-18")
    washed(folder, "kiln", 6, 300, "2025-01-03")
    treated(folder, "kiln")
    (result,) = told(folder)["kiln"]["results"]
    assert (result["formula"], result["efficacy"], result["fall_percent"]) == (
        "observed",
        False,
        80.0,
    )
    said = text(folder)
    assert "observed reduction 80.0 % (from" in said
    assert "without an untreated yard this is no efficacy" in said
    assert "efficacy 80" not in said


def test_a_yard_that_was_treated_too_is_no_control(folder):
    for yard in ("kiln", "mill-ditch"):
        washed(folder, yard, 30, 300, "2024-12-18")
        washed(folder, yard, 6, 300, "2025-01-03")
        treated(folder, yard)
    assert [y["results"][0]["formula"] for y in told(folder).values()] == ["observed"] * 2


def test_the_yard_of_eight_washes(folder):
    for colony, mites in enumerate((0, 2, 1, 9, 0, 4, 3, 1)):
        washed(folder, "heron-slough", mites, 300, "2025-01-10", "--colony", colony)
    level = told(folder)["heron-slough"]["washes"]
    assert level["mean"] == pytest.approx(0.8333, abs=0.0005)
    assert (level["low"], level["high"]) == (
        pytest.approx(0.156, abs=0.0005),
        pytest.approx(1.511, abs=0.0005),
    )
    assert level["verdict"] == "below"
    said = text(folder, "heron-slough")
    assert "Washes Fri 10 Jan 2025: 0.8 % (from 0.2 % to 1.5 %), 8 of 24 colonies; is below" in said
    assert "Next time wash 12 of 24 colonies, drawn by lot, 300 bees each" in said


def test_one_colony_of_many_says_nothing_of_the_yard(folder):
    washed(folder, "heron-slough", 6, 300, "2025-01-10", "--colony", "7")
    level = told(folder)["heron-slough"]["washes"]
    assert (level["low"], level["high"]) == (None, None)
    assert (level["alone_low"], level["alone_high"]) == (0.92, 4.294)  # Wilson, 6 of 300
    assert level["verdict"] == "open"
    said = text(folder)
    assert "2.0 % (from 0.9 % to 4.3 %) in the one colony washed" in said
    assert "Nobody can say from 1 colony what all 24 have." in said


def test_one_colony_before_and_after_is_too_few_to_say(folder):
    washed(folder, "heron-slough", 30, 300, "2024-12-18")
    washed(folder, "heron-slough", 6, 300, "2025-01-03")
    treated(folder, "heron-slough", colonies=12)
    said = text(folder)
    assert "by wash: too few to say; observed reduction as counted 80.0 %" in said
    assert "80.0 % with 12 of 24 colonies treated in round 1; without an untreated yard" in said
    assert "The fall is of the whole yard, so that it is no efficacy." in said


def test_boards_are_mites_a_day_and_never_mixed_with_washes(folder):
    on_board(folder, "kiln", 30, 3, "2024-12-18")
    washed(folder, "kiln", 6, 300, "2025-01-03")
    treated(folder, "kiln")
    yard = told(folder)["kiln"]
    assert yard["boards"]["mean"] == 10.0
    assert yard["results"] == []
    said = text(folder)
    assert "Board Sun 15 Dec to Wed 18 Dec 2024: 10.0 a day" in said
    assert "Round 1, Fri 20 Dec: no counts that show what it did." in said


def test_boards_before_and_after_show_a_fall_of_their_own(folder):
    on_board(folder, "kiln", 60, 3, "2024-12-18")
    on_board(folder, "kiln", 12, 3, "2025-01-03")
    treated(folder, "kiln")
    (result,) = told(folder)["kiln"]["results"]
    assert (result["after"]["method"], result["fall_percent"]) == ("board", 80.0)


@pytest.mark.parametrize(
    ("day", "used", "said"),
    [
        ("2024-12-26", False, "6 days after round 1 of Fri 20 Dec, and mites still fall until"),
        ("2024-12-27", True, "observed reduction"),
        ("2025-01-17", True, "observed reduction"),
        ("2025-01-18", False, "29 days after it, and at most 28 are allowed"),
    ],
)
def test_a_count_too_soon_or_too_late_after_a_round_is_named_and_not_used(folder, day, used, said):
    washed(folder, "kiln", 30, 300, "2024-12-18")
    washed(folder, "kiln", 6, 300, day)
    treated(folder, "kiln")
    assert bool(told(folder)["kiln"]["results"]) == used
    assert said in text(folder)


@pytest.mark.parametrize(("day", "used"), [("2024-12-06", True), ("2024-12-05", False)])
def test_a_count_long_before_a_round_is_named_and_not_used(folder, day, used):
    washed(folder, "kiln", 30, 300, day)
    washed(folder, "kiln", 6, 300, "2025-01-03")
    treated(folder, "kiln")
    assert bool(told(folder)["kiln"]["results"]) == used
    assert ("15 days before it, and at most 14 are allowed" in text(folder)) != used


def test_a_board_that_lay_during_a_round_counts_dead_mites_and_is_not_used(folder):
    on_board(folder, "kiln", 60, 3, "2024-12-18")
    on_board(folder, "kiln", 400, 3, "2024-12-22")
    treated(folder, "kiln")
    assert told(folder)["kiln"]["results"] == []
    assert "Board Thu 19 Dec to Sun 22 Dec not used: round 1 of Fri 20 Dec was" in text(folder)


def test_thresholds_follow_practice_toml_and_say_so(folder):
    washed(folder, "kiln", 6, 300, "2025-01-10")
    (folder / "practice.toml").write_text('[mites]\nact_winter = "0.5 %"\n')
    assert told(folder)["kiln"]["washes"]["verdict"] == "above"
    said = text(folder)
    assert "is above the 0.5 % from which to act" in said
    assert "mites.act_winter = 0.5 %, your own; the default is 3 %" in said


def test_a_wash_with_more_mites_than_bees_is_named_and_not_used(folder, tmp_path):
    table = tmp_path / "reports.csv"
    table.write_text("at,yard,kind,seen,bees\n2025-01-10T08:00-08:00,kiln,wash,300,6\n")
    assert typed(folder, "reports", "--import", table, "--yes").returncode == 0
    assert "Report 1 is not used: it has more mites than bees." in text(folder)
    assert told(folder)["kiln"]["washes"] is None


def test_the_season_is_asked_for_unless_a_day_is_told(folder):
    washed(folder, "kiln", 6, 300, "2024-06-30")
    assert told(folder) == {}
    assert "No counts: kiln, mill-ditch, heron-slough, quarry-bench." in text(folder)
    assert "kiln" in told(folder, "--since", "2024-06-30")


def test_a_yard_without_a_known_number_of_colonies_is_taken_to_have_no_end(folder):
    for mites in (0, 2, 1, 9, 0, 4, 3, 1):
        washed(folder, "quarry-bench", mites, 300, "2025-01-10")
    level = told(folder)["quarry-bench"]["washes"]
    assert level["colonies"] is None
    assert (level["low"], level["high"]) == (0.004, 1.663)


@pytest.mark.parametrize(
    ("words", "said"),
    [(("klin",), 'did you mean "kiln"?'), (("--since", "soon"), '"soon" is not a day')],
)
def test_wrong_use_is_one_sentence(folder, words, said):
    ran = typed(folder, "mites", *words)
    assert ran.returncode == 2
    assert said in plain(ran.stderr)


def test_a_level_from_before_a_round_says_that_it_is_not_of_today(folder):
    washed(folder, "kiln", 6, 300, "2024-12-18")
    treated(folder, "kiln")
    assert "Treated since: round 1 on Fri 20 Dec." in text(folder)
    washed(folder, "kiln", 6, 300, "2025-01-03")
    assert "Treated since" not in text(folder)


def test_an_empty_book_says_how_to_begin(folder):
    assert "puts a wash into the book" in text(folder)
    assert told(folder) == {}
