import pytest

from windowcast.units import f_to_c, in_to_mm, mph_to_mps
from windowcast.wording.scale import (
    SI,
    US,
    depth,
    percent,
    scale_of,
    speeds,
    temperature,
    temperatures,
    tenth,
    whole,
)


def test_an_unknown_system_of_units_is_refused():
    assert scale_of("us") is US
    assert scale_of("si") is SI
    with pytest.raises(ValueError, match="use us or si"):
        scale_of("imperial")


def test_halves_round_upwards():
    assert [whole(value) for value in (0.4, 0.5, 1.5, 2.5, -0.5, -0.6)] == [0, 1, 2, 3, 0, -1]


def test_documents_hold_tenths_and_no_negative_zero():
    assert tenth(1.66) == 1.7
    assert tenth(None) is None
    assert str(tenth(-0.04)) == "0.0"


def test_temperatures_read_in_the_outfits_unit():
    assert temperature(f_to_c(35), US) == "35 °F"
    assert temperature(5.0, SI) == "5 °C"
    assert temperatures(f_to_c(38), f_to_c(44), US) == "38-44 °F"
    assert temperatures(4.6, 5.4, SI) == "5 °C"


def test_a_range_below_zero_has_no_dash():
    assert temperatures(-3.0, 2.0, SI) == "-3 to 2 °C"


def test_wind_reads_in_mph_or_kmh():
    assert speeds(mph_to_mps(5), mph_to_mps(7), US) == "5-7 mph"
    assert speeds(5.0, 5.0, SI) == "18 km/h"


def test_little_rain_does_not_round_to_none():
    assert depth(in_to_mm(0.25), US) == "0.25 in"
    assert depth(0.1, US) == "under 0.01 in"
    assert depth(0.0, US) == "0.00 in"
    assert depth(4.24, SI) == "4.2 mm"


def test_a_fraction_reads_as_whole_percent():
    assert percent(0.596) == "60 %"
