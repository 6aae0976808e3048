"""Extraterrestrial and clear-sky radiation against FAO-56, example 19 (N'Diaye, 1 October).

Allen et al. (1998), chapter 4, example 19: 16 13' N, 16 15' W, 8 m, 14:00-15:00 local time on the
zone's meridian 15 W. Ra 3.543 and Rso 2.658 MJ m-2 h-1 (intermediate values recomputed from the
printed equations; the example prints 3.543 as 3.54).
"""

import numpy as np
import pytest

from windowcast.science.air import WM2_PER_MJ_M2_H, clear_sky_wm2, extraterrestrial_wm2
from windowcast.times import hour_index

HOUR = hour_index(np.datetime64("2026-10-01T15", "h"), 1)  # 14:00 at 15 W
PLACE = (16 + 13 / 60, -(16 + 15 / 60))


def test_example_19_radiation_above_the_atmosphere():
    found = extraterrestrial_wm2(*PLACE, HOUR) / WM2_PER_MJ_M2_H
    assert found == pytest.approx([3.543], abs=0.0015)


def test_example_19_radiation_under_a_clear_sky():
    found = clear_sky_wm2(extraterrestrial_wm2(*PLACE, HOUR), 8.0) / WM2_PER_MJ_M2_H
    assert found == pytest.approx([2.658], abs=0.0015)


def test_example_18_radiation_of_the_whole_day():
    """Example 18, Uccle 50 48' N, 6 July: Ra 41.09 MJ m-2 d-1, as the sum of its hours."""
    hours = hour_index(np.datetime64("2026-07-06T00", "h"), 24)
    day = extraterrestrial_wm2(50.8, 0.0, hours).sum() / WM2_PER_MJ_M2_H
    assert day == pytest.approx(41.09, abs=0.05)
