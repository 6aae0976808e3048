"""The worked day of the flight factor: nine hours, temperature, wind, sunshine, no rain.

The shape rests on Burrill & Dietz (1981) and Vicens & Bosch (2000); the worked values were
computed by hand from the rule, apart from the program.
"""

import numpy as np
import pytest

from windowcast.science.air import flight_frac
from windowcast.terms.practice import FlightPractice
from windowcast.units import f_to_c

TEMP_C = np.array([8, 10.5, 12.5, 14, 15.2, 15.8, 15.5, 14, 12])
WIND_MPS = np.array([2, 2.5, 3, 4, 5, 5.5, 5, 4, 3])
SUN_WM2 = np.array([100, 220, 340, 420, 430, 380, 280, 160, 40])
FLIGHT = np.array([0, 0.061, 0.417, 0.667, 0.650, 0.604, 0.642, 0.356, 0.067])


def test_the_worked_day_of_flight():
    found = flight_frac(TEMP_C, WIND_MPS, SUN_WM2, np.zeros(9), FlightPractice())
    assert found == pytest.approx(FLIGHT, abs=0.0006)
    assert found.sum() == pytest.approx(3.463, abs=0.0015)


@pytest.mark.parametrize(("temp_f", "flight"), [(55.0, 0.463), (60.0, 0.926)])
def test_the_trades_55_to_60_f_is_the_rising_flank(temp_f, flight):
    found = flight_frac(
        np.array([f_to_c(temp_f)]), np.zeros(1), np.full(1, 500.0), np.zeros(1), FlightPractice()
    )
    assert found == pytest.approx([flight], abs=0.0006)
