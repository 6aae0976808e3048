"""Which counts a round is judged by, and against which yards."""

from __future__ import annotations

from datetime import timedelta

import pytest
from support.mite_books import DAY_0, LIMITS, board, record, visited, washed

from windowcast.science.colony.results import round_results
from windowcast.terms.mites import ABBOTT, HENDERSON_TILTON, OBSERVED, TOO_LATE, TOO_SOON

TREATED = record(washed(-2, 30), washed(14, 6), visits=(visited(),))


def control(*reports, visits=()):
    return record(*reports, visits=visits, key="mill-ditch")


def results(own, *others):
    return round_results(own, others, LIMITS)[0]


def formulas(own, *others):
    return [result.formula for result in results(own, *others)]


def test_with_an_untreated_yard_counted_twice_it_is_henderson_and_tilton_s():
    (result,) = results(TREATED, control(washed(-2, 28), washed(14, 26)))
    assert (result.formula, keys(result.controls)) == (HENDERSON_TILTON, ["mill-ditch"])
    (used,) = result.controls
    assert (used.before.first_day, used.after.first_day) == (
        DAY_0 - timedelta(days=2), DAY_0 + timedelta(days=14),
    )  # fmt: skip
    assert (result.one_sided, result.is_efficacy) == ((), True)
    assert result.fall_frac == pytest.approx(0.7846, abs=5e-5)


def keys(controls):
    return [control.yard_key for control in controls]


def test_a_control_that_was_counted_only_after_the_treatment_is_none():
    """Treated on day -1 and 10; both counts of the other are within 7 days of these, and after."""
    own = record(washed(-1, 30), washed(10, 6), visits=(visited(),))
    (result,) = results(own, control(washed(5, 20), washed(9, 28)))
    assert (result.formula, result.is_efficacy) == (OBSERVED, False)
    assert (result.controls, keys(result.one_sided)) == ((), ["mill-ditch"])


@pytest.mark.parametrize(("before", "fits"), [(0, True), (1, False)])
def test_the_earlier_count_of_a_control_is_of_the_first_day_at_the_latest(before, fits):
    own = record(washed(-1, 30), washed(10, 6), visits=(visited(), visited(2)))
    (result,) = results(own, control(washed(before, 28), washed(9, 26)))
    assert (bool(result.controls), bool(result.one_sided)) == (fits, not fits)


@pytest.mark.parametrize(("after", "fits"), [(2, False), (3, True)])
def test_the_later_count_of_a_control_is_of_the_day_after_the_last_at_the_earliest(after, fits):
    own = record(washed(-1, 30), washed(9, 6), visits=(visited(), visited(2)))
    (result,) = results(own, control(washed(-2, 28), washed(after, 26)))
    assert (bool(result.controls), bool(result.one_sided)) == (fits, not fits)


def test_a_count_of_a_control_on_the_right_side_goes_before_a_nearer_one_on_the_wrong():
    own = record(washed(-1, 30), washed(10, 6), visits=(visited(),))
    (result,) = results(own, control(washed(-8, 28), washed(3, 20), washed(10, 26)))
    assert result.controls[0].before.mean == pytest.approx(28 / 300)


def test_abbott_s_control_is_counted_after_the_treatment_too():
    own = record(washed(7, 6), visits=(visited(),))
    assert results(own, control(washed(0, 26))) == ()
    (result,) = results(own, control(washed(1, 26)), record(washed(0, 9), key="quarry-bench"))
    assert (keys(result.controls), keys(result.one_sided)) == (["mill-ditch"], ["quarry-bench"])


@pytest.mark.parametrize(("treated", "whole"), [(23, False), (24, True)])
def test_a_treatment_of_a_part_has_no_efficacy(treated, whole):
    own = record(washed(-2, 30), washed(14, 6), visits=(visited(colonies=treated),), colonies=24)
    (result,) = results(own, control(washed(-2, 28), washed(14, 26)))
    assert (result.formula, result.is_efficacy) == (HENDERSON_TILTON, whole)


@pytest.mark.parametrize(("apart", "formula"), [(7, HENDERSON_TILTON), (8, OBSERVED)])
def test_a_control_is_counted_within_a_week_of_the_treated_yard(apart, formula):
    assert formulas(TREATED, control(washed(-2, 28), washed(14 + apart, 26))) == [formula]
    assert formulas(TREATED, control(washed(-2 - apart, 28), washed(14, 26))) == [formula]


def test_a_yard_with_a_visit_in_between_is_no_control():
    rival = control(washed(-2, 28), washed(14, 26), visits=(visited(3, colonies=1),))
    assert formulas(TREATED, rival) == [OBSERVED]


@pytest.mark.parametrize(("visit", "formula"), [(-9, HENDERSON_TILTON), (-8, OBSERVED)])
def test_a_control_whose_own_mites_still_fall_is_none(visit, formula):
    rival = control(washed(-2, 28), washed(14, 26), visits=(visited(visit),))
    assert formulas(TREATED, rival) == [formula]


@pytest.mark.parametrize(("before", "after"), [(0, 26), (28, 0)])
def test_a_control_without_mites_is_nothing_to_compare_with(before, after):
    assert formulas(TREATED, control(washed(-2, before), washed(14, after))) == [OBSERVED]


def test_two_controls_count_alike():
    rivals = [control(washed(-2, 28), washed(14, 26)), control(washed(-2, 20), washed(14, 30))]
    (result,) = results(TREATED, rivals[0], record(*_reports(20, 30), key="quarry-bench"))
    assert keys(result.controls) == ["mill-ditch", "quarry-bench"]
    assert result.fall_frac == pytest.approx(1 - (6 / 30) * (48 / 56))
    assert result.bounds.low < results(TREATED, rivals[0])[0].fall_frac < result.bounds.high


def _reports(before, after):
    return washed(-2, before), washed(14, after)


def test_counted_only_after_it_is_abbott_s_against_a_yard_without_a_round():
    own = record(washed(14, 6), visits=(visited(),))
    (result,) = results(own, control(washed(14, 26)))
    assert (result.formula, result.before) == (ABBOTT, None)
    assert result.fall_frac == pytest.approx(0.7692, abs=5e-5)
    assert results(own, control(washed(14, 26), visits=(visited(-60),))) == ()
    assert results(own) == ()


def test_no_mites_before_say_nothing():
    own = record(washed(-2, 0), washed(14, 6), visits=(visited(),))
    (result,) = results(own, control(washed(-2, 28), washed(14, 26)))
    assert (result.formula, result.fall_frac, result.bounds) == (OBSERVED, None, None)


def test_a_count_after_two_rounds_is_of_both():
    visits = (visited(), visited(18, round_no=2))
    (result,) = results(record(washed(-2, 30), washed(30, 3), visits=visits))
    assert [span.round_no for span in result.rounds] == [1, 2]


def test_a_count_between_two_rounds_serves_both():
    visits = (visited(), visited(18, round_no=2))
    own = record(washed(-2, 30), washed(14, 6), washed(30, 3), visits=visits)
    assert [[s.round_no for s in r.rounds] for r in results(own)] == [[1], [2]]
    assert [r.fall_frac for r in results(own)] == pytest.approx([0.8, 0.5])


@pytest.mark.parametrize(("day", "why"), [(6, TOO_SOON), (7, None), (28, None), (29, TOO_LATE)])
def test_the_edges_of_the_days_after_a_round(day, why):
    found, unused = round_results(
        record(washed(-2, 30), washed(day, 6), visits=(visited(),)), (), LIMITS
    )
    assert ([item.why for item in unused], bool(found)) == ([why] if why else [], why is None)


def test_a_count_too_soon_is_passed_over_for_a_later_one():
    own = record(washed(-2, 30), washed(3, 20), washed(14, 6), visits=(visited(),))
    assert [r.fall_frac for r in results(own)] == pytest.approx([0.8])


def test_a_count_on_the_day_of_a_round_is_from_before_it():
    own = record(washed(0, 30), washed(14, 6), visits=(visited(),))
    assert [r.fall_frac for r in results(own)] == pytest.approx([0.8])


@pytest.mark.parametrize(("out", "used"), [(9, False), (10, True)])
def test_a_board_is_after_a_round_from_the_day_on_which_it_was_put_in(out, used):
    own = record(board(-2, 60), board(out, 12), visits=(visited(),))
    assert bool(results(own)) == used


def test_a_round_of_two_days_ends_with_its_last():
    own = record(washed(-2, 30), washed(11, 6), visits=(visited(), visited(5)))
    found, unused = round_results(own, (), LIMITS)
    assert (found, [item.days for item in unused]) == ((), [6])


def test_one_colony_of_many_on_either_side_has_no_bounds():
    own = record(washed(-2, 30), washed(14, 6), visits=(visited(),), colonies=24)
    (result,) = results(own)
    assert (result.fall_frac, result.bounds) == (pytest.approx(0.8), None)


def test_a_rise_is_told_as_one():
    (result,) = results(record(washed(-2, 6), washed(14, 30), visits=(visited(),)))
    assert result.fall_frac == pytest.approx(-4.0)
    assert result.bounds.high < 0
