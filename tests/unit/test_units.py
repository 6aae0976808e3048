"""Conversions against published anchors, and quantities as people write them.

The factors are those of NIST Special Publication 811 (2008), appendix B.8; the temperatures follow
from its exact relation t/C = (t/F - 32) / 1.8.
"""

from __future__ import annotations

import re

import pytest

from windowcast import units
from windowcast.units import KINDS, SI_UNIT, quantity


@pytest.mark.parametrize(
    ("temp_f", "temp_c"),
    [
        (35, 1.67), (40, 4.44), (45, 7.22), (51, 10.56), (55, 12.78), (60, 15.56),
        (32, 0.0), (212, 100.0), (500, 260.0), (-40, -40.0),
    ],
)  # fmt: skip
def test_anchors_of_the_temperature_scales(temp_f: float, temp_c: float) -> None:
    assert units.f_to_c(temp_f) == pytest.approx(temp_c, abs=0.005)
    assert units.c_to_f(temp_c) == pytest.approx(temp_f, abs=0.01)


def test_the_vaporiser_of_260_c_is_500_f_exactly() -> None:
    assert units.c_to_f(260.0) == 500.0


def test_a_difference_of_temperatures_has_no_offset() -> None:
    assert units.df_to_dc(9.0) == 5.0
    assert units.df_to_dc(0.0) == 0.0


def test_degree_days_convert_like_differences() -> None:
    assert units.dd_f_to_dd_c(90.0) == 50.0


def test_the_ice_point_in_kelvin() -> None:
    assert units.k_to_c(273.15) == 0.0
    assert units.k_to_c(300.0) == pytest.approx(26.85)


def test_speeds_against_the_handbook() -> None:
    assert units.mph_to_mps(1.0) == 0.44704
    assert units.mph_to_mps(8.0) == pytest.approx(3.57632)
    assert units.mps_to_mph(6.7056) == pytest.approx(15.0)
    assert units.kmh_to_mps(36.0) == 10.0
    assert units.knots_to_mps(1.0) == pytest.approx(0.514444, abs=5e-7)


def test_depths_and_lengths_against_the_handbook() -> None:
    assert units.in_to_mm(1.0) == 25.4
    assert units.mm_to_in(2.54) == pytest.approx(0.1)
    assert units.ft_to_m(600.0) == pytest.approx(182.88)
    assert units.m_to_ft(0.3048) == 1.0


def test_percent_becomes_a_fraction() -> None:
    assert units.percent_to_frac(60.0) == 0.6


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("40 F", "temperature", 4.4444444),
        ("40F", "temperature", 4.4444444),
        ("  40   °F ", "temperature", 4.4444444),
        ("40 ° F", "temperature", 4.4444444),
        ("-4.4 C", "temperature", -4.4),
        ("6 C", "temperature difference", 6.0),
        ("9 F", "temperature difference", 5.0),
        ("12 mph", "speed", 5.36448),
        ("18 km/h", "speed", 5.0),
        ("10 kt", "speed", 5.144444),
        ("0.1 in", "depth", 2.54),
        (".1 in", "depth", 2.54),
        ("2. mm", "depth", 2.0),
        ("1 cm", "depth", 10.0),
        ("600 ft", "length", 182.88),
        ("2 mi", "length", 3218.688),
        ("1.2 km", "length", 1200.0),
        ("100 yd", "length", 91.44),
        ("60 %", "fraction", 0.6),
        ("90 min", "duration", 1.5),
        ("2 d", "duration", 48.0),
        ("36 s", "duration", 0.01),
        ("60 deg", "angle", 60.0),
        ("300 W/m2", "irradiance", 300.0),
        ("1 oz", "mass", 28.349523),
        ("500 mg", "mass", 0.5),
        ("0.75", "number", 0.75),
        ("1e-1", "number", 0.1),
    ],
)
def test_quantities_as_people_write_them(text: str, kind: str, expected: float) -> None:
    assert quantity(text, kind) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("40", "temperature", '40 has no unit; write "40 F" or "40 C"'),
        (" 12 ", "speed", '12 has no unit; write "12 mph" or "12 m/s"'),
        ("forty F", "temperature", '"forty F" is not a quantity; write "40 F" or "40 C"'),
        ("", "depth", '"" is not a quantity; write "40 in" or "40 mm"'),
        ("--4 C", "temperature", '"--4 C" is not a quantity; write "40 F" or "40 C"'),
        ("40 mph", "temperature", '"mph" is not a unit of temperature; use one of F, C'),
        ("40 f", "temperature", '"f" is not a unit of temperature; use one of F, C'),
        ("40 F 5", "temperature", '"F 5" is not a unit of temperature; use one of F, C'),
        ("nan F", "temperature", '"nan F" is not a quantity'),
        ("inf", "number", '"inf" is not a quantity; write a bare number such as 0.5'),
        ("1e400 F", "temperature", '"1e400 F" is too large to be a quantity'),
        ("-1e10 m", "length", '"-1e10 m" is too large to be a quantity'),
        ("0.5 h", "number", '"0.5 h" has a unit where a bare number stands; write 0.5'),
        ("4,5 C", "temperature", '"4,5 C" has a comma; write "4.5 C", or "45 C" for thousands'),
        ("1,200 ft", "length", 'write "1.200 ft", or "1200 ft" for thousands'),
        ("40 F\n50 F", "temperature", "is not a quantity"),
    ],
)
def test_a_wrong_quantity_is_refused_with_the_cure(text: str, kind: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        quantity(text, kind)


def test_every_kind_knows_its_unit_inside() -> None:
    assert set(SI_UNIT) == {*KINDS, "number"}
    for kind, spellings in KINDS.items():
        if SI_UNIT[kind]:
            assert spellings[SI_UNIT[kind]](7.25) == 7.25


def test_the_units_that_a_message_shows_can_be_read() -> None:
    for kind, spellings in KINDS.items():
        first, second = list(spellings)[:2]
        shown = re.escape(f'write "40 {first}" or "40 {second}"')
        with pytest.raises(ValueError, match=shown):
            quantity("?", kind)
        assert quantity(f"40 {first}", kind) == spellings[first](40.0)
        assert quantity(f"40 {second}", kind) == spellings[second](40.0)
