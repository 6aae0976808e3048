from datetime import time, timedelta

import pytest
from support.mornings import CREW, DAY, advice, dark, fit, morning, poor

from windowcast.terms.yard import Crew
from windowcast.wording.strips import BASE, FULL, WIDTH, frame_of, strip_of
from windowcast.wording.view import view_of


def strip(score, **changes):
    view = view_of(morning([advice("kiln", score)], **changes), "us")
    return strip_of(view.of_day(score.day)[0], view, frame_of(view))


def scored(*values):
    start = fit().start
    hours = tuple((start + timedelta(hours=n), value) for n, value in enumerate(values))
    return fit(hours=(8, 8 + len(values)), hour_scores=hours)


def test_the_clock_runs_an_hour_past_the_work_on_both_sides():
    view = view_of(morning([advice("kiln", fit())]), "us")
    frame = frame_of(view)
    assert (frame.first_h, frame.last_h) == (7, 18)
    assert 0 < frame.x(7) < frame.x(12) < frame.x(18) < WIDTH


def test_a_run_outside_working_hours_widens_the_clock():
    early = Crew(name="E", start=time(0), end=time(1, 30), weekdays=frozenset(range(7)))
    view = view_of(morning([advice("kiln", fit(hours=(21, 24)))], crews=(early,)), "us")
    assert (frame_of(view).first_h, frame_of(view).last_h) == (0, 24)


def test_without_crews_and_runs_there_is_still_a_clock():
    view = view_of(morning([advice("kiln", poor())], crews=()), "us")
    assert (frame_of(view).first_h, frame_of(view).last_h) == (7, 17)


def test_a_bar_is_as_high_as_its_hours_are_good():
    drawn = strip(scored(1.0, 0.5))
    assert f"V{BASE - FULL:g}H" in drawn.path
    assert f"V{BASE - FULL / 2:g}H" in drawn.path
    assert drawn.path.endswith(f"V{BASE:g}Z")


def test_a_bar_begins_and_ends_with_its_hours():
    view = view_of(morning([advice("kiln", fit())]), "us")
    frame = frame_of(view)
    drawn = strip_of(view.of_day(DAY)[0], view, frame)
    assert drawn.path.startswith(f"M{frame.x(8):g} {BASE:g}")
    assert f"H{frame.x(12):g}V{BASE:g}Z" in drawn.path


def test_hours_without_scores_make_a_flat_bar():
    drawn = strip(fit(hour_scores=(), score=0.5))
    assert drawn.path.count("H") == 1
    assert f"V{BASE - FULL / 2:g}H" in drawn.path


def test_hours_and_words_stand_beside_the_bar():
    drawn = strip(fit())
    assert (drawn.day, drawn.verdict, drawn.hours) == ("Tue 12 Jan", "good", "08:00-12:00")
    assert drawn.title == "Tue 12 Jan, good, 08:00-12:00"
    assert drawn.told.startswith("38-44 °F, wind 5 mph")
    assert drawn.note == ""


@pytest.mark.parametrize("hours", [(0, 2), (22, 24)])
def test_hours_at_the_edge_of_the_clock_stay_inside_the_drawing(hours):
    drawn = strip(fit(hours=hours))
    assert 38 <= drawn.hours_x <= WIDTH - 38


def test_a_day_without_a_run_says_why_on_its_line():
    drawn = strip(poor())
    assert (drawn.path, drawn.frame, drawn.hours) == ("", "", "")
    assert drawn.note == "Too warm (52-63 °F)"
    assert drawn.title == "Tue 12 Jan, poor, too warm (52-63 °F)"
    assert drawn.told == "Too warm (52-63 °F)."


def test_a_run_that_is_too_short_is_drawn_and_explained():
    drawn = strip(fit(hours=(9, 10), verdict="poor", limited_by="wind"))
    assert drawn.hours == "09:00-10:00"
    assert drawn.path != ""
    assert drawn.told == "Too windy, only 1 hour at a stretch."


def test_a_dark_day_has_a_line_and_no_bar():
    drawn = strip(dark())
    assert (drawn.verdict, drawn.path, drawn.note) == ("blind", "", "Not told that day")


def test_the_clock_has_a_mark_every_two_hours():
    marks = [tick.hour for tick in strip(fit(), crews=(CREW,)).ticks]
    assert marks == ["08", "10", "12", "14", "16", "18"]
