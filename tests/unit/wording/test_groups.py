from support.mornings import DAY, advice, dark, fit, morning, poor, usual

from windowcast.terms.advice import Blind
from windowcast.units import f_to_c, mph_to_mps
from windowcast.wording.groups import compact_groups, exact_groups, yards_heading
from windowcast.wording.view import view_of


def exact(told):
    view = view_of(told, "us")
    return [(group.lead, group.keys, group.told) for group in exact_groups(view, view.chosen)]


def compact(told):
    view = view_of(told, "us")
    return [(block.lead, " ".join(block.items)) for block in compact_groups(view, view.chosen)]


def test_yards_with_equal_hours_reasons_and_side_stand_together():
    groups = exact(usual())
    assert groups[0] == (
        "08:00-12:00 good, 4 h",
        ("kiln", "mill-ditch"),
        "38-44 °F, wind 5 mph, gusts 9 mph. Stand on the west side.",
    )
    assert groups[1] == (
        "09:00-11:00 workable, 2 h",
        ("quarry-bench",),
        "38-44 °F, wind 5 mph, gusts 9 mph. "
        "Stand on the west side, from 10:00 on the north side: the wind turns."
        " Held back: thunder, rather warm. Watch for thunder.",
    )
    assert groups[2:] == [
        ("poor, too windy", ("heron-slough",), ""),
        ("blind", ("dry-fork",), "nws: no answer for yard dry-fork in 3 tries"),
    ]


def test_another_side_parts_two_yards():
    told = morning([advice("a", fit()), advice("b", fit(wind_from_deg=90.0))])
    assert len(exact(told)) == 2


def test_another_point_of_the_same_side_does_not():
    told = morning([advice("a", fit()), advice("b", fit(wind_from_deg=280.0))])
    assert [group[1] for group in exact(told)] == [("a", "b")]


def test_air_and_wind_span_all_yards_of_a_group():
    other = fit(temp_low_c=f_to_c(40), temp_high_c=f_to_c(47), wind_mps=mph_to_mps(7))
    told = exact(morning([advice("a", fit()), advice("b", other)]))
    assert told[0][2].startswith("38-47 °F, wind 5-7 mph, gusts 9 mph.")


def test_what_is_not_told_is_not_printed():
    bare = fit(temp_low_c=None, temp_high_c=None, wind_mps=None, wind_from_deg=None)
    assert exact(morning([advice("a", bare)]))[0][2] == (
        "No side to stand on is told: find the wind with smoke."
    )


def test_a_yard_that_is_dark_on_that_day_is_named_blind():
    told = exact(morning([advice("a", fit()), advice("b", dark())]))
    assert told[1] == ("blind", ("b",), "the forecast does not tell this day")


def test_blind_yards_with_one_reason_share_it():
    blind = [Blind(key=key, why="nws: down") for key in ("x", "y")]
    assert exact(morning([advice("a", fit())], blind=blind))[1] == (
        "blind",
        ("x", "y"),
        "nws: down",
    )


def test_without_a_day_only_the_blind_are_told():
    told = morning([], blind=[Blind(key="x", why="nws: down")], sources=())
    assert exact(told) == [("blind", ("x",), "nws: down")]
    assert compact(told) == [("blind", "x")]
    assert yards_heading(view_of(told, "us")) == "Yards"


def test_few_lines_keep_hours_and_side_of_each_yard():
    assert compact(usual()) == [
        ("good (38-44 °F, wind 5 mph, gusts 9 mph)", "08:00-12:00 W: kiln, mill-ditch"),
        (
            "workable (38-44 °F, wind 5 mph, gusts 9 mph)",
            "09:00-11:00 W>N 10:00: quarry-bench",
        ),
        ("watch", "thunder: quarry-bench"),
        ("blind", "dry-fork"),
        ("poor", "too windy: heron-slough"),
    ]


def test_reasons_in_few_lines_are_parted_by_semicolons():
    told = morning([advice(key, poor()) for key in "ab"] + [advice("c", poor(limited_by="rain"))])
    assert compact(told) == [("poor", "too warm: a, b; rain: c")]


def test_the_heading_names_the_day():
    assert yards_heading(view_of(usual(), "us")) == "Yards today, Tue 12 Jan"
    later = morning([advice("a", poor(), fit(DAY.replace(day=13)))])
    assert yards_heading(view_of(later, "us")) == "Yards on Wed 13 Jan"


def test_a_forecast_that_tells_nothing_leaves_its_yard_named():
    told = exact(morning([advice("a", dark())], blind=[Blind(key="x", why="nws: down")]))
    assert told == [
        ("blind", ("x",), "nws: down"),
        ("blind", ("a",), "the forecast tells no day"),
    ]
